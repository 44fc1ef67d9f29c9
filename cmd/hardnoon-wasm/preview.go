//go:build js && wasm

package main

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"iter"
	"syscall/js"

	"hardnoon/api"
)

// previews are the pictures on their way, by the number their object carries.
var previews = map[int]*pulled{}

var lastPreview int

// pulled is a picture that is rendered when somebody asks for the next pass.
type pulled struct {
	next func() (api.Pass, error, bool)
	stop func()
}

var (
	uint8Clamped = js.Global().Get("Uint8ClampedArray")
	nextFunc     = js.FuncOf(nextPass)
	closeFunc    = js.FuncOf(closePreview)
)

// preview is hardnoonPreview(body). The object it returns is pulled, so that the
// worker hears what else comes in between two passes.
func preview(_ js.Value, args []js.Value) any {
	var body []byte
	if len(args) == 1 && args[0].InstanceOf(uint8Array) {
		body = fromJS(args[0])
	}
	p := &pulled{}
	p.next, p.stop = iter.Pull2(api.PassesJSON(context.Background(), body))
	lastPreview++
	previews[lastPreview] = p
	this := js.Global().Get("Object").New()
	this.Set("number", lastPreview)
	this.Set("next", nextFunc)
	this.Set("close", closeFunc)
	return this
}

// find returns the picture that this stands for, or nil when it was closed.
func find(this js.Value) (*pulled, int) {
	if this.Type() != js.TypeObject || this.Get("number").Type() != js.TypeNumber {
		return nil, 0
	}
	n := this.Get("number").Int()
	return previews[n], n
}

func closePreview(this js.Value, _ []js.Value) any {
	if p, n := find(this); p != nil {
		delete(previews, n)
		p.stop()
	}
	return nil
}

func nextPass(this js.Value, _ []js.Value) any {
	p, _ := find(this)
	if p == nil {
		return failure(&api.Error{Kind: api.WrongInput, Code: "closed", Text: "this picture is closed"})
	}
	pass, err := p.pass()
	if err != nil {
		closePreview(this, nil)
		return failure(err)
	}
	rgba := uint8Clamped.New(len(pass.Image.Pix))
	js.CopyBytesToJS(rgba, pass.Image.Pix)
	this.Set("rgba", rgba)
	raw := make([]byte, 2*len(pass.Levels))
	for i, l := range pass.Levels {
		binary.LittleEndian.PutUint16(raw[2*i:], uint16(l))
	}
	this.Set("levels", toJS(raw))
	said, err := json.Marshal(pass)
	if err != nil {
		return failure(err)
	}
	return toJS(said)
}

// pass renders one. A bug in it is told in words; the engine lives on.
func (p *pulled) pass() (pass api.Pass, err error) {
	defer func() {
		if bug := recover(); bug != nil {
			err = fmt.Errorf("%v", bug)
		}
	}()
	pass, err, more := p.next()
	if err == nil && !more {
		err = &api.Error{Kind: api.WrongInput, Code: "closed", Text: "this picture is done"}
	}
	return pass, err
}

// failure is the JSON of why there is no answer.
func failure(err error) js.Value {
	said, _ := json.Marshal(api.FailureOf(err)) // texts and numbers
	return toJS(said)
}
