package plain

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// Turn opens the drill of one learner; resumed says that it goes on.
type Turn func(learner string) (run *drill.Run, resumed bool, err error)

// RunDrill takes learners through a drill, one after the other at the same machine, each
// until it is over or the learner leaves; what has been welded is kept either way. Of
// opt, Bank and Start are not used; a drill with questions needs Questions. tick, when
// not nil, comes each second: the clock speaks, and the run hears it.
func RunDrill(ctx context.Context, opt Options, learners []string, turn Turn, tick <-chan time.Time) error {
	r := &runner{console: newConsole(ctx, opt.In, opt.Out, opt.Echo), ctx: ctx, opt: opt, filter: view.Filter{}, drilled: true}
	if !opt.Settings.CautionsSeen {
		r.cautions()
		r.set(func(s *record.Settings) { s.CautionsSeen = true })
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
		if a := run.Owed(); a != nil {
			r.say(0, drill.OwedWords(*a))
		}
	} else {
		r.say(0, fmt.Sprintf("%s, %s at each. skip leaves a joint, quit leaves the drill.", view.Counted(all, "joint"), view.Counted(d.Tries, "coupon")))
	}
	for {
		sc, ok := run.Next()
		if !ok {
			break
		}
		r.drillClock(run, tick)
		if drill.Asks(run.Kind(sc.ID)) {
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

// drillClock lets the clock speak while the learner thinks, and the run hear it.
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
	speak := r.ticked
	r.ticked = func() []string {
		err := run.Tick()
		left := run.Left() // a machine that slept has not used the time
		if left.JointLimited {
			here.end = r.now().Add(left.Joint)
		}
		if left.WholeLimited {
			whole.end = r.now().Add(left.Whole)
		}
		said := speak()
		if err != nil {
			said = append(said, "! "+err.Error())
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
	s.KeepIn(run, run.Draft())
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
		begun, weld, err := r.drillCoupon(run, s)
		if errors.Is(err, errBack) {
			r.say(0, "This is where the joint begins; skip leaves it.")
			continue
		} else if errors.Is(err, errSkip) {
			return run.Leave()
		} else if err != nil {
			return err
		}
		ok, err := run.Begin(begun)
		if err != nil {
			return err
		}
		if !ok {
			r.say(0, "The time is up: this coupon is not welded.")
			return nil
		}
		r.say(0, "Welding ...")
		a, err := weld()
		if err != nil && r.ctx.Err() != nil {
			return err
		}
		if err != nil {
			r.say(0, "! "+err.Error())
		}
		if a.ID == "" {
			if err := run.Drop(); err != nil {
				return err
			}
			continue
		}
		v := a.Verdict
		if !drill.IsTry(a) {
			r.say(0, "Not counted: "+view.Said(v.Reason, s.System()))
			if err := run.Drop(); err != nil {
				return err
			}
			continue
		}
		if _, err := run.Take(a); err != nil {
			return err
		}
		if v.Outcome == scoring.OutOfRange {
			r.say(0, "Not scored: "+view.Said(v.Reason, s.System())+". "+run.Drill().Counts(a))
			continue
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
		if text := run.Drill().Counts(a); text != "" {
			r.say(0, text)
		}
		if run.Drill().Hints {
			if err := r.rescue(s); err != nil {
				return err
			}
		}
	}
}

// drillCoupon asks for a coupon's answer, or for a run of a hand, and gives what is begun
// and how to weld it. An attempt without id says that it could not be welded.
func (r *runner) drillCoupon(run *drill.Run, s *session.Session) (begun session.Attempt, weld func() (session.Attempt, error), err error) {
	if run.Kind(s.Scenario().ID) == drill.Live {
		hand, err := r.hand(run, s.Scenario())
		if err != nil {
			return begun, nil, err
		}
		l := s.Hold(hand)
		return s.BegunRun(l), func() (session.Attempt, error) {
			got, err := session.Await(r.ctx, l.Start())
			if err != nil {
				return session.Attempt{}, err
			}
			return s.TakeRun(l, got)
		}, nil
	}
	if err := r.answer(s); err != nil {
		return begun, nil, err
	}
	job, err := s.Prepare()
	return s.Begun(job), func() (session.Attempt, error) {
		v, err := session.Await(r.ctx, job.Start())
		if err != nil {
			return session.Attempt{}, err
		}
		return s.Take(job, v)
	}, err
}

// hand asks for the file of a run at a live joint.
func (r *runner) hand(run *drill.Run, sc scenarios.Scenario) (arc.Run, error) {
	d := run.Drill()
	r.say(0, "This joint is welded by hand, and a hand's taps need a screen:")
	r.say(2, handCommand(sc, run.Happens(sc)))
	r.say(0, "Then say run and the file's name here; skip leaves the joint."+speedAllowed(d))
	for {
		text, err := r.ask("run FILE: ")
		if err != nil {
			return arc.Run{}, err
		}
		word, name, _ := strings.Cut(text, " ")
		switch {
		case text == "skip":
			return arc.Run{}, errSkip
		case word != "run" || strings.TrimSpace(name) == "":
			r.say(2, "Say run and the name of a file that puddlewise arc --out wrote, or skip.")
			continue
		}
		hand, err := r.opt.ReadRun(strings.TrimSpace(name))
		if err != nil {
			r.say(2, problem(err))
			continue
		}
		faults := d.Faults(sc, run.Result().Learner, hand)
		for _, f := range faults {
			r.say(2, "It "+f+".")
		}
		if faults == nil {
			return hand, nil
		}
	}
}

// handCommand welds a joint by hand and keeps the run.
func handCommand(sc scenarios.Scenario, happens int64) string {
	seed := ""
	if sc.Seed != 0 {
		seed = fmt.Sprintf(" --seed %d", sc.Seed)
	}
	if happens != 0 {
		seed += fmt.Sprintf(" --happens %d", happens)
	}
	return "puddlewise arc --scenario " + sc.ID + seed + " --out FILE"
}

// speedAllowed says how slow a hand may be.
func speedAllowed(d drill.Drill) string {
	if d.Slowest == 1 {
		return " It counts at real speed alone."
	}
	return " It may go at " + view.SpeedWords(d.Slowest) + "."
}

// timeLeft says how much there is.
func timeLeft(l drill.Left) string {
	text := ""
	if l.JointLimited {
		text = "Time left here: " + view.Spell(l.Joint) + ". "
	}
	if l.WholeLimited {
		text += "Time left in all: " + view.Spell(l.Whole) + "."
	}
	return text
}

func (r *runner) drillEnd(run *drill.Run) {
	r.gap()
	sum, away := run.Result().EndWords()
	r.say(0, sum)
	if away != "" {
		r.say(0, away)
	}
}
