package cli

import (
	"fmt"
	"path/filepath"
	"runtime"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/scoring"
	"puddlewise/trainer/record"
)

type infoOptions struct {
	*app
	Joints string
}

func newInfo(a *app) *cobra.Command {
	o := &infoOptions{app: a}
	cmd := &cobra.Command{
		Use:   "info",
		Short: "Say where things are and what the terminal can do",
		Long: `Say which version this is, where the record is kept, how many joints there are
and what is known of the terminal. It opens no record and makes no folder.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error { return o.run() },
	}
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	return cmd
}

func (o *infoOptions) run() error {
	all, err := bank(o.Joints)
	if err != nil {
		return err
	}
	data, place := "none: "+"set XDG_DATA_HOME", ""
	if dir, err := o.env.dataFolder(); err == nil {
		data, place = dir, filepath.Join(dir, record.FileName)
	}
	t := o.terminal()
	size := "unknown"
	if t.Width > 0 {
		size = fmt.Sprintf("%d x %d", t.Width, t.Height)
	}
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	for _, row := range [][2]string{
		{"version", version()},
		{"model", scoring.ModelVersion},
		{"system", runtime.GOOS + "/" + runtime.GOARCH},
		{"data folder", data},
		{"record", place},
		{"settings", "kept in the record"},
		{"joints", fmt.Sprint(len(all))},
		{"terminal", t.Kind},
		{"input from it", yesNo(t.In)},
		{"output to it", yesNo(t.Out)},
		{"size", size},
		{"UTF-8", yesNo(t.UTF8)},
		{"colour", yesNo(t.Colour)},
	} {
		fmt.Fprintf(w, "%s\t%s\n", row[0], row[1])
	}
	return w.Flush()
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
