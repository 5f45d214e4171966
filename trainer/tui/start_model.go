package tui

import (
	"fmt"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// startModel is what there is to do now, and what is marked of it.
type startModel struct {
	bank    []scenarios.Scenario
	todo    view.ToDo
	set     record.Settings
	now     time.Time
	choice  *learner.Choice // nil until it is known
	entries []startEntry
	cursor  int
}

// startEntry is one thing to do.
type startEntry struct {
	act   action
	begun *view.Begun // what actResume goes on with
	label string
	text  string
}

// mostBegun is how many joints left in the middle stand on the start screen; the
// list of joints marks them all.
const mostBegun = 3

func newStartModel(bank []scenarios.Scenario, todo view.ToDo, set record.Settings, now time.Time, asks bool) startModel {
	m := startModel{bank: bank, todo: todo, set: set, now: now}
	add := func(act action, label, text string) {
		m.entries = append(m.entries, startEntry{act: act, label: label, text: text})
	}
	for i := range min(mostBegun, len(todo.Begun)) {
		b := &todo.Begun[i]
		m.entries = append(m.entries, startEntry{actResume, b, "go on with " + b.Scenario.Name(), b.Scenario.Title + "; " + b.Words() + ", left " + view.When(b.Draft.At, now)})
	}
	add(actPropose, "next", "looking for the joint that pays most now")
	add(actOther, "a new joint", view.Counted(len(bank), "joint")+" on the bench")
	if asks {
		add(actQuestion, "questions", "look at a coupon: what is wrong with it, and why")
	}
	if n := len(todo.Due); n > 0 {
		add(actDue, "due again", view.Counted(n, "joint")+" rejected last time")
	}
	if n := todo.Tried; n > 0 {
		add(actRecord, "the record", fmt.Sprintf("%s, %d accepted", view.Counted(n, "coupon"), todo.Accepted))
	}
	add(actSettings, "settings", settingWords(set))
	return m
}

// begun gives the ids of the joints that stand there to go on with.
func (m *startModel) begun() (ids []string) {
	for _, e := range m.entries {
		if e.begun != nil {
			ids = append(ids, e.begun.Scenario.ID)
		}
	}
	return ids
}

// take takes the joint that is proposed; without one its entry goes.
func (m *startModel) take(c learner.Choice, ok bool) {
	i := slices.IndexFunc(m.entries, func(e startEntry) bool { return e.act == actPropose })
	if !ok {
		m.entries = slices.Delete(m.entries, i, i+1)
		m.move(0)
		return
	}
	m.choice = &c
	m.entries[i].label, m.entries[i].text = "next: "+scenarios.Name(c.Scenario.ID, c.Seed), c.Scenario.Title+". "+c.Why
}

// joint gives the joint an entry opens, to be drawn; nil where it opens none, or one
// whose numbers are not known yet.
func (m *startModel) joint(e startEntry) *scenarios.Scenario {
	switch {
	case e.begun != nil && e.begun.Draft.Seed == 0:
		return &e.begun.Scenario
	case e.act == actPropose && m.choice != nil && m.choice.Seed == 0:
		return &m.choice.Scenario
	}
	return nil
}

// move steps the cursor and stops at the ends.
func (m *startModel) move(by int) { m.cursor = max(0, min(len(m.entries)-1, m.cursor+by)) }

// marked gives the entry the cursor is on.
func (m *startModel) marked() startEntry { return m.entries[m.cursor] }

// listLines is the entries, a line each.
func (m *startModel) listLines(w int, dots string) []line {
	label := 0
	for _, e := range m.entries {
		label = max(label, width(e.label))
	}
	var out []line
	for i, e := range m.entries {
		mark, in := "  ", inkPlain
		if i == m.cursor {
			mark, in = "> ", inkFocus
		}
		out = append(out, line{{mark + padTo(e.label, label+3), in}, {shorten(e.text, w-label-5, dots), inkFaint}})
	}
	return out
}

// job says what is made; the numbers of a variation are not known before it is opened.
func (m *startModel) job(sc scenarios.Scenario, seed int64) string {
	if seed != 0 {
		return "A variation: the same job with other numbers, which stand on its sheet."
	}
	return sc.Said(sc.Job, m.set.Units)
}

// aboutLines says more of an entry.
func (m *startModel) aboutLines(e startEntry, w int) []line {
	switch e.act {
	case actResume:
		out := append(paragraph(m.job(e.begun.Scenario, e.begun.Draft.Seed), w, inkPlain), nil)
		label := 0
		for _, f := range e.begun.Decided() {
			label = max(label, width(f.Label)+2)
		}
		for _, f := range e.begun.Decided() {
			out = append(out, labelled(f.Label, f.Text, label, w, inkPlain)...)
		}
		return out
	case actPropose:
		if m.choice == nil {
			return nil
		}
		out := append(paragraph(m.choice.Why, w, inkStrong), nil)
		return append(out, paragraph(m.job(m.choice.Scenario, m.choice.Seed), w, inkPlain)...)
	case actQuestion:
		var out []line
		for _, k := range question.Kinds() {
			name, about := view.KindWords(k)
			out = append(out, labelled(name, about, 24, w, inkPlain)...)
		}
		return out
	case actDue:
		return m.dueLines(w)
	case actOther:
		return m.bankLines(w)
	case actRecord:
		return m.latestLines(8)
	case actSettings:
		return newSettingsModel(m.set).standLines()
	}
	return nil
}

// bankLines says what there is to weld.
func (m *startModel) bankLines(w int) []line {
	var out []line
	for _, c := range view.Facets(m.bank, m.set.Units) {
		if c.Facet != view.BySkill { // too long a list for here
			out = append(out, labelled(string(c.Facet), c.Words(), 10, w, inkPlain)...)
		}
	}
	return out
}

// dueLines lists the joints that were rejected last time, longest ago first.
func (m *startModel) dueLines(w int) []line {
	var out []line
	for _, b := range m.todo.Due {
		out = append(out, line{{padTo(b.Scenario, 7), inkPlain}, {padTo(view.When(b.At, m.now), 18), inkFaint}, {session.InWords(b.Finding), inkPlain}})
	}
	return out
}

// latestLines lists the coupons welded last, the newest first, at most n.
func (m *startModel) latestLines(n int) []line {
	var out []line
	id := idWidth(m.todo.Recent) + 1
	for i := len(m.todo.Recent) - 1; i >= 0 && len(out) < n; i-- {
		b := m.todo.Recent[i]
		word, mark := view.Outcome(b.Outcome)
		l := line{{padTo(view.When(b.At, m.now), 18) + padTo(jointName(b), id), inkFaint}, {padTo(word+" "+mark, 13), outcomeInk(b.Outcome)}}
		if b.Finding != "" {
			l = append(l, span{session.InWords(b.Finding), inkPlain})
		}
		out = append(out, l)
	}
	return out
}
