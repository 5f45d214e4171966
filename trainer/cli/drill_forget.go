package cli

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"
)

type drillForgetOptions struct {
	*app
	Yes bool
}

func newDrillForget(a *app) *cobra.Command {
	o := &drillForgetOptions{app: a}
	cmd := &cobra.Command{
		Use:   "forget NAME FILE|DIR... [--yes]",
		Short: "Delete the results of one learner",
		Long: `Delete the results of one learner, whatever the files are called. A result holds one
learner and no other file names that learner. It asks before, unless --yes is given.
What was welded on this machine is in its record too: puddlewise record forget
--learner NAME. Rosters, pages and tables you have written are your files.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise drill forget Ann results",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) < 2 {
				return usageError("drill forget needs a name, and files or folders\npuddlewise drill forget Ann results")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error { return o.run(args[0], args[1:]) },
	}
	cmd.Flags().BoolVar(&o.Yes, "yes", false, "do not ask")
	return cmd
}

func (o *drillForgetOptions) run(name string, from []string) error {
	all, err := readResults(from)
	if err != nil {
		return err
	}
	var files, names []string
	for _, r := range all {
		names = append(names, r.Learner)
		if r.Learner == name {
			files = append(files, r.File)
		}
	}
	if files == nil {
		return fmt.Errorf("no result here is of %.40q%s", name, nearest(name, names))
	}
	if !o.Yes {
		fmt.Fprintf(o.Out, "This deletes, for good:\n  %s\nType yes to go on: ", strings.Join(files, "\n  "))
		line, _ := bufio.NewReader(o.In).ReadString('\n') // no answer is not yes
		if !strings.HasSuffix(line, "\n") {
			fmt.Fprintln(o.Out)
		}
		if strings.TrimSpace(line) != "yes" {
			return fmt.Errorf("nothing was deleted\nit takes the word yes, or --yes")
		}
	}
	var errs []error
	for _, f := range files {
		errs = append(errs, os.Remove(f))
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	fmt.Fprintf(o.Out, "%s deleted\n", counted(len(files), "result"))
	return nil
}
