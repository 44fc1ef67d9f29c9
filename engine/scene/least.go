//go:build !wasm

package scene

// least is min: two machine words here, a call in WebAssembly (see there).
func least(a, b, c float32) float32 { return min(a, b, c) }
