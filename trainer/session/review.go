package session

import (
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
)

// Review opens a recorded coupon to be looked at again as it was: nothing is
// welded, asked or recorded. The joint is the bank's if the coupon was welded on
// it as it is now, else what the coupon itself holds of it; ok is false where
// that is nothing, as in the first records.
func Review(bank []scenarios.Scenario, a Attempt, sys weld.System) (s *Session, ok bool) {
	sc := scenarios.Scenario{ID: a.Scenario, Title: a.Title, Revision: a.Revision}
	for _, known := range bank {
		if known.ID == a.Scenario {
			sc = known
		}
	}
	if a.Task != (weld.Task{}) {
		sc.Task = a.Task
	}
	if sc.Task == (weld.Task{}) {
		return nil, false
	}
	s = New(sc, Options{System: sys, Now: func() time.Time { return a.At }})
	s.tries, s.recorded, s.reviewed = []Attempt{a}, true, true
	if a.Guess != "" {
		g := check(a.Guess, a.Verdict)
		s.guess = &g
	}
	return s, true
}

// Reviewed says whether this is a recorded coupon, only looked at.
func (s *Session) Reviewed() bool { return s.reviewed }

// Told says whether the learner may know what went wrong: it has been said, or
// the coupon is an old one.
func (s *Session) Told() bool { return s.guess != nil || s.reviewed }
