// Package practice is what self-study adds to a session: joints to choose from that
// no file holds.
package practice

import (
	"math"
	"slices"
	"strconv"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// What bounds the search for a variation: draws; those of them that are welded with the
// usual guess; how many of those that the guess does not get right are looked into, which
// takes some four welds; and how often the smallest change is looked for, the dearest of
// it. Most seeds need one draw or two.
const mostDraws, mostGuessed, mostSolved, mostSaved = 40, 12, 3, 1

// leastShare is how much of the current that a joint would take a machine has to give for
// travel to make up for the rest.
const leastShare = 0.8

// room is how far amps may be off to one side of what a variation's model answers (or
// travel, where the machine gives no more), and it is still accepted: a joint that takes
// one current alone is no exercise.
const room = 0.05

// Vary makes the joint of a seed: the first of the scenario's draws that can be welded
// within what is asked, as the model finds, and that the usual guess does not get right
// already. Its Model is the answer that was accepted. ok is false when no draw within
// bounds is both; the scenario is then given as it is written, with seed 0, as it is
// for the seed 0. The same seed gives the same joint on every machine, as long as
// scenario and model stay the same.
func Vary(sc scenarios.Scenario, seed int64, par scoring.Parallel) (out scenarios.Scenario, ok bool) {
	w := welder{judge: scoring.Judge, save: scoring.Save, par: par}
	return w.vary(sc, seed)
}

// welder is what the search welds with.
type welder struct {
	judge session.Judge
	save  session.Save
	par   scoring.Parallel
	saved int
}

func (w *welder) vary(sc scenarios.Scenario, seed int64) (out scenarios.Scenario, ok bool) {
	if seed == 0 {
		return sc, true
	}
	draws, guessed, solved := int(min(mostDraws, sc.Variations())), 0, 0
	for draw := 0; draw < draws && guessed < mostGuessed && solved < mostSolved && sc.Varies(); draw++ {
		out = sc.Draw(seed, draw)
		if same(out, sc) || !slowed(&out) {
			continue
		}
		if guessed++; w.right(out) {
			continue
		}
		if solved++; w.solve(&out) {
			return out, true
		}
	}
	return sc, false
}

// slowed brings the answer down to what the machine gives, and travel with it, so that
// each millimetre gets as much heat; false where that is too far.
func slowed(sc *scenarios.Scenario) bool {
	amps := sc.Model.Amps
	sc.Model = sc.Capped(sc.Model)
	share := float64(sc.Model.Amps) / float64(amps)
	if share == 1 || !slices.Contains(sc.Ask, "travel") {
		return share == 1
	}
	sc.Model = travelling(sc.Model, share)
	return share >= leastShare
}

// same says whether a draw is the joint as it is written.
func same(a, b scenarios.Scenario) bool { return a.Task == b.Task && a.Given == b.Given }

// right says whether the usual guess leaves nothing to mend.
func (w *welder) right(sc scenarios.Scenario) bool {
	v, err := w.judge(sc.Task, sc.Guess())
	return err == nil && v.Outcome == scoring.Accept && !slices.ContainsFunc(v.Findings, func(f scoring.Finding) bool { return f.Severity == scoring.Fault })
}

// solve looks for an accepted answer from the scaled one on, and keeps it as the model.
func (w *welder) solve(sc *scenarios.Scenario) bool {
	if !w.mend(sc) {
		return false
	}
	if !slices.Contains(sc.Ask, "amps") {
		return true
	}
	more, less := hotter(*sc, 1+room), current(*sc, 1-room)
	up, down := w.accepts(*sc, more), w.accepts(*sc, less)
	switch {
	case up && down:
		return true
	case up:
		sc.Model = hotter(*sc, 1+room/2)
	case down:
		sc.Model = current(*sc, 1-room/2)
	}
	return (up || down) && w.accepts(*sc, sc.Model)
}

// mend changes the model's answer until it is accepted: amps first, up where it is too
// cold and down where it is too hot, in steps that halve when they have gone too far, and
// travel where the machine gives no more; where amps do not tell, the smallest change of anything asked. Where a little less is
// too cold and a little more too hot, there is no joint for a learner.
func (w *welder) mend(sc *scenarios.Scenario) bool {
	by, last, narrow := 0.08, 0.0, false
	for range 3 {
		v, err := w.judge(sc.Task, sc.Model)
		if err != nil || v.Outcome == scoring.OutOfRange {
			return false
		}
		if v.Outcome == scoring.Accept {
			return true
		}
		hot, cold := v.Scores.BurnThrough < scoring.Limit, v.Scores.LackOfFusion < scoring.Limit
		keyhole := v.Findings[0].Rule == "keyhole"
		if keyhole && !slices.Contains(sc.Ask, "dab") { // the gap wants closer dabs than the sheet gives
			return false
		}
		if hot == cold || keyhole || !slices.Contains(sc.Ask, "amps") {
			break
		}
		way := by
		if hot {
			way = -by
		}
		if way*last < 0 {
			narrow, by, way = true, by/2, way/2
		}
		last = way
		next := current(*sc, 1+way)
		if sc.Within(next) != nil { // all that the machine gives, and still too cold
			next = hotter(*sc, 1+2*way)
		}
		if sc.Within(next) != nil {
			return false
		}
		sc.Model = next
	}
	if narrow || sc.MostAmps > 0 && last > 0 || w.saved >= mostSaved {
		return false
	}
	w.saved++
	r, ok := w.save(sc.Task, sc.Model, sc.Ask, weld.Metric, w.par)
	if !ok {
		return false
	}
	sc.Model = r.Answer
	sc.Model = answered(*sc)
	return sc.Within(sc.Model) == nil && (sc.Model == r.Answer || w.accepts(*sc, sc.Model))
}

// answered is the model's answer as a learner could give it: nothing but what is asked,
// and whole amps.
func answered(sc scenarios.Scenario) weld.Answer {
	model := current(sc, 1)
	a := sc.Given
	for _, key := range sc.Ask {
		f, _ := weld.FieldByKey(key)
		_ = f.SetStrict(&a, f.Get(model)) // what is printed exactly reads back
	}
	return a
}

func (w *welder) accepts(sc scenarios.Scenario, a weld.Answer) bool {
	if sc.Within(a) != nil {
		return false
	}
	v, err := w.judge(sc.Task, a)
	return err == nil && v.Outcome == scoring.Accept
}

// hotter is the model's answer with so much more heat: of current, or of time where the
// machine gives no more current.
func hotter(sc scenarios.Scenario, by float64) weld.Answer {
	a := current(sc, by)
	if sc.Within(a) == nil || !slices.Contains(sc.Ask, "travel") {
		return a
	}
	return travelling(sc.Model, 1/by)
}

// travelling is the answer with its travel changed by a factor, in whole mm/min.
func travelling(a weld.Answer, by float64) weld.Answer {
	f, _ := weld.FieldByKey("travel")
	_ = f.SetStrict(&a, strconv.FormatFloat(math.Round(a.Travel.MMPerMin()*by), 'f', -1, 64)+" mm/min")
	return a
}

// current is the model's answer with its amps, and those at the end where they are
// asked, by so much more or less, in whole amps.
func current(sc scenarios.Scenario, by float64) weld.Answer {
	a := sc.Model
	a.Amps = weld.Current(math.Round(float64(a.Amps) * by))
	if slices.Contains(sc.Ask, "amps_end") {
		a.AmpsEnd = weld.Current(math.Round(float64(a.AmpsEnd) * by))
	}
	return a
}
