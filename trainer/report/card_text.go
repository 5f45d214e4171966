package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"puddlewise/scoring"
	"puddlewise/trainer/session/view"
)

// CardText writes a card for a terminal of 80 columns.
func CardText(out io.Writer, c Card) error {
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	p("%s, %s", c.name(), c.Made.Format(time.DateOnly))
	for _, line := range c.summary() {
		p("%s", line)
	}
	if steps := c.Steps(7); steps != nil {
		p("\nThree scores over time: %s, %.0f is the limit", steps[0].each(), scoring.Limit)
		row := fmt.Sprintf("  %-15s", "from")
		for _, s := range steps {
			row += fmt.Sprintf("%9s", s.From.Format("06-01-02"))
		}
		p("%s", row)
		for i, name := range ScoreNames {
			row = fmt.Sprintf("  %-15s", name)
			for _, s := range steps {
				row += fmt.Sprintf("%9d", whole(s.Scores[i]))
			}
			p("%s", row)
		}
	}
	if c.Findings != nil {
		p("\nCoupons by finding: of all %d, and of the last %d", c.Coupons, c.Lately)
		for _, f := range c.Findings[:min(12, len(c.Findings))] {
			p("  %-26s %5d %3d  %s", f.Name, f.All, f.Lately, strings.Repeat("#", max(1, 38*f.All/c.Findings[0].All)))
		}
		left(p, len(c.Findings)-12, "finding")
	}
	if c.Kinds != nil {
		p("\nThree scores by metal and joint: means")
		p("  %-15s %-22s %8s %9s %6s %6s %6s", "", "", "coupons", "accepted", "burn", "fusion", "oxide")
		for _, k := range c.Kinds[:min(12, len(c.Kinds))] {
			p("  %-15s %-22s %8d %9d %6d %6d %6d", k.Joint, k.Metal, k.Coupons, k.Accepted, whole(k.Scores[0]), whole(k.Scores[1]), whole(k.Scores[2]))
		}
		left(p, len(c.Kinds)-12, "kind")
	}
	if c.Skills != nil {
		p("\nSkills, weakest first")
		for _, s := range c.Skills {
			p("  %-30s %s", s.Name, s.Words)
		}
	}
	_, err := io.WriteString(out, b.String())
	return err
}

func left(p func(string, ...any), n int, what string) {
	if n > 0 {
		p("  and %s more", view.Counted(n, what))
	}
}

// name is what the card is headed with.
func (c Card) name() string {
	if c.Learner == "" {
		return "Learner's card"
	}
	return c.Learner
}

// summary is what the card says before its plots.
func (c Card) summary() []string {
	if c.Coupons == 0 {
		return []string{"No coupon has been welded yet."}
	}
	coupons := view.Counted(c.Coupons, "coupon")
	if c.ByHand > 0 {
		coupons += fmt.Sprintf(", %d by hand", c.ByHand)
	}
	first := fmt.Sprintf("%s: %d accepted, %d rejected", coupons, c.Accepted, c.Coupons-c.Accepted-c.NotScored)
	if c.NotScored > 0 {
		first += fmt.Sprintf(", %d not scored", c.NotScored)
	}
	second := fmt.Sprintf("Welded on %s, %s to %s; %d of the bank's %s tried.", view.Counted(c.Days, "day"),
		c.First.Format(time.DateOnly), c.Last.Format(time.DateOnly), c.Joints, view.Counted(c.Bank, "joint"))
	lines := []string{first + ".", second}
	if c.Said > 0 {
		lines = append(lines, fmt.Sprintf("What went wrong was said before it was told: right %d of %s.", c.Right, view.Counted(c.Said, "time")))
	}
	return lines
}

// whole rounds a score down, so that what is short never shows as the limit.
func whole(x float64) int { return int(math.Floor(math.Min(100, math.Max(0, x)) + 1e-9)) }
