package scoring

import (
	"math"
	"slices"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Change is one setting, moved.
type Change struct {
	Field    weld.Field
	From, To string // exact, as Field.Get prints them
}

// Rescue is the smallest change found that makes a rejected answer acceptable.
type Rescue struct {
	Changes []Change // one or two; three or four only where no two were found: then the worst fault's first
	Answer  weld.Answer
	Verdict Verdict // of that answer, welded at the full grade
}

// mostMoved is how many settings a rescue moves at most.
const mostMoved = 4

// Save looks for the smallest change, among the settings that fields names, that
// the model accepts: of one setting, then of two; where that fails it mends the
// worst fault first and looks again from there, up to four settings. Changes go to
// round shop numbers of the system. What it gives has been welded at the full grade
// and accepted. ok is false when the answer is accepted already, outside the model,
// or nothing within reach saves it. The same joint and answer give the same rescue,
// however par spreads the work.
func Save(task weld.Task, answer weld.Answer, fields []string, sys weld.System, par Parallel) (r Rescue, ok bool) {
	if outside(task, answer) != "" {
		return Rescue{}, false
	}
	s := &saver{task: task, fields: fields, sys: sys, par: par, beads: map[pass]*puddle.Bead{}, tried: map[weld.Answer]bool{}, coarse: slices.Repeat([]float64{1}, len(rules))}
	s.rise = max(0, answer.AmpsEnd-answer.Amps)
	if !s.rejected(answer) {
		return Rescue{}, false
	}
	at := stand{answer: answer, margins: s.margins(answer)}
	for {
		ladders, found, ok := s.near(at)
		if ok {
			return s.rescue(answer, found)
		}
		if len(at.moved) == 0 {
			if found, ok := s.across(at); ok {
				return s.rescue(answer, found)
			}
		}
		if len(at.moved) >= mostMoved-2 || !s.first(&at, ladders) {
			return Rescue{}, false
		}
	}
}

// rejected says whether an answer is. Where the coarse grade leaves no doubt the full
// one is not asked: the two are compared near what is proposed.
func (s *saver) rejected(a weld.Answer) bool {
	s.weld(pass{a, puddle.Coarse})
	if s.bead(a, puddle.Coarse) == nil {
		return false
	}
	if worst(s.margins(a), nil) > 1+unread {
		return true
	}
	s.weld(pass{a, puddle.Fine})
	s.calibrate(a)
	return s.verdict(a).Outcome == Reject
}

// stand is where the search stands: an answer, what is against it, what was moved.
type stand struct {
	answer  weld.Answer
	margins []float64
	moved   []string
	steps   float64
}

// move is the stand after a setting was moved.
func (at stand) move(keys []string, r rung) stand {
	moved := slices.Clone(at.moved)
	for _, key := range keys {
		if !slices.Contains(moved, key) {
			moved = append(moved, key)
		}
	}
	return stand{answer: r.answer, margins: r.margins, moved: moved, steps: at.steps + r.steps}
}

// near looks for one setting, then two, that save the answer at hand. Where what is
// judged on the seam already welded saves it, the heat is left alone: a fault of the
// gas is not mended with the foot. It gives the ladders it climbed, too.
func (s *saver) near(at stand) (ladders []*ladder, found stand, ok bool) {
	var cold, hot, choices []*ladder
	for _, key := range s.fields {
		for _, l := range s.laddersFrom(at.answer, key) {
			switch same := s.feltTheSame(at, l); {
			case same:
				cold = append(cold, l)
			case l.choices:
				choices = append(choices, l)
			default:
				hot = append(hot, l)
			}
		}
	}
	spare := make([]bool, len(rules)) // what a cold setting mends without harm
	for _, l := range cold {
		for i := range l.rungs {
			m := s.margins(l.rungs[i].answer)
			l.rungs[i].margins = m
			if !harms(at.margins, m) {
				for r := range m {
					spare[r] = spare[r] || at.margins[r] >= 1 && m[r] < 1
				}
			}
		}
	}
	if found, ok = s.single(at, cold); ok {
		return nil, found, true
	}
	hot = s.helpful(at, hot)
	s.climb(at, hot, nil, math.Inf(1))
	s.climb(at, choices, nil, leastSteps(hot, nil))
	ladders = slices.Concat(cold, hot, choices)
	if found, ok = s.single(at, ladders); ok {
		return nil, found, true
	}
	if found, ok = s.pair(at, cold); ok {
		return nil, found, true
	}
	s.climb(at, hot, spare, math.Inf(1))
	if len(at.moved) == 0 {
		pedal := s.helpful(at, s.pedalFrom(at.answer))
		s.climb(at, pedal, spare, math.Inf(1))
		if found, ok = s.single(at, pedal); ok {
			return nil, found, true
		}
		ladders = append(ladders, pedal...)
	}
	found, ok = s.pair(at, ladders)
	return ladders, found, ok
}

// harms says whether a rule rejects after a change that did not before.
func harms(before, after []float64) bool {
	for r := range after {
		if after[r] >= 1 && before[r] < 1 {
			return true
		}
	}
	return false
}

// feltTheSame says whether a ladder leaves the seam as it is.
func (s *saver) feltTheSame(at stand, l *ladder) bool {
	here := felt(at.answer)
	return !slices.ContainsFunc(l.rungs, func(r rung) bool { return felt(r.answer) != here })
}

// helpful drops the ladders along which the heat goes the wrong way, for more amps never
// close a hole, and fewer never fuse a root; those along which it goes the right way
// are sure.
func (s *saver) helpful(at stand, ladders []*ladder) []*ladder {
	hotter := map[string]float64{"amps": 1, "amps_end": 1, "travel": -1}
	need := map[string]bool{}
	for i, m := range at.margins {
		if m >= 1 {
			need[rules[i].score] = true
		}
	}
	if need[burnThrough] == need[lackOfFusion] {
		return ladders
	}
	way := 1.0
	if need[burnThrough] {
		way = -1
	}
	return slices.DeleteFunc(ladders, func(l *ladder) bool {
		f, _ := weld.FieldByKey(l.keys[0])
		from, _ := f.Value(at.answer)
		to, _ := f.Value(l.rungs[0].answer)
		if l.keys[0] == "amps_end" && from == 0 {
			from = float64(at.answer.Amps)
		}
		turn := float64(float64(hotter[l.keys[0]]*way) * (to - from))
		l.sure = turn > 0
		return turn < 0
	})
}

// odd says whether the pedal, where it is the learner's to move, goes up along the
// seam, and more so than in the answer: no hand does so on a part that heats up.
func (s *saver) odd(a weld.Answer) bool {
	return slices.Contains(s.fields, "amps_end") && a.AmpsEnd > a.Amps+s.rise
}

// first mends the worst fault, or what it can of it, with one setting that makes
// the least of other faults, and stands there. It is false when nothing helps.
func (s *saver) first(at *stand, ladders []*ladder) bool {
	fault := firstFault(at.margins)
	var ladder *ladder
	var to rung
	least, clears := math.Inf(1), false
	for _, l := range ladders {
		for _, r := range l.guessed(*at) {
			left := excess(r.margins)
			if left >= excess(at.margins) {
				continue
			}
			mends := r.margins[fault] < 1
			left += float64(0.03 * r.steps)
			if mends && !clears || mends == clears && left < least {
				ladder, to, clears, least = l, r, mends, left
			}
		}
	}
	if ladder == nil {
		return false
	}
	s.look([]*rung{&to})
	*at = at.move(ladder.keys, to)
	return true
}

// firstFault gives the rule, of those that reject, that stands first in the table.
func firstFault(margins []float64) int {
	return max(0, slices.IndexFunc(margins, func(m float64) bool { return m >= 1 }))
}

// excess adds up how far the margins are over the limit, each at most 1.
func excess(margins []float64) float64 {
	sum := 0.0
	for _, m := range margins {
		sum += min(1, max(0, m-1))
	}
	return sum
}

// rescue tells the change from the start to an answer that has been proven. Of three
// settings or more it drops any that turns out not to be needed.
func (s *saver) rescue(from weld.Answer, to stand) (Rescue, bool) {
	for _, key := range to.moved {
		if len(to.moved) < 3 {
			break
		}
		less := withFields(to.answer, []string{key}, from)
		if s.weld(pass{less, puddle.Coarse}); worst(s.margins(less), nil) >= 1 {
			continue
		}
		if s.weld(pass{less, puddle.Fine}); worst(s.margins(less), nil) < 1 {
			to.answer = less
		}
	}
	r := Rescue{Answer: to.answer, Verdict: s.verdict(to.answer)}
	for _, key := range to.moved {
		f, _ := weld.FieldByKey(key)
		if a, b := f.Get(from), f.Get(to.answer); a != b {
			r.Changes = append(r.Changes, Change{f, a, b})
		}
	}
	return r, r.Verdict.Outcome == Accept
}

// Words says each change in the units of s: "dab every 3 mm -> 1.5 mm", and an inch
// length as a rule reads it, too.
func (r Rescue) Words(s weld.System) []string {
	var out []string
	from := r.Answer
	for _, c := range r.Changes {
		if c.Field.SetStrict(&from, c.From) == nil {
			out = append(out, c.Field.Label+" "+onTheRule(c.Field, from, s)+" -> "+onTheRule(c.Field, r.Answer, s))
		}
	}
	return out
}

// onTheRule shows a setting; "0.063 in (1/16)" for an inch length.
func onTheRule(f weld.Field, a weld.Answer, s weld.System) string {
	text := f.Show(a, s)
	if rule := f.Ruler(a); rule != "" && s == weld.Imperial {
		text += " (" + rule + ")"
	}
	return text
}
