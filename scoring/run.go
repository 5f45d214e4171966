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
	next := 0
	for n := range steps {
		for ; next < len(inputs) && inputs[next].Step <= n; next++ {
			if inputs[next].Step < n {
				return Run{}, fmt.Errorf("input %d: step %d comes after a later one\nthey stand in the order they were done", next+1, inputs[next].Step)
			}
			before := l.Dabs()
			if err := l.Do(inputs[next]); err != nil {
				return Run{}, fmt.Errorf("input %d: %w", next+1, err)
			}
			if l.Dabs() > before {
				out.Dabs = append(out.Dabs, n)
			}
		}
		if n%LineEvery == 0 {
			out.Line = append(out.Line, l.Pool())
		}
		l.Step()
	}
	if next < len(inputs) {
		return Run{}, fmt.Errorf("input %d: step %d lies beyond the run's %d steps", next+1, inputs[next].Step, steps)
	}
	return out.judge(task, l)
}

func (out Run) judge(task weld.Task, l *puddle.Live) (Run, error) {
	bead, answer, err := l.Finish()
	if err != nil {
		return Run{}, err
	}
	out.Answer = answer
	if reason := outside(task, answer); reason != "" {
		out.Verdict = Verdict{Outcome: OutOfRange, Reason: reason}
		return out, nil
	}
	out.Verdict = judgeBead(task, answer, bead)
	return out, nil
}
