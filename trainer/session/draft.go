package session

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"time"

	"puddlewise/scoring/weld"
)

// Draft is an answer on its way: what has been typed at a joint and is not yet a
// recorded coupon.
type Draft struct {
	Learner  string
	Scenario string
	Seed     int64 // of the variation; 0 for the joint as its file has it
	At       time.Time
	System   weld.System       // units of the numbers typed bare
	Typed    map[string]string // by field key, as typed
	Hinted   []string          // hints taken so far, in order of name
}

// Drafts keeps one draft a learner and joint, and one a variation. Keep returns only when it is safe on disk.
type Drafts interface {
	KeepDraft(Draft) error
	DropDraft(learner, scenario string, seed int64) error
}

// Past reads what has been recorded.
type Past interface {
	Drafts(learner string) ([]Draft, error)             // the learner's, newest first
	Standings(learner string) ([]Standing, error)       // of the joints the learner tried
	Recent(learner string, n int) ([]Brief, error)      // the learner's last coupons, oldest first
	Answered(learner string, n int) ([]Answered, error) // the questions the learner answered last, oldest first
	Attempt(id string) (Attempt, error)
	// Before gives the learner's last of a joint before a time.
	Before(learner, scenario string, at time.Time) (a Attempt, ok bool, err error)
}

// Resume takes what was typed at this joint at another time. A draft of another
// joint, and fields the joint no longer asks for, are left alone.
func (s *Session) Resume(d Draft) {
	if d.Scenario != s.sc.ID || d.Seed != s.sc.Seed {
		return
	}
	now := s.opt.System
	s.opt.System = d.System
	for key, text := range d.Typed {
		_ = s.Set(key, text) // a text that cannot be taken stays with its reason, as when it was typed
	}
	for _, key := range d.Hinted {
		s.hinted[key] = true
	}
	s.kept = d
	s.Use(now, s.opt.Learner)
}

// Recall resumes what the record holds of this joint, if anything.
func (s *Session) Recall(p Past) error {
	drafts, err := p.Drafts(s.opt.Learner)
	for _, d := range drafts {
		s.Resume(d)
	}
	return err
}

// Use changes units and learner from now on. A bare number that would mean
// something else in the new units is put into them.
func (s *Session) Use(sys weld.System, learner string) {
	was := s.opt.System
	s.opt.System, s.opt.Learner = sys, learner
	for _, e := range slices.Clone(s.entries) {
		from, to := e.Field.Unit(was), e.Field.Unit(sys)
		if _, err := strconv.ParseFloat(e.Text, 64); err != nil || from == to {
			continue
		}
		if !e.Ready() { // out of what is taken in these units; it stays so
			_ = s.Set(e.Field.Key, e.Text+" "+from)
			continue
		}
		if s.Set(e.Field.Key, e.Field.Bare(s.answer, sys)) != nil { // rounded past a limit
			_ = s.Set(e.Field.Key, e.Text+" "+from)
		}
	}
}

// Keep puts what has been typed on disk if it is not there yet, so that leaving
// in any way loses nothing of it.
func (s *Session) Keep() error {
	if s.opt.Drafts == nil {
		return nil
	}
	typed := map[string]string{}
	if len(s.tries) > 0 && !s.recorded || s.Dirty() {
		for _, e := range s.entries {
			if e.Text != "" {
				typed[e.Field.Key] = e.Text
			}
		}
	}
	hinted := slices.Sorted(maps.Keys(s.hinted))
	moved := len(s.kept.Typed) > 0 && s.kept.Learner != s.opt.Learner // the learner has taken a name
	if !moved && maps.Equal(typed, s.kept.Typed) && (len(typed) == 0 || slices.Equal(hinted, s.kept.Hinted)) {
		return nil
	}
	d := Draft{s.opt.Learner, s.sc.ID, s.sc.Seed, s.opt.Now().UTC().Truncate(time.Millisecond), s.opt.System, typed, hinted}
	err := error(nil)
	if len(typed) == 0 {
		err = s.opt.Drafts.DropDraft(d.Learner, d.Scenario, d.Seed)
	} else {
		err = s.opt.Drafts.KeepDraft(d)
	}
	if moved && err == nil {
		err = s.opt.Drafts.DropDraft(s.kept.Learner, d.Scenario, d.Seed)
	}
	if err != nil {
		return fmt.Errorf("what you have typed is not kept: %w", err)
	}
	s.kept = d
	return nil
}

// KeepIn gives what is typed from now on a place, and takes what lies there already.
func (s *Session) KeepIn(drafts Drafts, d Draft) {
	s.opt.Drafts = drafts
	s.Resume(d)
}

// KeepsDrafts says whether what is typed outlives this run.
func (s *Session) KeepsDrafts() bool { return s.opt.Drafts != nil }
