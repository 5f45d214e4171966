package session

import (
	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Review opens a recorded coupon to be looked at again as it was: nothing is asked or
// recorded. The joint is the bank's if the coupon was welded on it as it is now, else
// what the coupon itself holds of it; ok is false where that is nothing, as in the first
// records. open makes the session; it may look for the smallest change and map windows
// as after the weld, unless the model is another by now.
func Review(bank []scenarios.Scenario, a Attempt, open func(scenarios.Scenario) *Session) (s *Session, ok bool) {
	sc := scenarios.Scenario{ID: a.Scenario, Title: a.Title, Revision: a.Revision}
	for _, known := range bank {
		if known.ID == a.Scenario {
			sc = known
		}
	}
	sc.Seed = a.Seed
	if a.Task != (weld.Task{}) {
		sc.Task = a.Task
	}
	if sc.Task == (weld.Task{}) {
		return nil, false
	}
	s = open(sc)
	s.opt.Recorder, s.opt.Drafts = nil, nil
	if a.ModelVersion != scoring.ModelVersion {
		s.opt.Save, s.opt.Map = nil, nil
	}
	s.tries, s.recorded, s.reviewed, s.windows = []Attempt{a}, true, true, map[Axes]*scoring.Window{}
	if a.Guess != "" {
		g := check(a.Guess, a.Verdict)
		s.guess = &g
	}
	return s, true
}

// Before gives the coupon welded before the last one on the same joint as it is: of
// this session, or else of the record; nil for none.
func (s *Session) Before(past Past) (*Attempt, error) {
	if n := len(s.tries); n > 1 {
		return &s.tries[n-2], nil
	}
	if past == nil || len(s.tries) == 0 {
		return nil, nil
	}
	old, ok, err := past.Before(s.tries[0].Learner, s.sc.ID, s.tries[0].At)
	if err != nil || !ok || old.Task != s.sc.Task {
		return nil, err
	}
	return &old, nil
}

// Today makes the weld of a recorded coupon's answer as today's model has it; ok is false
// where the coupon is of today's model, or not a recorded one.
func (s *Session) Today() (j Job, ok bool) {
	last, _ := s.Last()
	if !s.reviewed || s.opt.Judge == nil || last.ModelVersion == scoring.ModelVersion {
		return Job{}, false
	}
	again := func(weld.Task, weld.Answer) (scoring.Verdict, error) { return last.Reweld(s.opt.Judge, s.sc) }
	return Job{judge: again, task: s.sc.Task, answer: last.Answer, at: last.At}, true
}

// Reviewed says whether this is a recorded coupon, only looked at.
func (s *Session) Reviewed() bool { return s.reviewed }

// Told says whether the learner may know what went wrong: it has been said, or
// the coupon is an old one.
func (s *Session) Told() bool { return s.guess != nil || s.reviewed }
