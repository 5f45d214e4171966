package view

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// ToDo is what a learner may do now, from what the record holds.
type ToDo struct {
	Begun    []Begun                     // joints left with an answer on its way, newest first
	Due      []session.Brief             // the last coupon of each joint that was rejected last, oldest first
	Last     map[string]session.Standing // by joint
	Recent   []session.Brief             // the last coupons, oldest first
	Tried    int                         // coupons of all joints
	Accepted int
}

// Begun is a joint left with an answer on its way.
type Begun struct {
	Scenario scenarios.Scenario
	Draft    session.Draft
}

// recent is how many coupons a list of the last ones may show.
const recent = 50

// ReadToDo reads a learner's off the record; what cannot be read is left out and told.
func ReadToDo(bank []scenarios.Scenario, past session.Past, learner string) (ToDo, error) {
	drafts, derr := past.Drafts(learner)
	standings, serr := past.Standings(learner)
	coupons, cerr := past.Recent(learner, recent)
	return NewToDo(bank, drafts, standings, coupons), errors.Join(derr, serr, cerr)
}

// NewToDo puts it together from what was recorded. Joints that are not in the bank are left out.
func NewToDo(bank []scenarios.Scenario, drafts []session.Draft, standings []session.Standing, coupons []session.Brief) ToDo {
	td := ToDo{Last: map[string]session.Standing{}, Recent: coupons}
	in := func(id string) (sc scenarios.Scenario, ok bool) {
		i := slices.IndexFunc(bank, func(sc scenarios.Scenario) bool { return sc.ID == id })
		if i < 0 {
			return sc, false
		}
		return bank[i], true
	}
	for _, d := range drafts {
		if sc, ok := in(d.Scenario); ok {
			sc.Seed = d.Seed // its numbers are drawn when it is gone on with
			td.Begun = append(td.Begun, Begun{sc, d})
		}
	}
	for _, st := range standings {
		td.Tried += st.Tried
		td.Accepted += st.Accepted
		td.Last[st.Last.Scenario] = st
	}
	for id, st := range td.Last {
		if _, ok := in(id); ok && st.Last.Outcome == scoring.Reject {
			td.Due = append(td.Due, st.Last)
		}
	}
	slices.SortFunc(td.Due, func(a, b session.Brief) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Scenario, b.Scenario)) })
	return td
}

// Words says how far the answer is.
func (b Begun) Words() string {
	return fmt.Sprintf("%d of %d filled in", len(b.Draft.Typed), len(b.Scenario.Ask))
}

// Decided lists what has been typed so far, as it was typed.
func (b Begun) Decided() []Fact {
	var out []Fact
	for _, key := range b.Scenario.Ask {
		f, ok := weld.FieldByKey(key)
		if !ok {
			continue
		}
		text := b.Draft.Typed[key]
		if text == "" {
			text = "still to decide"
		} else if !hasUnit(text) && f.Unit(b.Draft.System) != "" {
			text += " " + f.Unit(b.Draft.System)
		}
		out = append(out, Fact{f.Label, text})
	}
	return out
}

// hasUnit says whether something follows the number.
func hasUnit(text string) bool {
	last := text[len(text)-1]
	return last < '0' || last > '9'
}

// When says when something was, from now, in now's time zone.
func When(at, now time.Time) string {
	at = at.In(now.Location())
	day := func(t time.Time) int {
		return int(time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC).Unix() / 86400)
	}
	switch n := day(now) - day(at); {
	case n == 0:
		return "today " + at.Format("15:04")
	case n == 1:
		return "yesterday " + at.Format("15:04")
	case n > 1 && n < 14:
		return fmt.Sprintf("%d days ago", n)
	}
	return at.Format("2006-01-02")
}

// Counted says how many, with the word in the singular or the plural.
func Counted(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}
