package drill

import (
	"fmt"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// OwedWords says how the coupon came out that was being welded when the drill was closed.
func OwedWords(a Attempt) string {
	return fmt.Sprintf("The coupon that was being welded when this was closed counts: %s, %s.", scenarios.Name(a.Scenario, a.Seed), a.Outcome)
}

// Counts says of a coupon what its outcome does not: whether it is a try where it was not
// scored, or that it was accepted and is not passed all the same; "" otherwise.
func (d Drill) Counts(a session.Attempt) string {
	v := a.Verdict
	switch {
	case !IsTry(a):
		return "It does not count: the try is not used."
	case v.Outcome == scoring.OutOfRange:
		return "An arc that was struck has used its try."
	}
	if v.Outcome != scoring.Accept || d.Passes(v) {
		return ""
	}
	return "Accepted, but under the drill's marks: " + d.Marks() + "."
}

// Marks says what each score has to be at least.
func (d Drill) Marks() string {
	return fmt.Sprintf("burn-through %.0f, lack of fusion %.0f, oxide %.0f", d.Pass.BurnThrough, d.Pass.LackOfFusion, d.Pass.Oxide)
}

// EndWords sums a result up, and says how often and how long the drill was closed; away
// is empty where it never was.
func (r Result) EndWords() (sum, away string) {
	passed, over := map[string]bool{}, "Drill over"
	for _, t := range r.Tried() {
		if t.Passed {
			passed[t.Scenario] = true
		}
	}
	if !r.Done {
		over = "So far"
	}
	sum = fmt.Sprintf("%s: %d of %s passed, %s, %s.", over, len(passed), view.Counted(r.Joints, "joint"), view.Counted(len(r.Attempts), "coupon"), view.Spell(seconds(r.Working)))
	if n := len(r.Away); n > 0 {
		gone := time.Duration(0)
		for _, a := range r.Away {
			gone += a.To.Sub(a.From)
		}
		away = fmt.Sprintf("Away in the middle %s, %s in all.", view.Counted(n, "time"), view.Spell(gone))
	}
	return sum, away
}
