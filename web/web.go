// Package web holds the web app as a browser gets it: what web/build makes of
// src, vendor and assets.
package web

import (
	"embed"
	"io/fs"
)

//go:embed dist
var dist embed.FS

// Files returns the built app: index.html and what it loads. The engine for the
// browser, hardnoon.wasm.br and wasm_exec.js, is among them when it was built
// (go run ./dev web) before the program was.
func Files() fs.FS {
	files, err := fs.Sub(dist, "dist")
	if err != nil {
		panic(err) // the folder is named right above
	}
	return files
}
