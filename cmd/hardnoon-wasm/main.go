//go:build js && wasm

// Command hardnoon-wasm is the engine for the browser: the functions of package
// api, called with the same JSON as over HTTP. docs/formats/protocol.md says
// which globals it sets. It may stop only with the page.
package main

import (
	"runtime/debug"
	"syscall/js"
	_ "time/tzdata" // a browser has zones, but Go cannot ask for them

	"hardnoon/api"
)

var uint8Array = js.Global().Get("Uint8Array")

func main() {
	debug.SetGCPercent(400) // answers are small and short-lived; a drag waits for none of it
	global := js.Global()
	names := global.Get("Array").New()
	for _, n := range api.Questions() {
		names.Call("push", n)
	}
	global.Set("hardnoonQuestions", names)
	global.Set("hardnoonAsk", js.FuncOf(ask))
	global.Set("hardnoonPreview", js.FuncOf(preview))
	warm()
	if ready := global.Get("hardnoonReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {} // from here on it is called
}

// ask is hardnoonAsk(name, body).
func ask(_ js.Value, args []js.Value) any {
	if len(args) != 2 || args[0].Type() != js.TypeString || !args[1].InstanceOf(uint8Array) {
		return failure(&api.Error{Kind: api.WrongInput, Code: "misuse", Text: "hardnoonAsk takes a name and a Uint8Array"})
	}
	answer, _ := api.CallJSON(args[0].String(), fromJS(args[1]))
	return toJS(answer)
}

// fromJS copies a Uint8Array.
func fromJS(v js.Value) []byte {
	data := make([]byte, v.Get("length").Int())
	js.CopyBytesToGo(data, v)
	return data
}

// toJS makes a Uint8Array.
func toJS(data []byte) js.Value {
	out := uint8Array.New(len(data))
	js.CopyBytesToJS(out, data)
	return out
}
