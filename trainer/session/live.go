package session

import (
	"slices"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
)

// Live is a run of the learner's hand, ready to be welded again from its inputs and
// judged. It shares nothing with its session; what comes of it goes back in through
// TakeRun, or through Ran for a coupon that is only looked at.
type Live struct {
	sc  scenarios.Scenario
	run arc.Run
	job Job // what it becomes an attempt by
}

// byHand are the fields that the hand decides while the arc burns, so that nobody has to
// before; the spacing of dabs stays, which says how much rod a dab melts.
var byHand = []string{"travel", "start", "amps_end", "slope_down"}

// MissingLive is Missing for a weld by hand.
func (s *Session) MissingLive() []weld.Field {
	return slices.DeleteFunc(s.Missing(), func(f weld.Field) bool { return slices.Contains(byHand, f.Key) })
}

// Hold takes a run at this joint, from its strike on or when it has ended.
func (s *Session) Hold(run arc.Run) Live {
	sc := s.sc.Befall(run.Happens)
	return Live{sc, run, Job{s.opt.Judge, sc.Task, s.answer, now(s.opt), s.opt.NewID()}}
}

// Ended gives what was held from the strike on, with the run as it ended.
func (l Live) Ended(run arc.Run) Live {
	l.run = run
	return l
}

// BegunRun gives the attempt that a run under way becomes, without its verdict.
func (s *Session) BegunRun(l Live) Attempt {
	a := s.Begun(l.job)
	a.Run = &l.run
	return a
}

// Start welds it.
func (l Live) Start() <-chan Result[scoring.Run] {
	return Background(func() (scoring.Run, error) { return l.run.Judge(l.sc) })
}

// TakeRun is Take for a run: its answer is what the run comes to.
func (s *Session) TakeRun(l Live, got scoring.Run) (Attempt, error) {
	a := s.Begun(l.job)
	a.Answer, a.Verdict, a.Run = got.Answer, got.Verdict, &l.run
	a, err := s.take(a)
	s.line = &got
	return a, err
}

// Again makes the weld of the last coupon's run; ok is false where it is none of a hand, or
// its line is there already.
func (s *Session) Again() (l Live, ok bool) {
	last, _ := s.Last()
	if last.Run == nil || s.line != nil {
		return Live{}, false
	}
	return last.live(s.sc), true
}

// live makes the run's weld; the joint is the coupon's own, whatever the bank's revision is by now.
func (a Attempt) live(sc scenarios.Scenario) Live {
	sc.Revision, sc.Happened, sc.Task.Happens = a.Revision, a.Run.Happens, a.Task.Happens
	return Live{sc: sc, run: *a.Run}
}

// Ran takes what came of Again.
func (s *Session) Ran(got scoring.Run) { s.line = &got }

// Line gives the last coupon's run, judged, with its time line; nil before Ran and for a
// coupon of settings.
func (s *Session) Line() *scoring.Run { return s.line }

// Live says how the coupon was welded: 0 by settings, 1 by hand in real time, 2 or 4 by
// hand at practice speed, so many times slower.
func (a Attempt) Live() int {
	if a.Run == nil {
		return 0
	}
	return max(1, a.Run.Slow)
}

// Set gives what was set before the arc.
func (a Attempt) Set() weld.Answer {
	if a.Run != nil {
		if set, err := a.Run.Set(); err == nil {
			return set
		}
	}
	return a.Answer
}

// Reweld welds the coupon again on its joint: from its settings, or from what the hand did.
func (a Attempt) Reweld(judge Judge, sc scenarios.Scenario) (scoring.Verdict, error) {
	if a.Run == nil {
		return judge(sc.Task, a.Answer)
	}
	l := a.live(sc)
	got, err := l.run.Judge(l.sc)
	return got.Verdict, err
}
