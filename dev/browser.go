package main

import (
	"fmt"
	"os"
	"os/exec"
)

// browserTests drive the web app in Chromium and check its types. What is
// missing is fetched by the machine's own means: Chromium by apt-get, where
// there is one and the user may; types and the accessibility rules by npm, at
// the versions of web/package-lock.json. HARDNOON_TOOLS tells the tests that
// all is here, so that none is skipped for want of it.
func browserTests() error {
	browser := chromium()
	if browser == "" {
		if err := install("chromium"); err != nil {
			return err
		}
		browser = chromium()
	}
	_, noNPM := exec.LookPath("npm")
	if browser == "" || noNPM != nil {
		fmt.Println("== web app in a browser: left out, this machine has no Chromium or no npm")
		return nil
	}
	steps := []struct {
		what string
		env  []string
		cmd  []string
	}{
		{"types and accessibility rules, by npm", nil, []string{"npm", "ci", "--prefix", "web", "--silent", "--no-audit", "--no-fund"}},
		{"types of the web app", nil, []string{"web/node_modules/.bin/tsc", "-p", "web"}},
		{"the web app in Chromium", []string{"HARDNOON_BROWSER=" + browser, "HARDNOON_TOOLS=all"}, []string{"go", "test", "-count=1", "./web/test"}},
	}
	for _, s := range steps {
		fmt.Println("==", s.what)
		if err := run(s.env, s.cmd[0], s.cmd[1:]...); err != nil {
			return fmt.Errorf("%s: %w", s.what, err)
		}
	}
	return nil
}

// install gets a package by apt-get, where there is one and the user may.
func install(name string) error {
	if _, err := exec.LookPath("apt-get"); err != nil || os.Geteuid() != 0 {
		return nil
	}
	fmt.Printf("== %s, by apt-get\n", name)
	env := []string{"DEBIAN_FRONTEND=noninteractive"}
	if err := run(env, "apt-get", "update", "-q"); err != nil {
		return err
	}
	return run(env, "apt-get", "install", "-y", "-q", "--no-install-recommends", name)
}

func chromium() string {
	for _, name := range []string{"chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}
