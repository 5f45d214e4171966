package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"puddlewise/trainer/record"
	"puddlewise/trainer/report"
	"puddlewise/trainer/session"
)

type recordExportOptions struct {
	*app
	Learner   string
	Out       string
	JSON, CSV bool
}

func newRecordExport(a *app) *cobra.Command {
	o := &recordExportOptions{app: a}
	cmd := &cobra.Command{
		Use:   "export [--json|--csv] [--learner NAME] [--out FILE]",
		Short: "Write the coupons to a file, for another machine or a spreadsheet",
		Long: `Write the coupons out. As JSON, the usual, nothing is left out, answered questions
come with them, and puddlewise record import takes it on another machine. As CSV,
a row a coupon for a spreadsheet: without the metal, with numbers in metric units.
In it a text that a spreadsheet would run as a formula has a ' before it.

A file that is there already is not written over.` +
			exitCodes(exitDone, exitError, exitUsage),
		Example: "  puddlewise record export --out ann.json\n  puddlewise record export --csv --learner Ann --out ann.csv",
		Args:    noArguments,
		RunE:    func(*cobra.Command, []string) error { return o.run() },
	}
	cmd.Flags().BoolVar(&o.JSON, "json", false, "as JSON, the usual")
	cmd.Flags().BoolVar(&o.CSV, "csv", false, "as a table for a spreadsheet")
	cmd.Flags().StringVar(&o.Out, "out", "", "write to `FILE`, not to the screen")
	a.learnerFlag(cmd, &o.Learner)
	return cmd
}

func (o *recordExportOptions) run() error {
	if o.CSV && o.JSON {
		return usageError("--csv and --json do not go together\nwrite two files, one after the other")
	}
	store, err := o.openRecord()
	if err != nil {
		return err
	}
	defer store.Close()
	filter := record.Filter{Learner: o.Learner}
	if o.Learner != "" {
		if all, err := store.Learners(); err != nil {
			return err
		} else if !slices.ContainsFunc(all, func(l record.Learner) bool { return l.Name == o.Learner }) {
			return noCouponsOf(store, o.Learner)
		}
	}
	return o.toFile(o.app.Streams.Out, o.Out, func(w io.Writer) error {
		if o.CSV {
			return report.CouponsCSV(w, func(each func(session.Attempt) error) error { return store.Each(filter, each) })
		}
		return store.Export(w, filter)
	})
}

// toFile writes to a file that is not there yet, for its owner alone, or without a
// name to out. Half a file is taken away again.
func (a *app) toFile(out io.Writer, name string, write func(io.Writer) error) (err error) {
	if name == "" {
		return write(out)
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already; it was not touched\nname a file that is not there yet", name)
	}
	if err != nil {
		return err
	}
	if err = errors.Join(write(f), f.Close()); err != nil {
		os.Remove(name)
	}
	return err
}
