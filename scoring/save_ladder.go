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
	hand    HandChange // of a live run, in the answer's place
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
	climb(at, ladders, spare, bound, &s.looks, s.look)
}

// climb is what both savers do, of an answer and of a hand; looks counts the rungs welded.
func climb(at stand, ladders []*ladder, spare []bool, bound float64, looks *int, look func([]*rung)) {
	for {
		var next []*rung
		for _, l := range ladders {
			if r := l.next(at, spare, bound); r != nil && *looks+len(next) < mostLooks {
				next = append(next, r)
			}
		}
		if next == nil {
			return
		}
		look(next)
		bound = min(bound, leastSteps(ladders, spare))
	}
}

// look welds rungs coarsely and reads them.
func (s *saver) look(rungs []*rung) {
	var seams []pass
	for _, r := range rungs {
		seams = append(seams, pass{r.answer, puddle.Coarse})
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
	if least >= 1 && l.sure && l.unmended(at, last) && last+1 < len(l.rungs) {
		// A margin that is cut off says nothing of how far it is to go.
		if best = min(2*last+2, (last+len(l.rungs))/2); l.rungs[best].steps >= bound {
			return nil
		}
		return &l.rungs[best]
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
// rejects to be followed: under 8 % of what is over the limit. What the heat decides may
// be falling unseen where the margin is cut off, or the pool as wide as the sheet: a
// ladder that surely goes the right way is not idle before the fault is gone.
func (l *ladder) idle(at stand, spare []bool) bool {
	for r, start := range at.margins {
		if start < 1 || spared(spare, r) {
			continue
		}
		least := start
		for _, rung := range l.rungs {
			if rung.margins != nil {
				least = min(least, rung.margins[r])
			}
		}
		if start-least < float64(0.08*(start-1)) && !(ofHeat(at.margins, r) && (l.sure || start >= worstMargin)) {
			return true
		}
	}
	return false
}

// unmended says whether a fault that the heat decides is still there at a rung, and
// none of the other kind yet.
func (l *ladder) unmended(at stand, i int) bool {
	if harms(at.margins, l.rungs[i].margins) {
		return false
	}
	for r, m := range l.rungs[i].margins {
		if at.margins[r] >= 1 && m >= 1 && ofHeat(at.margins, r) {
			return true
		}
	}
	return false
}

// ofHeat says whether a fault is one of too much or too little heat, or tells no more
// than one that is.
func ofHeat(margins []float64, fault int) bool {
	for r, m := range margins {
		hot := rules[r].score == burnThrough || rules[r].score == lackOfFusion
		if hot && m >= 1 && (r == fault || SaysNoMore(rules[fault].id, rules[r].id)) {
			return true
		}
	}
	return false
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

// mostSteep is what a margin counts for at most where a rule's limit is sought between
// a rung under it and one over it; most rules are near straight up to there.
const mostSteep = 2

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
	between := above > i
	u := float64(i-below) / float64(above-below)
	out := make([]float64, len(a))
	for r := range out {
		from, to := a[r], b[r]
		if between && min(from, to) < 1 { // how far over is no measure of how steep
			from, to = min(from, mostSteep), min(to, mostSteep)
		}
		out[r] = min(worstMargin, max(0, from+float64(u*(to-from))))
	}
	return out
}

// smallestHeld gives the smallest change that is thought to hold; l is nil for none.
func smallestHeld(ladders []*ladder) (l *ladder, i int) {
	for _, c := range ladders {
		if k := c.holds(nil); k >= 0 && (l == nil || c.rungs[k].steps < l.rungs[i].steps) {
			l, i = c, k
		}
	}
	return l, i
}

// single proves the smallest change of one setting that is known to hold. On its
// ladder the rung below must not hold; where the full grade asks a little more, the
// ladder is climbed further.
func (s *saver) single(at stand, ladders []*ladder) (stand, bool) {
	for range mostProofs {
		l, i := smallestHeld(ladders)
		if l == nil {
			if l, i = s.nearest(ladders); l == nil {
				return stand{}, false
			}
		}
		proven := s.proven(l, i)
		s.readAgain(ladders)
		if proven {
			return at.move(l.keys, l.rungs[i]), true
		}
		s.climb(at, []*ladder{l}, nil, leastSteps(ladders, nil))
	}
	return stand{}, false
}

// readAgain reads what has been welded of the ladders anew.
func (s *saver) readAgain(ladders []*ladder) {
	for _, l := range ladders {
		for k := range l.rungs {
			if r := &l.rungs[k]; r.margins != nil {
				r.margins = s.margins(r.answer)
			}
		}
	}
}

// nearest gives the rung that comes nearest to holding, of those in doubt; nil for none.
func (s *saver) nearest(ladders []*ladder) (l *ladder, i int) {
	least := 1 + doubt
	if !s.compared {
		least = 1 + unread
	}
	for _, c := range ladders {
		for k, r := range c.rungs {
			if r.margins == nil || r.odd || s.bead(r.answer, puddle.Fine) != nil {
				continue
			}
			if w := worst(r.margins, nil); w < least {
				l, i, least = c, k, w
			}
		}
	}
	return l, i
}

// How far over the limit a margin read coarsely may be and yet hold at the full grade:
// once the two have been compared close by, and before; and from where a rung surely
// does not. A thick fillet's root comes out a fifth worse coarsely, the start of a thin
// lap two fifths.
const doubt, unread, noDoubt = 0.08, 0.25, 0.5

// proven welds a rung and the one below it at the full grade, compares the two grades
// there and reads the ladder anew. It is true when the rung holds and the one below it
// does not.
func (s *saver) proven(l *ladder, i int) bool {
	seams := []pass{{l.rungs[i].answer, puddle.Fine}, {l.rungs[i].answer, puddle.Coarse}}
	var below *rung
	if i > 0 && !l.choices && !l.rungs[i-1].odd {
		if below = &l.rungs[i-1]; below.margins == nil || worst(below.margins, nil) < 1+noDoubt {
			seams = append(seams, pass{below.answer, puddle.Fine})
		}
	}
	s.weld(seams...)
	s.calibrate(l.rungs[i].answer)
	s.readAgain([]*ladder{l})
	if below != nil {
		below.margins = s.margins(below.answer)
	}
	return worst(l.rungs[i].margins, nil) < 1 && (below == nil || worst(below.margins, nil) >= 1)
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
