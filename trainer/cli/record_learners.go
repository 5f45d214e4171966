package cli

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/trainer/record"
)

type recordLearnersOptions struct {
	*app
	JSON bool
}

func newRecordLearners(a *app) *cobra.Command {
	o := &recordLearnersOptions{app: a}
	cmd := &cobra.Command{
		Use:   "learners [--json]",
		Short: "List who has welded here",
		Long: `List who has welded on this machine: name, coupons, first and last day.

With --json, one array of objects with name, coupons, answers (to
questions), first and last.` +
			exitCodes(exitDone, exitError, exitUsage),
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error { return o.run() },
	}
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an array of objects")
	return cmd
}

type learnerJSON struct {
	Name    string `json:"name"`
	Coupons int    `json:"coupons"`
	Answers int    `json:"answers"`
	First   string `json:"first"`
	Last    string `json:"last"`
}

func (o *recordLearnersOptions) run() error {
	store, err := o.openRecord()
	if err != nil {
		return err
	}
	defer store.Close()
	all, err := store.Learners()
	if err != nil {
		return err
	}
	if o.JSON {
		list := make([]learnerJSON, 0, len(all))
		for _, l := range all {
			list = append(list, learnerJSON{l.Name, l.Coupons, l.Answers, record.Stamp(l.First), record.Stamp(l.Last)})
		}
		return printJSON(o.Out, list)
	}
	if len(all) == 0 {
		fmt.Fprintln(o.Out, "no coupon has been welded yet")
		return nil
	}
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	for _, l := range all {
		fmt.Fprintf(w, "%s\t%s\t%s to %s\n", nameOf(l.Name), holds(l), l.First.Local().Format("2006-01-02"), l.Last.Local().Format("2006-01-02"))
	}
	return w.Flush()
}

// holds counts what the record has of a learner.
func holds(l record.Learner) string {
	text := counted(l.Coupons, "coupon")
	if l.Answers > 0 {
		text += " and " + counted(l.Answers, "answer")
	}
	return text
}

// nameOf is what a learner is called.
func nameOf(name string) string {
	if name == "" {
		return "(no name)"
	}
	return name
}
