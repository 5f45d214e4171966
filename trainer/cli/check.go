package cli

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
)

type checkOptions struct {
	*app
	Paths []string
}

func newCheck(a *app) *cobra.Command {
	o := &checkOptions{app: a}
	return &cobra.Command{
		Use:   "check FILE|DIR...",
		Short: "Check joints you have written",
		Long: `Check files with joints of your own, or all .yaml and .yml files of a folder.
Every mistake is told at once, with file, line, field and what is allowed.` +
			exitCodes(exitDone, exitUsage, exitBadFile),
		Example: "  puddlewise check my-joints\n  puddlewise check T-07.yaml B-12.yaml",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usageError("check needs a file or a folder\npuddlewise check my-joints")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error { o.Paths = args; return o.run() },
	}
}

func (o *checkOptions) run() error {
	var problems scenarios.Problems
	good := 0
	for _, path := range o.Paths {
		n, err := checkPath(path)
		good += n
		var ps scenarios.Problems
		switch {
		case errors.As(err, &ps):
			problems = append(problems, ps...)
		case err != nil:
			return err
		}
	}
	if len(problems) == 0 {
		fmt.Fprintf(o.Out, "ok: %s\n", counted(good, "file"))
		return nil
	}
	files := map[string]bool{}
	for _, p := range problems {
		files[p.File] = true
	}
	fmt.Fprintln(o.Err, problems)
	return badFile(fmt.Errorf("%s in %s; %s good", counted(len(problems), "problem"), counted(len(files), "file"), counted(good, "file")))
}

// checkPath gives the number of files without a problem, and the problems of the others.
func checkPath(path string) (int, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		all, err := loader().LoadDir(path)
		return len(all), err
	}
	if _, err := loader().LoadFile(path); err != nil {
		return 0, err
	}
	return 1, nil
}
