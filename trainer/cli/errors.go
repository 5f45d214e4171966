package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
)

// Exit codes. Done says nothing of the outcome: a rejected coupon is a done weld.
const (
	exitDone       = 0
	exitError      = 1
	exitUsage      = 2
	exitBadFile    = 4
	exitNoTerminal = 5
)

var exitWords = map[int]string{
	exitDone:       "done, whatever the outcome",
	exitError:      "an error: something could not be read, written or computed",
	exitUsage:      "a wrong command, flag or argument",
	exitBadFile:    "a scenario, answer or case that is missing or wrong",
	exitNoTerminal: "no terminal the trainer can draw on",
}

// exitCodes is the part of a command's help that lists its own codes.
func exitCodes(codes ...int) string {
	var b strings.Builder
	b.WriteString("\n\nExit codes:\n")
	for _, c := range codes {
		fmt.Fprintf(&b, "  %d  %s\n", c, exitWords[c])
	}
	return strings.TrimRight(b.String(), "\n")
}

// codedError is an error with the exit code it ends the program with.
type codedError struct {
	code int
	err  error
}

func (e *codedError) Error() string { return e.err.Error() }
func (e *codedError) Unwrap() error { return e.err }

func usageError(format string, args ...any) error {
	return &codedError{exitUsage, fmt.Errorf(format, args...)}
}

func badFile(err error) error { return &codedError{exitBadFile, err} }

func codeOf(err error) int {
	var coded *codedError
	var problems scenarios.Problems
	switch {
	case errors.As(err, &coded):
		return coded.code
	case errors.As(err, &problems):
		return exitBadFile
	}
	return exitError
}

// printError writes the error with its hint on the lines below. Several
// problems stand each on a line that begins with the file, as an editor that
// jumps to errors expects, and their number comes last.
func printError(w io.Writer, err error) {
	var problems scenarios.Problems
	if errors.As(err, &problems) && len(problems) > 1 {
		fmt.Fprintf(w, "%v\npuddlewise: %s\n", problems, counted(len(problems), "problem"))
		return
	}
	fmt.Fprintf(w, "puddlewise: %s\n", strings.TrimSpace(err.Error()))
}

// counted writes 1 problem, 2 problems.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// nearest is the hint line for a misspelt word, or nothing.
func nearest(word string, known []string) string {
	if n := weld.Nearest(word, known); n != "" {
		return "\ndid you mean " + n + "?"
	}
	return ""
}

// flagError turns what the flag library says into our own words.
func flagError(cmd *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var missing *pflag.ValueRequiredError
	var invalid *pflag.InvalidValueError
	help := "\n" + cmd.CommandPath() + " --help lists them"
	switch {
	case errors.As(err, &unknown):
		name := unknown.GetSpecifiedName()
		var known []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { known = append(known, "--"+f.Name) })
		if len(name) == 1 {
			return usageError("unknown flag -%s%s", name, help)
		}
		if hint := nearest("--"+name, known); hint != "" {
			help = hint
		}
		return usageError("unknown flag --%.40s%s", oneLine(name), help)
	case errors.As(err, &missing):
		return usageError("--%s needs a value%s", missing.GetSpecifiedName(), help)
	case errors.As(err, &invalid):
		return usageError("--%s cannot be %.40q%s", invalid.GetFlag().Name, invalid.GetValue(), help)
	}
	return usageError("%s%s", oneLine(err.Error()), help)
}

// noArguments refuses arguments; where there are commands, a word is a misspelt one.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if !cmd.HasSubCommands() {
		return usageError("%s takes no argument, it was given %.40q\n%s --help shows how it is called", cmd.CommandPath(), args[0], cmd.CommandPath())
	}
	var known []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			known = append(known, c.Name())
		}
	}
	hint := nearest(args[0], known)
	if hint == "" {
		hint = "\nthe commands are " + strings.Join(known, ", ")
	}
	return usageError("unknown command %.40q%s", args[0], hint)
}

// oneFile takes exactly one argument, a file.
func oneFile(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != 1 {
			return usageError("%s needs one file: %s", cmd.CommandPath(), what)
		}
		return nil
	}
}

// oneOf refuses a flag's value that is none of those allowed.
func oneOf(flag, value string, allowed ...string) error {
	for _, a := range allowed {
		if value == a {
			return nil
		}
	}
	return usageError("--%s cannot be %.40q, allowed are %s%s", flag, value, strings.Join(allowed, ", "), nearest(value, allowed))
}
