package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"hardnoon/api"
)

func packCommand(t *terminal) *cobra.Command {
	var checks bool
	c := &cobra.Command{
		Use:   "pack FILE",
		Short: "what goes into the car, and what is checked before the first frame",
		Example: `  hardnoon pack demo/javelin.json
  hardnoon pack demo/javelin.json --check`,
		Long: `Everything is derived from the plan and the order of the day; what is not known says so.
FILE is a session file, - is standard input.
exit codes: 0 the kit holds all; 2 something in the file is wrong; 3 something is missing; 10 there is no such file`,
		Args: oneFile,
	}
	c.Flags().BoolVar(&checks, "check", false, "only the check list, to be read aloud")
	c.RunE = func(c *cobra.Command, args []string) error {
		s, err := t.session(args[0])
		if err != nil {
			return err
		}
		a, err := api.Pack(api.PackRequest{Session: s})
		if err != nil {
			return err
		}
		if a.Missing > 0 && !checks {
			t.code = exitPart
		}
		return t.answer(a, func(w io.Writer) {
			if !checks {
				sayPack(w, a)
			}
			sayChecks(w, a)
		})
	}
	return c
}

func sayPack(w io.Writer, a api.PackAnswer) {
	fmt.Fprintln(w, a.Title)
	group := ""
	for _, x := range a.Items {
		if x.Group != group {
			group = x.Group
			fmt.Fprintf(w, "\n%s\n", group)
		}
		mark := "[ ]"
		switch x.State {
		case "missing":
			mark = "[!]"
		case "unknown":
			mark = "[?]"
		}
		fmt.Fprintf(w, "  %s %s   %s\n", mark, x.What, x.Why)
	}
	fmt.Fprintf(w, "\n%d missing [!], %d unknown [?]\n\n", a.Missing, a.Unknown)
	sayAssumed(w, a.Assumptions)
	fmt.Fprintln(w)
}

func sayChecks(w io.Writer, a api.PackAnswer) {
	fmt.Fprintf(w, "before the first frame, aloud, %.0f s\n", a.SpeakS)
	for i, x := range a.Checks {
		fmt.Fprintf(w, "  %2d  %s\n", i+1, x)
	}
}
