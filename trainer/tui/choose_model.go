package tui

import (
	"fmt"
	"strconv"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// chooseModel is the list of joints: what is shown of the bank and what is marked.
type chooseModel struct {
	bank   []scenarios.Scenario
	sys    weld.System
	query  string
	shown  []scenarios.Scenario
	cursor int
}

// search narrows the list; the marked joint stays marked while it is shown.
func (m *chooseModel) search(query string) {
	var id string
	if sc, ok := m.marked(); ok {
		id = sc.ID
	}
	m.query = query
	m.shown = view.Find(m.bank, query, m.sys)
	m.cursor = 0
	for i, sc := range m.shown {
		if sc.ID == id {
			m.cursor = i
		}
	}
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

// chooseColumns lays the list out for w cells. The title takes what the rest leaves.
func chooseColumns(w int) []chooseColumn {
	kind := chooseColumn{"kind", 6, func(r view.Row) string { return shortJoint(r.Joint) }}
	pos := chooseColumn{"pos", 3, func(r view.Row) string { return fmt.Sprintf("%.2s", r.Position) }}
	if w >= 96 {
		kind = chooseColumn{"kind", 15, func(r view.Row) string { return r.Joint }}
		pos = chooseColumn{"position", 10, func(r view.Row) string { return r.Position }}
	}
	cols := []chooseColumn{
		{"", 2, nil}, // how the last coupon came out
		{"id", 5, func(r view.Row) string { return r.ID }},
		{"joint", 0, func(r view.Row) string { return r.Title }},
		kind,
		{"metal", 12, func(r view.Row) string { return r.Metal }},
		{"wall", 8, func(r view.Row) string { return r.Thickness }},
		{"gap", 6, func(r view.Row) string { return r.Gap }},
		pos,
		{"lv", 2, func(r view.Row) string { return strconv.Itoa(r.Level) }},
	}
	rest := w - len(cols) + 1
	for _, c := range cols {
		rest -= c.width
	}
	cols[2].width = max(10, min(rest, 36))
	return cols
}

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
