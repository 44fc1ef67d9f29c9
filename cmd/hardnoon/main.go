// Command hardnoon plans flash-lit sessions outdoors and checks them against
// the light there will be. See README.md for the job it serves.
//
// This package reads flags, wires adapters and owns every word said in a
// terminal; what it says is computed behind package api.
package main

import (
	"io"
	"os"
	_ "time/tzdata" // time zones without the machine's help
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// run is main without the process: tests call it.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	t := &terminal{in: in, out: out, err: errs}
	root := rootCommand(t)
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	if err := root.Execute(); err != nil {
		return t.fail(err)
	}
	return t.code
}
