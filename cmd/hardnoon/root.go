package main

import (
	"github.com/spf13/cobra"
)

// rootCommand is the whole command tree. A verb has its file, named after it.
func rootCommand(t *terminal) *cobra.Command {
	root := &cobra.Command{
		Use:           "hardnoon",
		Short:         "plan flash-lit sessions outdoors, at the hour you were given",
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.NoArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return usage(err.Error(), `see "`+c.CommandPath()+` --help"`)
	})
	root.PersistentFlags().BoolVar(&t.json, "json", false, "answer as JSON")
	root.SetHelpTemplate(examplesFirst)
	root.AddCommand(
		placeCommand(t),
		sunCommand(t),
		lightCommand(t),
		dayCommand(t),
		wayCommand(t),
		planCommand(t),
		sceneCommand(t),
		previewCommand(t),
		orderCommand(t),
		packCommand(t),
		againCommand(t),
		safetyCommand(t),
		reachCommand(t),
		lensCommand(t),
		adjustCommand(t),
		driftCommand(t),
		kitCommand(t),
		sheetCommand(t),
		serveCommand(t),
		backupCommand(t),
	)
	return root
}

// examplesFirst is the help of every command: what to type, then the rest.
const examplesFirst = `{{with .Short}}{{.}}
{{end}}{{if .HasExample}}
examples
{{.Example}}
{{end}}{{with .Long}}
{{.}}
{{end}}{{if .HasAvailableSubCommands}}
commands{{range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name .NamePadding}} {{.Short}}{{end}}{{end}}
{{end}}{{if .HasAvailableLocalFlags}}
flags
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}
{{end}}{{if .HasAvailableInheritedFlags}}
everywhere
{{.InheritedFlags.FlagUsages | trimTrailingWhitespaces}}
{{end}}
usage
  {{.UseLine}}
`

func init() { cobra.EnableCommandSorting = false }
