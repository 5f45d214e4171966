package session

import (
	"context"
	"runtime"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// SaveRun looks for the smallest change of a hand's motion; scoring.SaveRun in the program.
type SaveRun func(r scoring.HandRun, sys weld.System, par scoring.Parallel) (scoring.HandRescue, bool)

// DabTime gives the time there was for a dab; scoring.TimeToDab in the program.
type DabTime func(r scoring.HandRun, after int) (scoring.DabTime, error)

// HandSearch is the look for the smallest change of the hand's motion that would have
// saved a run. It shares nothing with its session; what it finds goes back in through
// FoundHand.
type HandSearch struct {
	save   SaveRun
	hand   Live
	system weld.System
	try    string
}

// HandFound is what came of a HandSearch.
type HandFound struct {
	scoring.HandRescue
	Found bool
}

// SearchHand makes the search for the last coupon's run; ok is false where it is none of a
// hand, not rejected, of another model, or the search is done.
func (s *Session) SearchHand() (q HandSearch, ok bool) {
	last, _ := s.Last()
	if s.opt.SaveRun == nil || last.Run == nil || !s.Told() || s.hand != nil || last.Verdict.Outcome != scoring.Reject || last.ModelVersion != scoring.ModelVersion {
		return HandSearch{}, false
	}
	return HandSearch{s.opt.SaveRun, last.live(s.sc), s.opt.System, last.ID}, true
}

// Start runs the search; the end of ctx stops it.
func (q HandSearch) Start(ctx context.Context) <-chan Result[HandFound] {
	return Background(func() (HandFound, error) {
		run, err := q.hand.run.Hand(q.hand.sc)
		if err != nil {
			return HandFound{}, err
		}
		r, found := q.save(run, q.system, Cores(ctx, runtime.GOMAXPROCS(0)))
		return HandFound{r, found}, nil
	})
}

// FoundHand takes what came of a search, unless another coupon has come since.
func (s *Session) FoundHand(q HandSearch, r HandFound) {
	if last, ok := s.Last(); ok && last.ID == q.try {
		s.hand = &r
	}
}

// HandRescue gives what the search came to; nil before.
func (s *Session) HandRescue() *HandFound { return s.hand }

// Hand gives the weld of a coupon's run, on the joint it was welded on; ok is false for a
// coupon of settings.
func (a Attempt) Hand(sc scenarios.Scenario) (l Live, ok bool) {
	if a.Run == nil {
		return Live{}, false
	}
	return a.live(sc), true
}

// Changed makes the weld of the last coupon's run with its smallest change made; ok is false
// before one is found.
func (s *Session) Changed() (l Live, ok bool) {
	last, _ := s.Last()
	if last.Run == nil || s.hand == nil || !s.hand.Found {
		return Live{}, false
	}
	l = last.live(s.sc)
	l.run.Inputs, l.run.Steps = s.hand.Inputs, s.hand.Steps
	return l, true
}

// DabSearch is the look for the time there was for one dab of the last coupon's run.
type DabSearch struct {
	time  DabTime
	hand  Live
	after int
}

// TimeToDab makes the look for the time there was for the dab after the one at a step of
// the run, after none for -1; ok is false where there is no rod or no hand.
func (s *Session) TimeToDab(after int) (q DabSearch, ok bool) {
	last, _ := s.Last()
	if s.opt.DabTime == nil || last.Run == nil || last.Answer.Filler == weld.NoFiller || last.ModelVersion != scoring.ModelVersion {
		return DabSearch{}, false
	}
	return DabSearch{s.opt.DabTime, last.live(s.sc), after}, true
}

// Start runs it.
func (q DabSearch) Start() <-chan Result[scoring.DabTime] {
	return Background(func() (scoring.DabTime, error) {
		run, err := q.hand.run.Hand(q.hand.sc)
		if err != nil {
			return scoring.DabTime{}, err
		}
		return q.time(run, q.after)
	})
}
