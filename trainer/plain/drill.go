package plain

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session/view"
)

// Turn opens the drill of one learner; resumed says that it goes on.
type Turn func(learner string) (run *drill.Run, resumed bool, err error)

// RunDrill takes learners through a drill, one after the other at the same machine, each
// until it is over or the learner leaves; what has been welded is kept either way. Of
// opt, Bank and Start are not used; a drill with questions needs Questions. tick, when
// not nil, comes each second: the clock speaks, and the time used is kept.
func RunDrill(ctx context.Context, opt Options, learners []string, turn Turn, tick <-chan time.Time) error {
	r := &runner{console: newConsole(ctx, opt.In, opt.Out, opt.Echo), ctx: ctx, opt: opt, filter: view.Filter{}, drilled: true}
	if !opt.Settings.CautionsSeen {
		r.cautions()
	}
	for i, name := range learners {
		if len(learners) > 1 {
			r.gap()
			text, err := r.ask(fmt.Sprintf("%s is next, %d of %d. Enter begins, skip passes on: ", name, i+1, len(learners)))
			if text == "skip" {
				continue
			}
			if errors.Is(err, errLeave) || errors.Is(err, io.EOF) {
				break
			}
			if err != nil && !errors.Is(err, errBack) {
				return err
			}
		}
		r.opt.Settings.Name = name
		run, resumed, err := turn(name)
		if err != nil {
			return err
		}
		err = r.drill(run, resumed, tick)
		r.ticking(nil)
		if errors.Is(err, errLeave) || errors.Is(err, io.EOF) {
			r.say(0, "Left. The same command goes on where this was.")
			err = nil
		}
		if err = errors.Join(err, run.Close()); err != nil {
			return err
		}
	}
	return r.out.err
}

func (r *runner) drill(run *drill.Run, resumed bool, tick <-chan time.Time) error {
	d := run.Drill()
	r.gap()
	r.say(0, d.Title)
	r.say(0, d.Aim)
	done, all := run.Done()
	if resumed {
		r.say(0, fmt.Sprintf("Going on: %d of %s done. The time away is in the result.", done, view.Counted(all, "joint")))
	} else {
		r.say(0, fmt.Sprintf("%s, %s at each. skip leaves a joint, quit leaves the drill.", view.Counted(all, "joint"), view.Counted(d.Tries, "coupon")))
	}
	for {
		sc, ok := run.Next()
		if !ok {
			break
		}
		r.drillClock(run, tick)
		if run.Kind(sc.ID) != drill.Weld {
			if err := r.drillQuestion(run, sc); err != nil {
				return err
			}
			continue
		}
		if err := r.drillJoint(run, sc); err != nil {
			return err
		}
	}
	r.drillEnd(run)
	return nil
}

// keepEvery is how many seconds of a learner's thinking a kill may hide; what it hides
// stands in the result as time away.
const keepEvery = 10

// drillClock lets the clock speak while the learner thinks, and keeps the time used.
func (r *runner) drillClock(run *drill.Run, tick <-chan time.Time) {
	left, here, whole := run.Left(), &clock{}, &clock{}
	if left.JointLimited {
		here = newClock("left here", left.Joint, r.now())
	}
	if left.WholeLimited {
		whole = newClock("left in all", left.Whole, r.now())
	}
	_, _ = here.speaks(r.now()), whole.speaks(r.now()) // the coupon's line has said it
	r.ticking(tick, here, whole)
	if tick == nil {
		return
	}
	speak, n := r.ticked, 0
	r.ticked = func() []string {
		said := speak()
		if n++; n%keepEvery == 0 {
			if err := run.Close(); err != nil {
				said = append(said, "! "+err.Error())
			}
		}
		return said
	}
}

// drillQuestion asks the question of a joint, once.
func (r *runner) drillQuestion(run *drill.Run, sc scenarios.Scenario) error {
	desk, sys := r.opt.Questions, r.opt.Settings.Units
	done, all := run.Done()
	r.gap()
	r.say(0, fmt.Sprintf("Joint %d of %d: a question. %s", done+1, all, timeLeft(run.Left())))
	r.say(0, "Welding ...")
	q, err := desk.Compose(r.ctx, run.Kind(sc.ID), sc.ID, run.QuestionSeed(sc.ID))
	if r.ctx.Err() != nil {
		return r.ctx.Err()
	}
	if err != nil {
		r.say(0, "It gives no such question: it is welded.")
		run.Unasked(sc.ID)
		return nil
	}
	r.lookAt(q, sys)
	for {
		replies, err := r.replies(q)
		switch {
		case errors.Is(err, errBack):
			r.say(0, "This is where the question begins; skip leaves it.")
			continue
		case errors.Is(err, errSkip):
			return run.Leave()
		case err != nil:
			return err
		}
		res, err := desk.Check(r.ctx, q, replies, sys)
		if r.ctx.Err() != nil {
			return r.ctx.Err()
		}
		if err != nil {
			r.say(2, err.Error())
			continue
		}
		taken, err := run.TakeAnswer(q, replies, sys, res)
		if err != nil {
			return err
		}
		if !taken {
			r.say(0, "The time is up: this answer does not count.")
			return nil
		}
		r.result(q, replies, res, sys)
		if err := desk.Record(q, replies, res, r.opt.Settings.Name); err != nil {
			r.say(0, "! "+err.Error())
		}
		return nil
	}
}

