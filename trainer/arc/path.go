package arc

import (
	"slices"

	"puddlewise/scenarios"
	"puddlewise/scoring/puddle"
)

// Path is a hand's run to follow, by steps of the clock from its strike.
type Path struct {
	At   []float64 // of the torch, m from the seam's start, at each step
	Dabs []int     // rising
}

// Good is the path of the good scripted hand on a joint. It is welded for it, since that
// hand waits for its pool: some tenths of a second of processor time.
func Good(sc scenarios.Scenario) Path {
	run, _ := Scripted(sc, "good")
	return run.path()
}

func (r Run) path() Path {
	from := slices.IndexFunc(r.Inputs, func(in puddle.Input) bool { return in.Do == puddle.Arc && in.Value == 1 })
	if from < 0 {
		return Path{}
	}
	strike := r.Inputs[from].Step
	var p Path
	at := 0.0
	place := func(until int) {
		for len(p.At) < until {
			p.At = append(p.At, at)
		}
	}
	for _, in := range r.Inputs[from:] {
		n := in.Step - strike
		place(n)
		switch in.Do {
		case puddle.Move:
			at += in.Value * 1e-3
		case puddle.Dab:
			p.Dabs = append(p.Dabs, n)
		}
	}
	place(r.Steps - strike)
	return p
}

// Place gives where the torch was at a step, and whether it had left the start and come
// to the end by then. After the last step it stands where it was.
func (p Path) Place(step int) (at float64, gone, over bool) {
	if len(p.At) == 0 {
		return 0, false, true
	}
	last := p.At[len(p.At)-1]
	at = p.At[min(max(step, 0), len(p.At)-1)]
	return at, at > 0, at >= last
}

// Dabbed says whether the hand dabbed at one of the n steps up to this one.
func (p Path) Dabbed(step, n int) bool {
	return slices.ContainsFunc(p.Dabs, func(d int) bool { return d > step-n && d <= step })
}
