package scoring

import (
	"math"
	"slices"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Trials judges many answers on one joint and welds as little as it may. A seam is
// welded at the coarse grade first, and again at the full one only where what is asked
// stands near its limit; settings that do not touch the heat are judged on a seam that
// is there. Not for use by two goroutines at once.
type Trials struct {
	Task  weld.Task
	seams map[seam]*puddle.Bead
}

// seam is what is welded: an answer without what does not touch the heat.
type seam struct {
	hot   weld.Answer
	grade puddle.Grade
}

// A coarse margin between these is read again at the full grade. They leave three times
// the five per cent that the coarse grade is known to be off by, or just those.
const (
	surelyRight, surelyWrong     = 0.85, 1.15
	probablyRight, probablyWrong = 0.95, 1.05
)

// Accepts judges the answer. The margin is the largest of those that reject, 1 is the
// limit; 0 outside the model, where the outcome says so. The errors are those of Judge.
func (t *Trials) Accepts(a weld.Answer) (v Verdict, margin float64, err error) {
	return t.accepts(a, surelyRight, surelyWrong)
}

// Holds says whether the answer is accepted, more lightly than Accepts: it takes the
// coarse grade's word unless that is as near the limit as it is known to be off.
func (t *Trials) Holds(a weld.Answer) bool {
	v, _, err := t.accepts(a, probablyRight, probablyWrong)
	return err == nil && v.Outcome == Accept
}

func (t *Trials) accepts(a weld.Answer, right, wrong float64) (Verdict, float64, error) {
	return t.judge(a, func(v Verdict, ms []float64) (float64, bool) {
		worst := 0.0
		for i, r := range rules {
			if r.over == Defect {
				worst = math.Max(worst, ms[i])
			}
		}
		return worst, worst < right || worst > wrong
	})
}

// Raises judges the answer and says whether a finding is among what is said of it, and
// over its limit. The errors are those of Judge.
func (t *Trials) Raises(a weld.Answer, id string) (v Verdict, raised bool, err error) {
	v, margin, err := t.judge(a, func(v Verdict, ms []float64) (float64, bool) {
		said := slices.ContainsFunc(v.Findings, func(f Finding) bool { return f.Rule == id })
		if i := slices.IndexFunc(rules, func(r rule) bool { return r.id == id }); said && i >= 0 {
			return ms[i], ms[i] > surelyWrong
		}
		return 0, false
	})
	return v, margin >= 1, err
}

// judge reads the coarse seam and, unless that is sure, the full one.
func (t *Trials) judge(a weld.Answer, read func(v Verdict, ms []float64) (margin float64, sure bool)) (Verdict, float64, error) {
	if reason := outside(t.Task, a); reason != "" {
		return Verdict{Outcome: OutOfRange, Reason: reason}, 0, nil
	}
	for _, grade := range []puddle.Grade{puddle.Coarse, puddle.Fine} {
		b, err := t.weld(a, grade)
		if err != nil {
			return Verdict{}, 0, err
		}
		v := judgeBead(t.Task, a, b)
		if margin, sure := read(v, margins(t.Task, a, b)); sure || grade == puddle.Fine {
			return v, margin, nil
		}
	}
	panic("not reached")
}

// weld gives the seam, from among those that are there if it can.
func (t *Trials) weld(a weld.Answer, grade puddle.Grade) (*puddle.Bead, error) {
	key := seam{seamOf(a), grade}
	if b := t.seams[key]; b != nil {
		return b, nil
	}
	b, err := puddle.WeldAt(t.Task, a, grade)
	if err != nil {
		return nil, err
	}
	if t.seams == nil {
		t.seams = map[seam]*puddle.Bead{}
	}
	t.seams[key] = b
	return b, nil
}

// seamOf gives the answer with all that does not change the seam as by default.
func seamOf(a weld.Answer) weld.Answer {
	for _, f := range weld.Fields {
		if !TouchesHeat(f.Key) && f.Key != "back" { // tape behind a butt holds the root up
			_ = f.SetStrict(&a, f.Get(weld.Defaults())) // a value printed exactly reads back
		}
	}
	if a.Filler != weld.NoFiller {
		a.Filler = weld.ER70S2 // one rod melts as another
	}
	return a
}
