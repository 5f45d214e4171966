package tui

import (
	"math"
	"strings"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// compareModel is a coupon beside the one before it, both looked at in one place
// and drawn to one scale.
type compareModel struct {
	before, now couponModel
	names       [2]string // what the two are called in a word
	changes     []view.Change
}

func newCompareModel(now couponModel, before session.Attempt, asked []session.Entry) compareModel {
	m := compareModel{now: now, names: [2]string{"before", "now"}, before: couponModel{task: now.task, try: before, sys: now.sys}}
	m.now.mm = math.Max(stripHeight(now.try.Verdict.Coupon), stripHeight(before.Verdict.Coupon))
	m.before.mm = m.now.mm
	m.changes = view.Compare(before, now.try, asked, now.sys).Changes
	m.look(view.WorstPlace(before.Verdict, now.task.Seam)) // has it been mended?
	return m
}

// look looks at a place along both seams.
func (m *compareModel) look(at weld.Length) { m.now.at, m.before.at = at, at }

// move looks further along by a share of the seam.
func (m *compareModel) move(share float64) {
	m.now.move(share)
	m.look(m.now.at)
}

// changeWords says what was changed from the one to the other.
func (m *compareModel) changeWords() string {
	if m.changes == nil {
		return "nothing was changed"
	}
	var out []string
	for _, c := range m.changes {
		out = append(out, c.Label+" "+c.Before+" -> "+c.After)
	}
	return strings.Join(out, ", ")
}

// numberLines sets the numbers of the place beside each other; what differs is marked.
func (m *compareModel) numberLines(w, h int) []line {
	b, n := m.before.measures(), m.now.measures()
	const name = 14
	value := max(8, width(m.names[0])+1)
	for _, x := range append(b, n...) {
		value = max(value, width(x.Text)+1)
	}
	out := []line{{{padTo("at "+view.Along(m.now.at, m.now.sys), name), inkFocus}, {padTo(m.names[0], value) + m.names[1], inkFaint}}}
	rows := max(1, h-1)
	for i := range n {
		mark, in := "  ", inkPlain
		if i < len(b) && b[i].Text != n[i].Text {
			mark, in = "~ ", inkStrong
		}
		l := line{{padTo(n[i].Name, name), inkFaint}, {padTo(b[i].Text, value), inkPlain}, {padTo(n[i].Text, value), in}, {mark, inkFaint}}
		if i < rows {
			out = append(out, l)
		} else if at := 1 + i%rows; i/rows == 1 && 2*(name+2*value+2)+2 <= w {
			out[at] = append(append(out[at], span{"  ", inkPlain}), l...)
		}
	}
	return out
}
