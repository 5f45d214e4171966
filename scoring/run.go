package scoring

import (
	"fmt"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// LineEvery is how many steps of a live run lie between two moments of its time line.
const LineEvery = 5

// Run is a live run, judged.
type Run struct {
	Verdict Verdict
	Answer  weld.Answer   // what the hand's run comes to, see puddle.Live.Finish
	Line    []puddle.Pool // every LineEvery steps
	Dabs    []int         // steps at which a dab met the pool
}

// JudgeRun welds a live run again, inputs in the order of their steps, for so many
// steps, and judges it: the metal as the hand welded it; rules that read what was set
// or how the torch was held get the run's effective numbers. The error says which
// input cannot be done, or that the arc was never struck.
func JudgeRun(task weld.Task, answer weld.Answer, inputs []puddle.Input, steps int) (Run, error) {
	if reason := outside(task, answer); reason != "" {
		return Run{Verdict: Verdict{Outcome: OutOfRange, Reason: reason}, Answer: answer}, nil
	}
	if steps < 1 || steps > puddle.LiveSteps {
		return Run{}, fmt.Errorf("steps cannot be %d\nallowed are 1 to %d", steps, puddle.LiveSteps)
	}
	var out Run
	l := puddle.NewLive(task, answer)
	dabs := 0
	err := replay(l, inputs, steps, func(n int) bool {
		if l.Dabs() > dabs {
			dabs = l.Dabs()
			out.Dabs = append(out.Dabs, n)
		}
		if n%LineEvery == 0 {
			out.Line = append(out.Line, l.Pool())
		}
		return true
	})
	if err != nil {
		return Run{}, err
	}
	return out.judge(task, l)
}

// replay steps a live run by its inputs. At each step, its inputs done, it asks whether
// to go on.
func replay(l *puddle.Live, inputs []puddle.Input, steps int, goOn func(n int) bool) error {
	next := 0
	for n := range steps {
		for ; next < len(inputs) && inputs[next].Step <= n; next++ {
			if inputs[next].Step < n {
				return fmt.Errorf("input %d: step %d comes after a later one\nthey stand in the order they were done", next+1, inputs[next].Step)
			}
			if err := l.Do(inputs[next]); err != nil {
				return fmt.Errorf("input %d: %w", next+1, err)
			}
		}
		if !goOn(n) {
			return nil
		}
		l.Step()
	}
	if next < len(inputs) {
		return fmt.Errorf("input %d: step %d lies beyond the run's %d steps", next+1, inputs[next].Step, steps)
	}
	return nil
}

// weldRun welds a live run's inputs at a grade. The error says that the arc was never
// struck, or what cannot be done.
func weldRun(task weld.Task, answer weld.Answer, inputs []puddle.Input, steps int, g puddle.Grade) (*puddle.Bead, weld.Answer, error) {
	l := puddle.NewLiveAt(task, answer, g)
	if err := replay(l, inputs, steps, func(int) bool { return true }); err != nil {
		return nil, answer, err
	}
	return l.Finish()
}

// farShort is further ahead of the torch than a pool reaches that holds, m: from memory.
const farShort = 10e-3

// judgedAs is the answer that a run's bead is held to. A seam left so far before its end is
// rejected whatever the travel was: of one tapped along, or stood on, at another than the
// model has been checked for, the rest can be told still.
func judgedAs(a weld.Answer, b *puddle.Bead) weld.Answer {
	if b.Short >= farShort {
		a.Travel = min(max(a.Travel, leastTravel), mostTravel)
	}
	return a
}

func (out Run) judge(task weld.Task, l *puddle.Live) (Run, error) {
	bead, answer, err := l.Finish()
	if err != nil {
		return Run{}, err
	}
	out.Answer = answer
	answer = judgedAs(answer, bead)
	if reason := outside(task, answer); reason != "" {
		out.Verdict = Verdict{Outcome: OutOfRange, Reason: reason}
		return out, nil
	}
	out.Verdict = judgeBead(task, answer, bead)
	return out, nil
}
