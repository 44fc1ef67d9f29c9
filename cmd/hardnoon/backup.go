package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"hardnoon/api"
	"hardnoon/store/sqlite"
)

func backupCommand(t *terminal) *cobra.Command {
	var workspace string
	c := &cobra.Command{
		Use:   "backup FILE",
		Short: "a checked copy of the workspace",
		Example: `  hardnoon backup sessions-2027-01-16.hardnoon
  hardnoon backup --workspace season.hardnoon copy.hardnoon`,
		Long: `It may run while the web app does. The copy is one file, with all history; it is read back
and checked before this says so, and it never takes the place of another file. To go
back, start "hardnoon serve" with the copy.
exit codes: 0 copied; 1 the file is there already, or cannot be written; 2 wrong usage;
10 there is no workspace`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error {
			store, err := openWorkspace(c.Context(), workspace, false)
			if err != nil {
				return err
			}
			defer store.Close()
			to := args[0]
			err = store.Backup(c.Context(), to)
			switch {
			case errors.As(err, new(*sqlite.ExistsError)):
				return &api.Error{Kind: api.Broken, Code: "file_exists", Text: to + " is there already; nothing was written", Hint: "take another name"}
			case err != nil:
				return &api.Error{Kind: api.Broken, Code: "not_copied", Text: "the workspace was not copied: " + err.Error(), Hint: "check the folder and the room on the disk", Cause: err}
			}
			info, err := os.Stat(to)
			if err != nil {
				return err
			}
			list, err := store.List(c.Context(), false)
			if err != nil {
				return err
			}
			a := backupAnswer{File: to, Bytes: info.Size(), Sessions: len(list)}
			return t.answer(a, func(w io.Writer) {
				what := "sessions"
				if a.Sessions == 1 {
					what = "session"
				}
				fmt.Fprintf(w, "%s   %d %s, %d kB, checked\n", a.File, a.Sessions, what, a.Bytes>>10)
			})
		},
	}
	c.Flags().StringVar(&workspace, "workspace", "", "the workspace to copy (the usual one)")
	return c
}

// backupAnswer says what was copied.
type backupAnswer struct {
	File     string `json:"file"`
	Bytes    int64  `json:"bytes"`
	Sessions int    `json:"sessions"`
}
