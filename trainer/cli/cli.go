// Package cli holds the commands of puddlewise: it reads arguments and
// environment, puts the parts together, and turns errors into messages and
// exit codes. One command is one file: its options, its constructor, its run
// function.
package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
)

// Streams are where a command reads and writes.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
}

// Main runs the program with its arguments, those after its name, and gives
// the exit code.
func Main(args []string, streams Streams, env Environment) (code int) {
	out := &sink{w: streams.Out}
	streams.Out = out
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(streams.Err, "puddlewise: this is a bug in puddlewise, not yours: %s\n", oneLine(fmt.Sprint(r)))
			code = exitError
		}
	}()
	root := newRoot(&app{Streams: streams, env: env})
	root.SetArgs(args)
	root.SetIn(streams.In)
	root.SetOut(streams.Out)
	root.SetErr(streams.Err)
	err := root.Execute()
	if err == nil && out.err != nil {
		err = fmt.Errorf("the output could not be written: %w", out.err)
	}
	if err == nil {
		return exitDone
	}
	printError(streams.Err, err)
	return codeOf(err)
}

// app is what every command has at hand.
type app struct {
	Streams
	env Environment
}

// sink remembers that writing failed, so that half an output is never taken for done.
type sink struct {
	w   io.Writer
	err error
}

func (s *sink) Write(b []byte) (int, error) {
	n, err := s.w.Write(b)
	if err != nil && s.err == nil {
		s.err = err
	}
	return n, err
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// newRoot builds the tree of commands. The root itself opens the trainer.
func newRoot(a *app) *cobra.Command {
	root := newTrainer(a)
	root.SilenceErrors, root.SilenceUsage = true, true
	root.DisableSuggestions = true // nearest spellings come from one place, see nearest
	root.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error { return a.held(cmd) }
	root.SetFlagErrorFunc(flagError)
	root.SetHelpTemplate(helpTemplate)
	root.SetUsageTemplate(usageTemplate)
	root.CompletionOptions.DisableDefaultCmd = true // ours answers mistakes as the other commands do
	root.AddCommand(
		newPractice(a),
		newJoints(a), newShow(a),
		newWeld(a), newArc(a), newAsk(a),
		newCheck(a), newNew(a), newBank(a),
		newRecord(a), newLearner(a), newPrecert(a), newDrill(a),
		newVerify(a), newPicture(a), newWindow(a),
		newInfo(a),
		newVersion(a),
		newCompletion(a),
	)
	root.AddCommand(newTopics()...)
	root.SetHelpCommand(newHelp())
	tidy(root)
	return root
}

// tidy leaves "[flags]" out of the usage lines, which name them.
func tidy(cmd *cobra.Command) {
	for _, c := range cmd.Commands() {
		c.DisableFlagsInUseLine = true
		tidy(c)
	}
}
