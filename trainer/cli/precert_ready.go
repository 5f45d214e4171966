package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"puddlewise/trainer/learner"
	"puddlewise/trainer/precert"
	"puddlewise/trainer/session"
)

type readyOptions struct {
	*app
	Learner, Joints string
	JSON            bool
}

func newPrecertReady(a *app) *cobra.Command {
	o := &readyOptions{app: a}
	cmd := &cobra.Command{
		Use:   "ready ID|FILE [--learner NAME] [--json]",
		Short: "How a test would come out today",
		Long: `Estimate from the record how likely a test piece would be passed today: that each of
its welds has nothing to mend. With it go the range in which the learner's own chance
lies three times in four, the finding that the test would most likely fail by, and
three joints to practise. It knows skills and joints, not the inspector's sheet, which
is stricter in places (a fillet's throat), nor a slip out of the procedure; on made-up
apprentices it is right within 5 points, real ones have not been asked.

With --json, one object: piece, learner, chance, low, high, skills, seen, weakest,
finding, finding_share, practise (scenario, chance, skills).` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise precert ready TS-01",
		Args:    oneFile("a test piece of puddlewise precert list, or a file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return o.run(args[0], cmd.Flags().Changed("learner"))
		},
	}
	a.learnerFlag(cmd, &o.Learner)
	cmd.Flags().Lookup("learner").Usage = "the record of `NAME`"
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	return cmd
}

type readyJSON struct {
	Piece    string         `json:"piece"`
	Learner  string         `json:"learner"`
	Chance   float64        `json:"chance"`
	Low      float64        `json:"low"`
	High     float64        `json:"high"`
	Skills   int            `json:"skills"`
	Seen     int            `json:"seen"`
	Weakest  string         `json:"weakest"`
	Finding  string         `json:"finding"`
	Share    float64        `json:"finding_share"`
	Practise []practiseJSON `json:"practise"`
}

type practiseJSON struct {
	Scenario string   `json:"scenario"`
	Chance   float64  `json:"chance"`
	Skills   []string `json:"skills"`
}

func (o *readyOptions) run(id string, named bool) error {
	p, err := openPiece(id)
	if err != nil {
		return err
	}
	all, err := bank(o.Joints)
	if err != nil {
		return err
	}
	store, err := o.openRecord()
	if err != nil {
		return err
	}
	defer store.Close()
	e, err := o.estimate(store, all, &o.Learner, named)
	if err != nil {
		return err
	}
	past, err := store.Recent(o.Learner, learner.Reach)
	if err != nil {
		return err
	}
	r, err := p.Ready(e, past, all, o.env.Now())
	if err != nil {
		return badFile(err)
	}
	if o.JSON {
		out := readyJSON{p.ID, o.Learner, shareOf(r.Chance), shareOf(r.Low), shareOf(r.High), r.Skills, r.Seen, r.Weakest, r.Finding, shareOf(r.Share), []practiseJSON{}}
		for _, one := range r.Practise {
			out.Practise = append(out.Practise, practiseJSON{one.Scenario.ID, shareOf(one.Chance), one.Skills})
		}
		return printJSON(o.Out, out)
	}
	return o.print(p, r, len(past))
}

func (o *readyOptions) print(p precert.Piece, r precert.Readiness, coupons int) error {
	say := func(format string, args ...any) { fmt.Fprintln(o.Out, wrap(fmt.Sprintf(format, args...), 79, 0)) }
	say("%s  %s", p.ID, p.Title)
	if coupons == 0 {
		say("No coupon is recorded: this is what is taken of somebody nobody has seen weld.")
	}
	say("Chance of passing today: about %s; three times in four between %s and %s. From %s; %d of the test's %s seen on one.",
		percent(r.Chance), percent(r.Low), percent(r.High), counted(coupons, "coupon"), r.Seen, counted(r.Skills, "skill"))
	if r.Finding != "" {
		say("Most likely to fail by: %s (%s of what may go wrong). Weakest of its skills: %s.", session.InWords(r.Finding), percent(r.Share), r.Weakest)
	}
	for i, one := range r.Practise {
		if i == 0 {
			fmt.Fprintln(o.Out, "\nPractise first:")
		}
		fmt.Fprintf(o.Out, "  %-5s %s\n", one.Scenario.ID, one.Scenario.Title)
		fmt.Fprintln(o.Out, "        "+wrap(strings.Join(one.Skills, ", ")+"; nothing to mend: about "+percent(one.Chance), 79, 8))
	}
	_, err := fmt.Fprintln(o.Out, "\n"+wrap("An estimate of welds with nothing to mend. The inspector's sheet is stricter in places, and a slip out of the procedure is not in it. It certifies nothing.", 79, 0))
	return err
}

// percent is a share in whole hundredths, never quite 0 or 100.
func percent(share float64) string { return fmt.Sprintf("%.0f %%", min(99, max(1, 100*share))) }
