package plain

import (
	"fmt"

	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// byHand looks through a run of the hand: its time line, how long there was for the dab
// where it went wrong, and the smallest change that would have saved it.
func (r *runner) byHand(s *session.Session) error {
	if again, ok := s.Again(); ok { // one of the record
		run, err := session.Await(r.ctx, again.Start())
		if err != nil {
			return r.told(err)
		}
		s.Ran(run)
	}
	run, sys, task := *s.Line(), s.System(), s.Scenario().Task
	const rows = 20
	r.gap()
	r.say(0, "The run")
	for _, row := range view.RunTable(task, run, rows, sys) {
		r.line("  " + ascii(row))
	}
	for _, f := range view.HandFacts(task, run, sys) {
		r.hang(2, 16, f.Name, f.Text)
	}
	if marks := view.RunMarks(task, run, sys); len(marks) > 0 {
		if err := r.dabTime(s, run, marks[0]); err != nil {
			return err
		}
	}
	q, ok := s.SearchHand()
	if !ok {
		return nil
	}
	found, err := session.Await(r.ctx, q.Start(r.ctx))
	if err != nil {
		return r.told(err)
	}
	s.FoundHand(q, found)
	r.gap()
	r.say(0, "Smallest change of the hand that holds")
	for _, text := range view.HandRescueWords(found.HandRescue, found.Found, sys) {
		r.say(2, text)
	}
	return nil
}

// dabTime says how long there was for a dab where a finding begins.
func (r *runner) dabTime(s *session.Session, run scoring.Run, m view.RunMark) error {
	before, after := view.DabsAbout(run, m.From)
	q, ok := s.TimeToDab(before)
	if !ok {
		return nil
	}
	d, err := session.Await(r.ctx, q.Start())
	if err != nil {
		return r.told(err)
	}
	r.gap()
	r.say(0, fmt.Sprintf("Where it begins, %s, %.1f s", m.Head, view.RunSecond(run.Line[m.From])))
	r.say(2, view.DabWords(d, after))
	return nil
}

// told says what failed, and gives the end of the run alone.
func (r *runner) told(err error) error {
	if r.ctx.Err() == nil {
		r.say(0, "! "+err.Error())
	}
	return r.ctx.Err()
}
