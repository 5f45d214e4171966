package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
)

func newNew(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "new",
		Short: "Start a file: a joint of your own",
		Long:  "Start a file: a joint of your own." + exitCodes(exitDone, exitUsage),
		Args:  noArguments,
		RunE:  func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newNewJoint(a))
	return cmd
}

// newJointFile is what a joint is called that was given no name.
const newJointFile = "new-joint.yaml"

func newNewJoint(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "joint [FILE]",
		Short: "Start a file with a joint of your own",
		Long: `Write a file with a whole joint, commented, to change into your own. Its name
without .yaml is the joint's id; ` + newJointFile + ` when none is given. A file that is
there already is left as it is.` +
			exitCodes(exitDone, exitError, exitUsage),
		Example: "  puddlewise new joint my-joints/T-07.yaml",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usageError("new joint starts one file, it was given %d names", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			name := newJointFile
			if len(args) == 1 {
				name = args[0]
			}
			return startJoint(a, name)
		},
	}
}

func startJoint(a *app, name string) error {
	text := fmt.Sprintf(`# A joint of your own. This one is whole: change it a part at a time, and ask
#   puddlewise check %[1]s
#   puddlewise weld --scenario %[1]s --answer model
#   puddlewise bank --audit %[1]s
`, name) + scenarios.Example()
	if strings.ContainsAny(name, "\r\n") {
		return usageError("%.40q is no name for a file", name)
	}
	if _, err := (scenarios.Loader{}).Parse(filepath.Base(name), []byte(text)); err != nil { // only its name can be wrong
		return usageError("%s", strings.TrimSpace(err.Error()))
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already and stays as it is\ngive another name: puddlewise new joint %s", name, filepath.Join(filepath.Dir(name), "T-07.yaml"))
	}
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	fmt.Fprintf(a.Out, "%s is started\nchange it, then: puddlewise check %[1]s\n", name)
	return nil
}
