package scoring

import (
	"math"
	"slices"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// HandRescue is the smallest change found of a hand's motion that makes a rejected live
// run acceptable.
type HandRescue struct {
	Changes []HandChange // one or two; none: nothing was found
	Inputs  []puddle.Input
	Steps   int
	Verdict Verdict // of those inputs, welded at the full grade
	// Set names the findings against the run that no change of the hand moved: they lie in
	// what was set before the arc. Only where nothing was found.
	Set []string
}

// HandRun is a live run with what it stands on.
type HandRun struct {
	Task   weld.Task
	Set    weld.Answer // before the arc
	Inputs []puddle.Input
	Steps  int
	Most   weld.Current // that the machine gives; 0 for any
}

// SaveRun looks for the smallest change of the hand's motion, of one move and then of
// two, that the model accepts: the run's inputs are changed and welded again, coarsely
// to look around, at the full grade as proof. The size of a change is counted in steps
// that a shop would talk about (handStep), less where it holds over a part of the seam
// only, down to half. Found is false when nothing within reach saves the run, or it is
// accepted already or cannot be welded. The same run gives the same change, however
// par spreads the work.
func SaveRun(run HandRun, sys weld.System, par Parallel) (r HandRescue, found bool) {
	s := newHandSaver(run, track{run.Inputs, run.Steps}, sys, par)
	at, ladders, r, found := s.near("")
	if found || ladders == nil {
		return r, found
	}
	if r, found := s.pair(at, ladders); found {
		return r, true
	}
	if c, ok := mostMended(at, ladders); ok {
		s.weld(handPass{handTry{c}, puddle.Fine})
		if r, found := s.rescue(handTry{c}); found { // the coarse grade was too strict
			return r, true
		}
		t, _ := s.track(handTry{c})
		if _, _, r, found := newHandSaver(run, t, sys, par).near(c.Move); found {
			then := r.Changes[0]
			own := s.run.follow(s.set, float64(s.task.Seam)) // it is told by the learner's clock
			then.Second = secondsOf(own.reaches(float64(then.From)))
			r.Changes = []HandChange{c, then}
			return r, true
		}
	}
	return HandRescue{Set: s.unmoved(at)}, false
}

func newHandSaver(of HandRun, run track, sys weld.System, par Parallel) *handSaver {
	s := &handSaver{task: of.Task, set: of.Set, run: run, most: mostPedal, sys: sys, par: par, welds: map[handTry]*handWeld{}}
	if of.Most > 0 {
		s.most = math.Min(s.most, float64(of.Most))
	}
	return s
}

// near looks for one change that saves the run, of another move than but; ladders is nil
// where none is asked for.
func (s *handSaver) near(but HandMove) (at stand, ladders []*ladder, r HandRescue, found bool) {
	var start handTry
	s.weld(handPass{start, puddle.Fine}, handPass{start, puddle.Coarse})
	v, ok := s.verdict(start)
	if !ok || v.Outcome != Reject {
		return at, nil, r, false
	}
	s.calibrate(start)
	at.margins = s.margins(start)
	ladders = slices.DeleteFunc(s.ladders(v), func(l *ladder) bool { return l.keys[0] == string(but) })
	s.climb(at, ladders)
	r, found = s.single(at, ladders)
	return at, ladders, r, found
}

// mostMended gives the change that leaves the least against the run.
func mostMended(at stand, ladders []*ladder) (c HandChange, ok bool) {
	least := excess(at.margins)
	for _, l := range ladders {
		for _, r := range l.rungs {
			if r.margins == nil {
				continue
			}
			if left := excess(r.margins) + float64(0.03*r.steps); left < least {
				c, least, ok = r.hand, left, true
			}
		}
	}
	return c, ok
}

// handTry is up to two changes made to a run, in that order.
type handTry [2]HandChange

// handWeld is a try, welded: at each grade the margins of what rejects, nil where it was
// not or could not be.
type handWeld struct {
	done    [2]bool
	margins [2][]float64
	verdict Verdict     // at the full grade
	froze   bool        // the rod, to the sheet
	means   weld.Answer // what the run comes to
}

type handSaver struct {
	task  weld.Task
	set   weld.Answer
	run   track
	most  float64 // A
	sys   weld.System
	par   Parallel
	welds map[handTry]*handWeld
	looks int
	fine  []float64 // by rule: the fine margin for a coarse one, where both were welded last
}

// track gives the run with the changes of a try.
func (s *handSaver) track(y handTry) (track, bool) {
	t := s.run
	for _, c := range y {
		if c.Move == "" {
			continue
		}
		var ok bool
		if t, ok = t.changed(c, s.task, s.set); !ok {
			return t, false
		}
	}
	return t, true
}

// handPass is what is welded: a try at a grade.
type handPass struct {
	try   handTry
	grade puddle.Grade
}

// weld welds what has not been welded yet, all at once.
func (s *handSaver) weld(passes ...handPass) {
	var jobs []handPass
	for _, j := range passes {
		w := s.welds[j.try]
		if w == nil {
			w = &handWeld{}
			s.welds[j.try] = w
		}
		if w.done[j.grade] {
			continue
		}
		w.done[j.grade] = true
		if j.grade == puddle.Coarse {
			s.looks++
		}
		jobs = append(jobs, j)
	}
	s.par(len(jobs), func(i int) {
		t, ok := s.track(jobs[i].try)
		if !ok {
			return
		}
		bead, a, err := weldRun(s.task, s.set, t.inputs, t.steps, jobs[i].grade)
		if err != nil {
			return
		}
		a = judgedAs(a, bead)
		if outside(s.task, a) != "" {
			return
		}
		w := s.welds[jobs[i].try]
		w.margins[jobs[i].grade] = rejecting(s.task, a, bead)
		if jobs[i].grade == puddle.Fine {
			w.verdict, w.froze, w.means = judgeBead(s.task, a, bead), bead.RodFast > 0, a
		}
	})
}

func (s *handSaver) verdict(y handTry) (Verdict, bool) {
	w := s.welds[y]
	return w.verdict, w.margins[puddle.Fine] != nil
}

// margins reads a try: the full grade where it was welded so, else the coarse one, corrected.
func (s *handSaver) margins(y handTry) []float64 {
	w := s.welds[y]
	if m := w.margins[puddle.Fine]; w.done[puddle.Fine] && m != nil {
		return m
	}
	m := slices.Clone(w.margins[puddle.Coarse])
	if m == nil {
		return slices.Repeat([]float64{worstMargin}, len(rules))
	}
	for i := range m {
		m[i] = float64(m[i] * s.fine[i])
	}
	return m
}

// calibrate compares the two grades at a try welded at both.
func (s *handSaver) calibrate(y handTry) {
	w := s.welds[y]
	if fine, coarse := w.margins[puddle.Fine], w.margins[puddle.Coarse]; fine != nil && coarse != nil {
		s.fine = fineFor(fine, coarse)
	}
}

// look welds rungs coarsely and reads them.
func (s *handSaver) look(rungs []*rung) {
	var jobs []handPass
	for _, r := range rungs {
		jobs = append(jobs, handPass{handTry{r.hand}, puddle.Coarse})
	}
	s.weld(jobs...)
	for _, r := range rungs {
		r.margins = s.margins(handTry{r.hand})
	}
}

// climb is saver.climb for a hand.
func (s *handSaver) climb(at stand, ladders []*ladder) {
	climb(at, ladders, nil, leastSteps(ladders, nil), &s.looks, s.look)
}

// single proves the smallest change known to hold, with the step below it.
func (s *handSaver) single(at stand, ladders []*ladder) (HandRescue, bool) {
	for range mostProofs {
		l, i := smallestHeld(ladders)
		if l == nil {
			if l, i = s.nearest(ladders); l == nil {
				return HandRescue{}, false
			}
		}
		here := handTry{l.rungs[i].hand}
		jobs := []handPass{{here, puddle.Fine}, {here, puddle.Coarse}}
		var below *rung
		if i > 0 {
			if below = &l.rungs[i-1]; below.margins == nil || worst(below.margins, nil) < 1+noDoubt {
				jobs = append(jobs, handPass{handTry{below.hand}, puddle.Fine}, handPass{handTry{below.hand}, puddle.Coarse})
			}
		}
		s.weld(jobs...)
		s.calibrate(here)
		for _, l := range ladders {
			for k := range l.rungs {
				if r := &l.rungs[k]; r.margins != nil || r == below {
					r.margins = s.margins(handTry{r.hand})
				}
			}
		}
		if worst(l.rungs[i].margins, nil) < 1 && (below == nil || worst(below.margins, nil) >= 1) {
			return s.rescue(here)
		}
		s.climb(at, []*ladder{l})
	}
	return HandRescue{}, false
}

// nearest gives the rung that comes nearest to holding, of those in doubt.
func (s *handSaver) nearest(ladders []*ladder) (l *ladder, i int) {
	least := 1 + doubt
	for _, c := range ladders {
		for k, r := range c.rungs {
			if r.margins == nil || s.welds[handTry{r.hand}].done[puddle.Fine] {
				continue
			}
			if w := worst(r.margins, nil); w < least {
				l, i, least = c, k, w
			}
		}
	}
	return l, i
}

// pair looks for two changes that save the run together, as saver.pair does.
func (s *handSaver) pair(at stand, ladders []*ladder) (HandRescue, bool) {
	known, missed := guessed(at, ladders), map[[2]*ladder][]float64{}
	for range pairTries {
		sums := likeliest(at, ladders, known, missed, func(a, b *ladder) func(ra, rb rung) bool {
			if a.keys[0] == b.keys[0] {
				return nil
			}
			return func(ra, rb rung) bool { return s.welds[both2(ra, rb)] == nil }
		})
		if len(sums) == 0 {
			break
		}
		var jobs []handPass
		for _, p := range sums {
			jobs = append(jobs, handPass{both2(p.ra, p.rb), puddle.Coarse})
		}
		s.weld(jobs...)
		for _, p := range sums {
			y := both2(p.ra, p.rb)
			got := s.margins(y)
			if worst(got, nil) < 1+doubt {
				s.weld(handPass{y, puddle.Fine})
				s.calibrate(y)
				got = s.margins(y)
			}
			if worst(got, nil) < 1 {
				return s.rescue(y)
			}
			k := [2]*ladder{p.a, p.b}
			missed[k] = plus(missed[k], got, p.margins)
		}
	}
	return HandRescue{}, false
}

// both2 is the try of two rungs. What lengthens the run comes first.
func both2(a, b rung) handTry {
	if b.hand.Move == HandOn {
		a, b = b, a
	}
	return handTry{a.hand, b.hand}
}

func (s *handSaver) rescue(y handTry) (HandRescue, bool) {
	v, ok := s.verdict(y)
	if !ok || v.Outcome != Accept {
		return HandRescue{}, false
	}
	t, _ := s.track(y)
	r := HandRescue{Inputs: t.inputs, Steps: t.steps, Verdict: v}
	for _, c := range y {
		if c.Move != "" {
			r.Changes = append(r.Changes, c)
		}
	}
	return r, true
}

// unmoved names the rules that rejected as much whatever the hand did.
func (s *handSaver) unmoved(at stand) []string {
	var out []string
	for i, start := range at.margins {
		if start < 1 {
			continue
		}
		least := start
		for _, w := range s.welds {
			for _, m := range w.margins {
				if m != nil {
					least = math.Min(least, m[i])
				}
			}
		}
		if least > start-0.02 {
			out = append(out, rules[i].id)
		}
	}
	return out
}
