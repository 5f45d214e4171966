package cli

import (
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/precert"
	"puddlewise/trainer/session/view"
)

type sheetOptions struct {
	*app
	Seed                  int64
	Answer, Joints, Units string
}

func newPrecertSheet(a *app) *cobra.Command {
	o := &sheetOptions{app: a}
	cmd := &cobra.Command{
		Use:   "sheet [--seed N] [--answer NUMBER]",
		Short: "Judge an inspector's sheet: which line is wrong?",
		Long: `Print somebody's coupon and the inspector's sheet of it, as of a test piece of
ISO 9606-1, in which one line is wrong: its result does not follow from what was
measured, or it does not say what the coupon shows. With --answer, the number of the
line in ISO 6520-1, it says whether that is the one, and what gives it away.

The same seed gives the same sheet. Nothing is recorded.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise precert sheet --seed 7\n  puddlewise precert sheet --seed 7 --answer 504",
		Args:    noArguments,
		RunE:    func(cmd *cobra.Command, _ []string) error { return o.run(cmd.Flags().Changed("seed")) },
	}
	cmd.Flags().Int64Var(&o.Seed, "seed", 0, "the sheet of seed `N`")
	cmd.Flags().StringVar(&o.Answer, "answer", "", "the `NUMBER` of the line that is wrong")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
	return cmd
}

func (o *sheetOptions) run(seeded bool) error {
	sys, err := unitsOf(o.Units, weld.Metric)
	if err != nil {
		return err
	}
	if !seeded {
		if o.Answer != "" {
			return usageError("--answer needs --seed: which sheet was it\nthe sheet says its number")
		}
		o.Seed = o.env.Now().UnixMilli() % 1_000_000
	}
	all, err := bank(o.Joints)
	if err != nil {
		return err
	}
	f, err := precert.FillIn(all, o.Seed, scoring.Judge)
	if err != nil {
		return err
	}
	if o.Answer != "" {
		return o.check(f, sys)
	}
	sc := f.Scenario
	fmt.Fprintf(o.Out, "Sheet %d. %s  %s\n", o.Seed, sc.ID, sc.Title)
	leg := ""
	if sc.Task.Joint.Fillet() {
		leg = ", legs of " + sc.Task.LegAsked().Show(sys) + " asked"
	}
	fmt.Fprintln(o.Out, wrap(fmt.Sprintf("%s, %s, walls %s and %s%s. This is the coupon:", sc.Task.Joint, sc.Task.Position, sc.Task.A.Thickness.Show(sys), sc.Task.B.Thickness.Show(sys), leg), 79, 0))
	for _, words := range view.CouponWords(sc.Task, f.Verdict, sys) {
		fmt.Fprintln(o.Out, "  "+wrap(words, 79, 4))
	}
	fmt.Fprintln(o.Out, "\nThe inspector's sheet, as filled in. One line is wrong: which?")
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	for _, l := range f.Lines {
		fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s\n", l.Imperfection, l.Name, view.Said(l.Got, sys), view.Said(l.Want, sys), l.Result)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	_, err = fmt.Fprintf(o.Out, "\npuddlewise precert sheet --seed %d --answer NUMBER\n", o.Seed)
	return err
}

func (o *sheetOptions) check(f precert.Filled, sys weld.System) error {
	n, ok := f.Find(strings.TrimSpace(o.Answer))
	if !ok {
		var numbers []string
		for _, l := range f.Lines {
			numbers = append(numbers, string(l.Imperfection))
		}
		slices.Sort(numbers)
		return usageError("there is no line %.20q on this sheet\nallowed are %s", o.Answer, strings.Join(numbers, ", "))
	}
	t := f.Truth
	if n == f.Wrong {
		fmt.Fprintf(o.Out, "Right + ")
	} else {
		l := f.Lines[n]
		fmt.Fprintf(o.Out, "Not that one x  %s %s: %s, %s, %s holds.\nIt is ", l.Imperfection, l.Name, view.Said(l.Got, sys), view.Said(l.Want, sys), l.Result)
	}
	_, err := fmt.Fprintf(o.Out, "%s %s: %s.\nIt ought to read: %s, %s, %s (%s).\n", t.Imperfection, t.Name, view.Said(f.Why, sys), view.Said(t.Got, sys), view.Said(t.Want, sys), t.Result, t.Source)
	return err
}
