package tui

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// chooseModel is the list of joints: what is shown of the bank and what is marked.
type chooseModel struct {
	bank   []scenarios.Scenario
	sys    weld.System
	query  string
	filter view.Filter
	due    []string // ids of the only joints to show; nil for any
	shown  []scenarios.Scenario
	cursor int
}

// search narrows the list; the marked joint stays marked while it is shown.
func (m *chooseModel) search(query string) {
	m.query = query
	m.narrow()
}

// narrow shows what the search, the filter and the list of the due leave.
func (m *chooseModel) narrow() {
	var id string
	if sc, ok := m.marked(); ok {
		id = sc.ID
	}
	m.shown = nil
	for _, sc := range view.Find(m.bank, m.query, m.sys) {
		if m.filter.Takes(sc, m.sys) && (m.due == nil || slices.Contains(m.due, sc.ID)) {
			m.shown = append(m.shown, sc)
		}
	}
	m.cursor = 0
	for i, sc := range m.shown {
		if sc.ID == id {
			m.cursor = i
		}
	}
}

// use changes the units; a band of walls chosen in others means nothing in them.
func (m *chooseModel) use(sys weld.System) {
	if sys != m.sys {
		m.sys = sys
		delete(m.filter, view.ByWall)
		m.narrow()
	}
}

// all takes everything away that narrows the list.
func (m *chooseModel) all() {
	m.query, m.filter, m.due = "", view.Filter{}, nil
	m.narrow()
}

// narrowed says whether fewer joints may be shown than there are.
func (m *chooseModel) narrowed() bool {
	return m.query != "" || m.filter.Words() != "" || m.due != nil
}

// only says in words what is shown, the search aside; empty for all.
func (m *chooseModel) only() string {
	var parts []string
	if m.due != nil {
		parts = append(parts, "due again")
	}
	if w := m.filter.Words(); w != "" {
		parts = append(parts, w)
	}
	return strings.Join(parts, ", ")
}

// marked gives the joint the cursor is on; ok is false when none is shown.
func (m *chooseModel) marked() (sc scenarios.Scenario, ok bool) {
	if m.cursor < 0 || m.cursor >= len(m.shown) {
		return scenarios.Scenario{}, false
	}
	return m.shown[m.cursor], true
}

// move steps the cursor and stops at the ends.
func (m *chooseModel) move(by int) {
	m.cursor = max(0, min(len(m.shown)-1, m.cursor+by))
}

// standWords says how a joint stands: an answer on its way, or its last coupon.
func standWords(td view.ToDo, id string, now time.Time) string {
	for _, b := range td.Begun {
		if b.Scenario.ID == id {
			return "~ " + b.Words() + ", left " + view.When(b.Draft.At, now)
		}
	}
	st, ok := td.Last[id]
	if !ok {
		return ""
	}
	word, mark := view.Outcome(st.Last.Outcome)
	out := word + " " + mark + " " + view.When(st.Last.At, now)
	if st.Last.Finding != "" {
		out += ": " + session.InWords(st.Last.Finding)
	}
	return out + "; " + view.Counted(st.Tried, "coupon") + ", " + itoa(st.Accepted) + " accepted"
}

// window gives the first row to show so that the cursor is among rows of them.
func (m *chooseModel) window(rows int) int {
	return max(0, min(m.cursor-rows/2, len(m.shown)-rows))
}

// chooseColumn is a column of the list.
type chooseColumn struct {
	head  string
	width int
	of    func(view.Row) string
}

// chooseColumns lays the list out for w cells: each column as wide as what it
// holds, and the title what the rest leaves.
func chooseColumns(bank []scenarios.Scenario, sys weld.System, w int) []chooseColumn {
	cols := []chooseColumn{
		{head: "", width: 3}, // cursor, how the last coupon came out, whether an answer is on its way
		{head: "id", of: func(r view.Row) string { return r.ID }},
		{head: "joint"},
		{head: "kind", of: func(r view.Row) string { return shortJoint(r.Joint) }},
		{head: "metal", of: func(r view.Row) string { return r.Metal }},
		{head: "wall", of: func(r view.Row) string { return r.Thickness }},
		{head: "gap", of: func(r view.Row) string { return r.Gap }},
		{head: "pos", of: func(r view.Row) string { return fmt.Sprintf("%.2s", r.Position) }},
		{head: "lv", of: func(r view.Row) string { return strconv.Itoa(r.Level) }},
	}
	if w >= wideScreen {
		cols[3].of = func(r view.Row) string { return r.Joint }
		cols[7] = chooseColumn{head: "position", of: func(r view.Row) string { return r.Position }}
	}
	const title = 2
	rest, longest := w-len(cols)+1, width(cols[title].head)
	for i := range cols {
		if cols[i].of != nil {
			cols[i].width = width(cols[i].head)
		}
	}
	for _, sc := range bank {
		row := view.JointRow(sc, sys)
		for i := range cols {
			if c := &cols[i]; c.of != nil {
				c.width = max(c.width, min(mostOfAColumn, width(c.of(row))))
			}
		}
		longest = max(longest, width(sc.Title))
	}
	for _, c := range cols {
		rest -= c.width
	}
	cols[title].of = func(r view.Row) string { return r.Title }
	cols[title].width = max(8, min(rest, longest+2))
	return cols
}

// mostOfAColumn keeps a learner's own strange joint from pushing the rest away.
const mostOfAColumn = 14

// previewLines is what is said of the marked joint beside or under the list.
func previewLines(sc scenarios.Scenario, sys weld.System, w, h int) []line {
	sh := view.JointSheet(sc, sys)
	out := paragraph(sh.Job, w, inkFaint)
	if h > 6 {
		out = append(out, nil)
		for _, f := range sh.Facts {
			out = append(out, labelled(f.Label, f.Text, 10, w, inkPlain)...)
		}
	}
	if len(out) > h {
		out = out[:h]
	}
	return out
}

// shortJoint names a joint in one word, where there is no room for two.
func shortJoint(joint string) string {
	switch weld.Joint(joint) {
	case weld.TubeButt:
		return "tube"
	case weld.OutsideCorner, weld.TubeSaddle, weld.SquareButt:
		return joint[strings.LastIndexByte(joint, ' ')+1:]
	}
	word, _, _ := strings.Cut(joint, " ")
	return word
}
