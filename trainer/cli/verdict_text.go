package cli

import (
	"fmt"
	"io"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// printVerdict writes the verdict for reading: what decided, the scores, every
// finding, and the coupon's key numbers.
func printVerdict(w io.Writer, sc scenarios.Scenario, v scoring.Verdict, system weld.System) {
	word, mark := view.Outcome(v.Outcome)
	fmt.Fprintf(w, "%s  %s  %s, %s\n", sc.Name(), sc.Title, sc.Task.Joint, view.Position(sc.Task))
	fmt.Fprintf(w, "%s %s  %s\n", word, mark, view.Said(v.Reason, system))
	if scores := view.Scores(v); scores != nil {
		fmt.Fprintln(w)
		for _, s := range scores {
			fmt.Fprintf(w, "  %-15s %3d %s\n", s.Name, s.Value, s.Mark())
		}
		fmt.Fprintf(w, "  %.0f is the limit of what is accepted\n", scoring.Limit)
	}
	told := view.Explain(sc.Task, v, true, system)
	for _, f := range told.Findings {
		fmt.Fprintf(w, "\n%s %s (%s)\n", view.SeverityMark(f.Severity), f.Head, f.Severity)
		for _, fact := range append(f.Facts, view.Fact{Label: "from", Text: f.Source}) {
			fmt.Fprintf(w, "  %-5s %s\n", fact.Label, fact.Text)
		}
	}
	if told.Signs != nil {
		fmt.Fprintln(w, "\nwhat else was to be seen")
		for _, s := range told.Signs {
			for _, sign := range s.Signs {
				fmt.Fprintf(w, "  %-8s %s\n", s.Place, sign.Explained())
			}
		}
	}
	if len(v.Coupon.Stations) == 0 {
		return
	}
	fmt.Fprintln(w, "\ncoupon")
	for _, line := range view.CouponWords(sc.Task, v, system) {
		fmt.Fprintf(w, "  %s\n", line)
	}
	if v.Coupon.PoolLength > 0 {
		fmt.Fprintf(w, "  Pool length: %s.\n", v.Coupon.PoolLength.Show(system))
	}
}
