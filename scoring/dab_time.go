package scoring

import (
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// DabHurry is how far ahead a dab's time is looked for, s: what is further off is no hurry.
const DabHurry = 5.0

// DabTime is how long a hand has for a dab: from when the pool is ready for the rod
// until it is too late without it.
type DabTime struct {
	Ready int    // step of the run; -1: the pool is not ready within DabHurry
	Late  int    // step of the run; -1: not within DabHurry of Ready, or before the arc is out
	Sign  string // what is too late: keyhole or hole, as the signs are called
}

// How wet the pool is that takes a dab, as Pool.Through says it: as it was at the dab
// before, between these, or the least where it gets no wetter. Common practice, no source.
const leastWet, mostWet = 0.9, 0.98

// TimeToDab steps a live run again without any dab after the given step, the hand
// otherwise as it was, and gives the time there was for the next one. After is the step of
// the dab before, -1 for the first. The error is that of JudgeRun.
func TimeToDab(r HandRun, after int) (DabTime, error) {
	var kept []puddle.Input
	for _, in := range r.Inputs {
		if in.Do != puddle.Dab || in.Step <= after {
			kept = append(kept, in)
		}
	}
	out := DabTime{Ready: -1, Late: -1}
	l := puddle.NewLive(r.Task, r.Set)
	wet, from, damp := mostWet, after, -1
	open := r.Task.Joint == weld.EdgeWeld // its far sides stay cold: a pool is a pool
	far := int(math.Round(DabHurry / puddle.LiveStep))
	wall := float64(r.Task.Thinner())
	err := replay(l, kept, r.Steps, func(n int) bool {
		if n < after-1 {
			return true
		}
		p := l.Pool()
		switch {
		case n == after-1:
			wet = math.Min(mostWet, math.Max(leastWet, p.Through))
			return true
		case n <= after:
			return true
		case !p.Lit:
			return from < 0 // the arc is not struck yet, or out
		}
		if from < 0 {
			from = n
		}
		if p.Width > 0 && (open || p.Through >= wet) && out.Ready < 0 {
			out.Ready = n
		}
		if p.Width > 0 && p.Through >= leastWet && damp < 0 {
			damp = n
		}
		switch {
		case p.Keyhole >= 1:
			out.Late, out.Sign = n, "keyhole"
		case p.Back >= float64(ThroughWidth*wall):
			out.Late, out.Sign = n, "hole"
		}
		return out.Late < 0 && n < max(from, out.Ready)+far
	})
	if out.Ready < 0 {
		out.Ready = damp
	}
	return out, err
}