// drillJoint welds at one joint until it is passed, left, or takes no more.
func (r *runner) drillJoint(run *drill.Run, sc scenarios.Scenario) (err error) {
	s := r.open(sc)
	defer func() { err = errors.Join(err, s.Close()) }()
	done, all := run.Done()
	r.gap()
	r.say(0, fmt.Sprintf("Joint %d of %d", done+1, all))
	r.sheet(sc)
	for {
		if here, ok := run.Next(); !ok || here.ID != sc.ID {
			return nil
		}
		used, _ := run.Tries(sc.ID)
		r.gap()
		r.say(0, fmt.Sprintf("Coupon %d of %d. %s", used+1, run.Drill().Tries, timeLeft(run.Left())))
		if err := r.answer(s); errors.Is(err, errBack) {
			r.say(0, "This is where the joint begins; skip leaves it.")
			continue
		} else if errors.Is(err, errSkip) {
			return run.Leave()
		} else if err != nil {
			return err
		}
		if run.Left().Up() {
			r.say(0, "The time is up: this coupon is not welded.")
			return run.Leave()
		}
		r.say(0, "Welding ...")
		a, err := s.Weld(r.ctx)
		if err != nil && r.ctx.Err() != nil {
			return err
		}
		if err != nil {
			r.say(0, "! "+err.Error())
			if _, ok := s.Last(); !ok {
				continue
			}
		}
		if a.Verdict.Outcome == scoring.OutOfRange {
			r.say(0, "Not counted: "+view.Said(a.Verdict.Reason, s.System()))
			continue
		}
		taken, passed, err := run.Take(a)
		if err != nil {
			return err
		}
		if !taken {
			r.say(0, "The time is up: this coupon does not count.")
			return nil
		}
		r.coupon(s, a)
		if err := r.guess(s); err != nil && !errors.Is(err, errBack) {
			return err
		}
		if g, ok := s.Said(); ok {
			if err := run.Said(g.Cause.Rule); err != nil {
				return err
			}
		}
		r.verdict(s, view.TellsAll(sc.Level))
		if !passed && a.Verdict.Outcome == scoring.Accept {
			p := run.Drill().Pass
			r.say(0, fmt.Sprintf("Accepted, but under the drill's marks: burn-through %.0f, lack of fusion %.0f, oxide %.0f.", p.BurnThrough, p.LackOfFusion, p.Oxide))
		}
		if run.Drill().Hints {
			if err := r.rescue(s); err != nil {
				return err
			}
		}
	}
}

// timeLeft says how much there is.
func timeLeft(l drill.Left) string {
	text := ""
	if l.JointLimited {
		text = "Time left here: " + spell(l.Joint) + ". "
	}
	if l.WholeLimited {
		text += "Time left in all: " + spell(l.Whole) + "."
	}
	return text
}

func spell(d time.Duration) string {
	d = max(0, d.Round(time.Second))
	if d < time.Minute {
		return fmt.Sprintf("%d s", int(d.Seconds()))
	}
	return fmt.Sprintf("%d min %d s", int(d.Minutes()), int(d.Seconds())%60)
}

func (r *runner) drillEnd(run *drill.Run) {
	res := run.Result()
	passed := map[string]bool{}
	for _, a := range res.Tried() {
		passed[a.Scenario] = passed[a.Scenario] || a.Passed
	}
	n := 0
	for _, ok := range passed {
		if ok {
			n++
		}
	}
	r.gap()
	r.say(0, fmt.Sprintf("Drill over: %d of %s passed, %s, %s.", n, view.Counted(res.Joints, "joint"), view.Counted(len(res.Attempts), "coupon"), spell(time.Duration(res.Working*float64(time.Second)))))
	if n := len(res.Away); n > 0 {
		r.say(0, "Closed in the middle "+view.Counted(n, "time")+".")
	}
}
