package cmd

import (
	"fmt"
	"strings"

	"sideport/export/words"

	"github.com/spf13/cobra"
)

const about = `Sideport turns a filmed cataract operation into teaching material.

You give it a folder with what you have: the times you jotted down on the
recording's clock, the chapters of the edited video, the video, your spoken
commentary, and a short file of facts about the eye and the settings. It puts
every step on both clocks, names it in one vocabulary, compares what you
measured and set with published ranges, and writes a teaching page, subtitle
tracks, chapter files and a list of points to look at again. Everything stays
on this computer.

To begin:

  sideport new MYCASE             start a case from what is in the folder MYCASE
  sideport check MYCASE           what is missing, and which values to look at again
  sideport build MYCASE -o OUT    write everything into OUT/MYCASE
                                  then open OUT/MYCASE/index.html
`

func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "sideport",
		Short:         "Turn a filmed cataract operation into teaching material",
		Long:          about + "\n" + words.Caution,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			a.started = true
			return cmd.Help()
		},
	}
	root.PersistentFlags().BoolVarP(&a.quiet, "quiet", "q", false, "print only what was asked for")
	root.AddCommand(a.newCmd(), a.buildCmd(), a.alignCmd(), a.checkCmd(), a.captionsCmd(), a.chaptersCmd(),
		a.stepsCmd(), a.rangesCmd(), a.versionCmd())
	return root
}

func (a *app) versionCmd() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Args:  cobra.NoArgs,
		RunE: a.run(func([]string) error {
			_, err := fmt.Fprintf(a.out, "sideport %s\n", Version)
			return err
		}),
	}
}

// folders asks for at least one argument and says of what.
func folders(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return fmt.Errorf("%s takes at least one case folder", cmd.Name())
	}
	return nil
}

// one asks for exactly one argument and says of what.
func one(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != 1 {
			return fmt.Errorf("%s takes one %s", cmd.Name(), what)
		}
		return nil
	}
}

// oneOf is a flag that takes one of a few words.
type oneOf struct {
	value string
	words []string
}

func (o *oneOf) String() string { return o.value }
func (o *oneOf) Type() string   { return "word" }

func (o *oneOf) Set(s string) error {
	for _, w := range o.words {
		if s == w {
			o.value = s
			return nil
		}
	}
	return fmt.Errorf("known are %s", strings.Join(o.words, ", "))
}

// flag adds o to a command under a name, with completion.
func (o *oneOf) flag(cmd *cobra.Command, name, usage string) {
	cmd.Flags().Var(o, name, usage)
	_ = cmd.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(o.words, cobra.ShellCompDirectiveNoFileComp))
}
