package scene

// least is min of three numbers none of which is NaN. In WebAssembly min is a
// call, and comparing halves the time a ray takes; on other machines comparing
// costs half as much again.
func least(a, b, c float32) float32 {
	if b < a {
		a = b
	}
	if c < a {
		a = c
	}
	return a
}
