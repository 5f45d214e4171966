package arc

import (
	"errors"

	"puddlewise/scenarios"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Torch is a live run under way, which keeps what the hand does.
type Torch struct {
	live *puddle.Live
	task weld.Task
	set  weld.Answer
	run  Run
	n    int
	most float64 // A the machine gives; 0: enough for anything
}

// Take takes the torch up over a joint, with what is set before the arc and what happens there.
func Take(sc scenarios.Scenario, a weld.Answer) *Torch {
	return &Torch{live: puddle.NewLive(sc.Task, a), task: sc.Task, set: a, run: newRun(sc, a), most: float64(sc.MostAmps)}
}

// What a hand cannot do, beside what the model cannot weld.
var (
	errFull    = errors.New("the run holds as many inputs as one may")
	errTooMuch = errors.New("the machine does not give more")
)

// Do does one deed at the present step and keeps it; one that cannot be is not kept.
func (t *Torch) Do(d puddle.Deed, value float64) error {
	if len(t.run.Inputs) >= mostInputs {
		return errFull
	}
	if d == puddle.Pedal && t.most > 0 && value > t.most {
		return errTooMuch
	}
	in := puddle.Input{Step: t.n, Do: d, Value: value}
	if err := t.live.Do(in); err != nil {
		return err
	}
	t.run.Inputs = append(t.run.Inputs, in)
	return nil
}

// Step takes one step of the clock; false when the run is as long as one may be, or
// holds as many inputs.
func (t *Torch) Step() bool {
	if t.n >= puddle.LiveSteps-1 || len(t.run.Inputs) >= mostInputs {
		return false
	}
	t.live.Step()
	t.n++
	return true
}

// Pool gives what is to be seen now, and Band the face's temperatures around the arc.
func (t *Torch) Pool() puddle.Pool { return t.live.Pool() }

// Band is puddle.Live's.
func (t *Torch) Band() []float64 { return t.live.Band() }

// Seconds of the run's own clock.
func (t *Torch) Seconds() float64 { return float64(t.n) * puddle.LiveStep }

// Run gives the run up to now.
func (t *Torch) Run() Run {
	r := t.run
	r.Steps = t.n + 1
	return r
}
