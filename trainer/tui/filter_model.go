package tui

import (
	"maps"
	"slices"

	"puddlewise/scenarios"
	"puddlewise/trainer/session/view"
)

// filterModel is the filter of the list of joints being set, a row a facet.
type filterModel struct {
	list   *chooseModel
	facets []view.Counts
	cursor int
}

func newFilterModel(list *chooseModel) filterModel {
	return filterModel{list: list, facets: view.Facets(list.bank, list.sys)}
}

// move steps the cursor and stops at the ends.
func (m *filterModel) move(by int) { m.cursor = max(0, min(len(m.facets)-1, m.cursor+by)) }

// marked gives the facet the cursor is on, with the values that joints have which
// the other facets leave; ok is false for an empty bank.
func (m *filterModel) marked() (c view.Counts, ok bool) {
	if m.cursor >= len(m.facets) {
		return view.Counts{}, false
	}
	facet := m.facets[m.cursor].Facet
	others := maps.Clone(m.list.filter)
	delete(others, facet)
	var left []scenarios.Scenario
	for _, sc := range m.list.bank {
		if others.Takes(sc, m.list.sys) {
			left = append(left, sc)
		}
	}
	for _, c := range view.Facets(left, m.list.sys) {
		if c.Facet == facet {
			return c, true
		}
	}
	return view.Counts{Facet: facet}, true
}

// step takes the next value of the facet in focus, or the one before; any stands
// between the last and the first.
func (m *filterModel) step(by int) {
	c, ok := m.marked()
	if !ok {
		return
	}
	n := len(c.Values) + 1
	at := 1 + slices.IndexFunc(c.Values, func(v view.Count) bool { return v.Text == m.list.filter[c.Facet] }) // 0 is any
	if at = ((at+by)%n + n) % n; at == 0 {
		m.any()
		return
	}
	m.list.filter[c.Facet] = c.Values[at-1].Text
	m.list.narrow()
}

// any takes the facet in focus out of the filter.
func (m *filterModel) any() {
	if c, ok := m.marked(); ok {
		delete(m.list.filter, c.Facet)
		m.list.narrow()
	}
}

// none takes the whole filter away.
func (m *filterModel) none() {
	clear(m.list.filter)
	m.list.narrow()
}

// lines is the facets with what is asked of each.
func (m *filterModel) lines() []line {
	var out []line
	for i, c := range m.facets {
		mark, in := "  ", inkPlain
		if i == m.cursor {
			mark, in = "> ", inkFocus
		}
		value, valueInk := "any", inkFaint
		if v := m.list.filter[c.Facet]; v != "" {
			value, valueInk = v, inkStrong
		}
		out = append(out, line{{mark + padTo(string(c.Facet), 10), in}, {value, valueInk}})
	}
	return out
}

// valueLines is what the facet in focus may be, with how many joints have it, in
// columns of h lines.
func (m *filterModel) valueLines(w, h int) []line {
	c, ok := m.marked()
	if !ok || h < 1 {
		return nil
	}
	cells := 0
	for _, v := range c.Values {
		cells = max(cells, width(v.Text)+8)
	}
	rows := min(h, len(c.Values))
	if cells > 0 && w/cells > 0 {
		rows = max(min(h, 8), (len(c.Values)+w/cells-1)/(w/cells)) // long lists take columns
	}
	out := make([]line, min(rows, len(c.Values)))
	for i, v := range c.Values {
		in := inkPlain
		if v.Text == m.list.filter[c.Facet] {
			in = inkStrong
		}
		out[i%rows] = append(out[i%rows], span{padLeft(itoa(v.Joints), 3) + "  ", inkFaint}, span{padTo(v.Text, cells-5), in})
	}
	return out
}

// foundLines lists what is left.
func (m *filterModel) foundLines(w int, dots string) []line {
	var out []line
	for _, sc := range m.list.shown {
		out = append(out, line{{padTo(sc.ID, 7), inkFaint}, {shorten(sc.Title, w-7, dots), inkPlain}})
	}
	return out
}
