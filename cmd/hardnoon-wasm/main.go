// Command hardnoon-wasm is the engine for the browser: the functions of package
// api, called with the same JSON as over HTTP.
package main

func main() {}
