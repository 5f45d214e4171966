package scoring

import (
	"math"
	"slices"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// How far a search goes: seams welded coarsely to look around in all, and proofs at
// the full grade for one setting.
const (
	mostLooks  = 40
	mostProofs = 8
)

// firstProbe is the rung of the first look along a ladder that the heat feels.
const firstProbe = 3

// rung is one value of a setting on the way from where it stood.
type rung struct {
	answer  weld.Answer
	steps   float64
	odd     bool      // nothing to propose by itself
	margins []float64 // as measured; nil before
}

// ladder is one setting moved one way, the nearest rung first, or its choices, in
// which there is no order.
type ladder struct {
	keys    []string // of the setting; of both currents where the whole pedal moves
	choices bool
	sure    bool // the heat goes the way it must
	rungs   []rung
}

// climb welds along the ladders, all at once, each where it may first hold, until
// every ladder has given what it has below the best of them.
func (s *saver) climb(at stand, ladders []*ladder, spare []bool, bound float64) {
	for {
		var next []*rung
		for _, l := range ladders {
			if r := l.next(at, spare, bound); r != nil && s.looks+len(next) < mostLooks {
				next = append(next, r)
			}
		}
		if next == nil {
			return
		}
		s.look(next)
		bound = min(bound, leastSteps(ladders, spare))
	}
}

// look welds rungs coarsely and reads them.
func (s *saver) look(rungs []*rung) {
	var seams []seam
	for _, r := range rungs {
		seams = append(seams, seam{r.answer, puddle.Coarse})
	}
	s.weld(seams...)
	for _, r := range rungs {
		r.margins = s.margins(r.answer)
	}
}

// leastSteps gives the size of the smallest change known to hold, +Inf for none.
func leastSteps(ladders []*ladder, spare []bool) float64 {
	least := math.Inf(1)
	for _, l := range ladders {
		if i := l.holds(spare); i >= 0 {
			least = min(least, l.rungs[i].steps)
		}
	}
	return least
}

// holds gives the first rung known to hold, -1 for none.
func (l *ladder) holds(spare []bool) int {
	return slices.IndexFunc(l.rungs, func(r rung) bool { return r.margins != nil && !r.odd && worst(r.margins, spare) < 1 })
}

// next gives the rung to weld next, nil when the ladder has nothing more to give
// under bound: the first that may hold by what is known of the ladder, or the one
// that comes nearest to it.
func (l *ladder) next(at stand, spare []bool, bound float64) *rung {
	if l.choices {
		for i := range l.rungs {
			if r := &l.rungs[i]; r.margins == nil && r.steps < bound {
				return r
			}
		}
		return nil
	}
	last := l.last()
	if last < 0 {
		i := min(firstProbe, len(l.rungs)-1)
		for i >= 0 && l.rungs[i].steps >= bound {
			i--
		}
		if i < 0 {
			return nil
		}
		return &l.rungs[i]
	}
	if l.idle(at, spare) {
		return nil
	}
	best, least := -1, math.Inf(1)
	for i := 0; i <= l.reach() && l.rungs[i].steps < bound; i++ {
		w := worst(l.guess(at, i), spare)
		if w < 1 {
			best, least = i, w
			break
		}
		if w <= least {
			best, least = i, w
		}
	}
	if best < 0 || l.rungs[best].margins != nil {
		return nil
	}
	if hopeless := least > 1.1; hopeless && !math.IsInf(bound, 1) { // and another ladder holds
		return nil
	}
	return &l.rungs[best]
}

// idle says whether a ladder that has been looked at takes too little from what
// rejects to be followed: under 8 % of what is over the limit. A margin that is cut
// off, or a pool as wide as the sheet, may be falling unseen, so a ladder that surely
// goes the right way gets a second look.
func (l *ladder) idle(at stand, spare []bool) bool {
	faults := func(m []float64) float64 {
		w := 0.0
		for r := range m {
			if at.margins[r] >= 1 && !spared(spare, r) {
				w = max(w, m[r])
			}
		}
		return w
	}
	start := faults(at.margins)
	least := start
	for _, r := range l.rungs {
		if r.margins != nil {
			least = min(least, faults(r.margins))
		}
	}
	return start-least < float64(0.08*(start-1)) && start < 2.9 && !(l.sure && l.last() <= firstProbe)
}

// last gives the farthest rung that has been read, -1 for none.
func (l *ladder) last() int {
	for i := len(l.rungs) - 1; i >= 0; i-- {
		if l.rungs[i].margins != nil {
			return i
		}
	}
	return -1
}

// reach gives the farthest rung that guess is trusted for: twice what is known.
func (l *ladder) reach() int { return min(2*l.last()+2, len(l.rungs)-1) }

// guess gives the margins at a rung: as read, or between or beyond those read,
// in a straight line. nil where nothing can be said.
func (l *ladder) guess(at stand, i int) []float64 {
	if m := l.rungs[i].margins; m != nil || l.choices {
		return m
	}
	read := func(i int) []float64 {
		if i < 0 {
			return at.margins
		}
		return l.rungs[i].margins
	}
	below, above := i-1, i+1
	for read(below) == nil {
		below--
	}
	for above < len(l.rungs) && l.rungs[above].margins == nil {
		above++
	}
	if above == len(l.rungs) {
		if below < 0 {
			return nil
		}
		above = below
		for below--; read(below) == nil; below-- {
		}
	}
	a, b := read(below), read(above)
	u := float64(i-below) / float64(above-below)
	out := make([]float64, len(a))
	for r := range out {
		out[r] = min(worstMargin, max(0, a[r]+float64(u*(b[r]-a[r]))))
	}
	return out
}

// single proves the smallest change of one setting that is known to hold. On its
// ladder the rung below must not hold; where the full grade asks a little more, the
// ladder is climbed further.
func (s *saver) single(at stand, ladders []*ladder) (stand, bool) {
	for range mostProofs {
		var l *ladder
		i := -1
		for _, c := range ladders {
			if k := c.holds(nil); k >= 0 && (l == nil || c.rungs[k].steps < l.rungs[i].steps) {
				l, i = c, k
			}
		}
		if l == nil {
			return stand{}, false
		}
		r := &l.rungs[i]
		try := []*rung{r}
		if i > 0 && !l.choices && !l.rungs[i-1].odd {
			try = append(try, &l.rungs[i-1])
		}
		s.prove(l, try)
		switch {
		case len(try) > 1 && worst(try[1].margins, nil) < 1:
		case worst(r.margins, nil) < 1:
			return at.move(l.keys, *r), true
		default:
			s.climb(at, []*ladder{l}, nil, leastSteps(ladders, nil))
		}
	}
	return stand{}, false
}

// prove welds rungs of a ladder at the full grade, compares the two grades there
// anew and reads the ladder again.
func (s *saver) prove(l *ladder, rungs []*rung) {
	var seams []seam
	for _, r := range rungs {
		seams = append(seams, seam{r.answer, puddle.Fine})
	}
	s.weld(seams...)
	for _, r := range rungs {
		s.calibrate(r.answer)
	}
	for i := range l.rungs {
		if r := &l.rungs[i]; r.margins != nil {
			r.margins = s.margins(r.answer)
		}
	}
	for _, r := range rungs {
		r.margins = s.margins(r.answer)
	}
}

// worst gives the highest margin, leaving out the rules in spare.
func worst(margins []float64, spare []bool) float64 {
	w := 0.0
	for i, m := range margins {
		if m > w && !spared(spare, i) {
			w = m
		}
	}
	return w
}

func spared(spare []bool, rule int) bool { return spare != nil && spare[rule] }
