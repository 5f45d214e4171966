package cli

import (
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/record"
)

type learnerOptions struct {
	*app
	Learner string
	Joints  string
	JSON    bool
}

func newLearner(a *app) *cobra.Command {
	o := &learnerOptions{app: a}
	cmd := &cobra.Command{
		Use:   "learner [--learner NAME] [--joints DIR] [--json]",
		Short: "What to weld next, and how each skill stands",
		Long: `Say which joint pays most to weld next and why, and how each skill stands, the
weakest first. Both are estimates from the coupons in the record: from what went
wrong on each, how hard the joint is, and how long ago it was; answered questions
count a quarter of a coupon. "perhaps" stands where few coupons speak. Any other
joint may be welded as well.

Without --learner it is about who is set as the learner now.

With --json, one object: next holds scenario, skill, chance (of a coupon with
nothing to mend) and why; skills one object each with skill, word, seen, last,
right (chance of doing it right at a joint of level 3), strength (in logits above
such a joint), sd (of strength) and due (1 when it is time to meet it again).` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return o.run(cmd.Flags().Changed("learner")) },
	}
	a.learnerFlag(cmd, &o.Learner)
	cmd.Flags().Lookup("learner").Usage = "the skills of `NAME`"
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	cmd.AddCommand(newLearnerSimulate(a))
	return cmd
}

type standJSON struct {
	Next   *nextJSON   `json:"next"` // null when there is no joint to propose
	Skills []skillJSON `json:"skills"`
}

type nextJSON struct {
	Scenario string  `json:"scenario"`
	Skill    string  `json:"skill"`
	Chance   float64 `json:"chance"`
	Why      string  `json:"why"`
}

type skillJSON struct {
	Skill    string  `json:"skill"`
	Word     string  `json:"word"`
	Seen     int     `json:"seen"`
	Last     string  `json:"last"` // RFC 3339, UTC; empty when never seen
	Right    float64 `json:"right"`
	Strength float64 `json:"strength"`
	SD       float64 `json:"sd"`
	Due      float64 `json:"due"`
}

func (o *learnerOptions) run(named bool) error {
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
	now := o.env.Now()
	if o.JSON {
		return printJSON(o.Out, newStandJSON(e, now))
	}
	if c, ok := e.Next(now); ok {
		seed := ""
		if c.Seed != 0 {
			seed = fmt.Sprintf(" --seed %d", c.Seed)
		}
		fmt.Fprintf(o.Out, "Next: %s, %s (level %d).\n%s\npuddlewise practice --scenario %s%s\n\n", scenarios.Name(c.Scenario.ID, c.Seed), c.Scenario.Title, c.Scenario.Level, wrap(c.Why, 79, 0), c.Scenario.ID, seed)
	}
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	var fresh []string
	for _, s := range e.Skills(now) {
		if s.Seen == 0 {
			fresh = append(fresh, s.Name)
			continue
		}
		fmt.Fprintf(w, "%s\t%s\t%s\n", s.Name, s.Word(), s.When())
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if len(fresh) > 0 {
		fmt.Fprintln(o.Out, wrap("Not seen yet: "+strings.Join(fresh, ", ")+".", 79, 0))
	}
	return nil
}

// estimate reads how the learner's skills stand; who was not named is the present one,
// and then stands in name.
func (a *app) estimate(store *record.Store, joints []scenarios.Scenario, name *string, named bool) (*learner.Estimate, error) {
	if !named {
		present, err := a.present(store)
		if err != nil {
			return nil, err
		}
		*name = present
	}
	coupons, err := store.Briefs(record.Filter{Learner: *name, Own: true, Last: 1})
	if err != nil {
		return nil, err
	}
	if len(coupons) == 0 && named {
		return nil, noCouponsOf(store, *name)
	}
	return learner.Read(store, joints, *name)
}

func newStandJSON(e *learner.Estimate, now time.Time) standJSON {
	var out standJSON
	if c, ok := e.Next(now); ok {
		out.Next = &nextJSON{c.Scenario.ID, c.Skill.Name, shareOf(c.Chance), c.Why}
	}
	for _, s := range e.Skills(now) {
		last := ""
		if s.Seen > 0 {
			last = record.Stamp(s.Last)
		}
		out.Skills = append(out.Skills, skillJSON{s.Name, s.Word(), s.Seen, last, shareOf(s.Right), round(s.Strength, 100), round(s.SD, 100), round(s.Due, 100)})
	}
	return out
}
