// Package build makes the web app: TypeScript, styles and the packages in
// vendor become a few files a browser loads. Only Go is needed.
package build

import (
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// vendored are the packages kept in web/vendor, by the name the source imports.
var vendored = map[string]string{
	"preact":               "preact/preact.mjs",
	"preact/hooks":         "preact/hooks.mjs",
	"preact/jsx-runtime":   "preact/jsxRuntime.mjs",
	"@preact/signals":      "signals/signals.mjs",
	"@preact/signals-core": "signals-core/signals-core.mjs",
}

// entries are the programs: the page, the worker that computes, the one that
// keeps the page for a day without network.
var entries = []string{"app.tsx", "worker.ts", "sw.ts"}

// Files builds the app of the folder web and returns each file by its name in
// dist. The same sources give the same bytes.
func Files(web string) (map[string][]byte, error) {
	web, err := filepath.Abs(web)
	if err != nil {
		return nil, err
	}
	out := map[string][]byte{}
	var points []string
	for _, e := range entries {
		points = append(points, filepath.Join(web, "src", e))
	}
	r := api.Build(api.BuildOptions{
		EntryPoints: append(points, filepath.Join(web, "src", "app.css")),
		Outdir:      filepath.Join(web, "dist"), Bundle: true, Format: api.FormatIIFE, Target: api.ES2022,
		MinifyWhitespace: true, MinifyIdentifiers: true, MinifySyntax: true, LegalComments: api.LegalCommentsNone,
		JSX: api.JSXAutomatic, JSXImportSource: "preact", TsconfigRaw: "{}",
		External: []string{"*.woff2"},
		Plugins:  []api.Plugin{{Name: "vendor", Setup: func(b api.PluginBuild) { resolve(b, filepath.Join(web, "vendor")) }}},
	})
	for _, m := range append(r.Errors, r.Warnings...) {
		where := ""
		if m.Location != nil {
			where = fmt.Sprintf("%s:%d: ", m.Location.File, m.Location.Line)
		}
		return nil, fmt.Errorf("build: %s%s", where, m.Text)
	}
	for _, f := range r.OutputFiles {
		out[filepath.Base(f.Path)] = f.Contents
	}
	return out, copies(web, out)
}

func resolve(b api.PluginBuild, vendor string) {
	b.OnResolve(api.OnResolveOptions{Filter: `^@?preact`}, func(a api.OnResolveArgs) (api.OnResolveResult, error) {
		file, ok := vendored[a.Path]
		if !ok {
			return api.OnResolveResult{}, fmt.Errorf("%s is not kept in web/vendor", a.Path)
		}
		return api.OnResolveResult{Path: filepath.Join(vendor, file)}, nil
	})
}

// copies adds what is taken as it is, and the licences of what is bundled.
func copies(web string, out map[string][]byte) error {
	assets, err := filepath.Glob(filepath.Join(web, "assets", "*"))
	if err != nil {
		return err
	}
	fonts, err := filepath.Glob(filepath.Join(web, "vendor", "font", "*.woff2"))
	if err != nil {
		return err
	}
	for _, path := range append(assets, fonts...) {
		if out[filepath.Base(path)], err = os.ReadFile(path); err != nil {
			return err
		}
	}
	licences, err := filepath.Glob(filepath.Join(web, "vendor", "*", "LICENSE"))
	if err != nil {
		return err
	}
	sort.Strings(licences)
	var all strings.Builder
	for _, path := range licences {
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		fmt.Fprintf(&all, "== %s\n\n%s\n\n", filepath.Base(filepath.Dir(path)), strings.TrimSpace(strings.ReplaceAll(string(text), "\r", "")))
	}
	out["licences.txt"] = []byte(all.String())
	return nil
}

// Write builds the app into web/dist.
func Write(web string) error {
	files, err := Files(web)
	if err != nil {
		return err
	}
	dist := filepath.Join(web, "dist")
	if err := os.MkdirAll(dist, 0o755); err != nil {
		return err
	}
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dist, name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
