package view

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
)

// Facet is a way to sort joints.
type Facet string

// Facets.
const (
	ByMetal    Facet = "metal"
	ByJoint    Facet = "joint"
	ByPosition Facet = "position"
	ByWall     Facet = "wall"
	BySkill    Facet = "skill"
	ByLevel    Facet = "level"
)

// allFacets is their order everywhere.
var allFacets = []Facet{ByMetal, ByJoint, ByPosition, ByWall, ByLevel, BySkill}

// Counts is a facet with the values that occur among joints.
type Counts struct {
	Facet  Facet
	Values []Count
}

// Count is a value and how many joints have it.
type Count struct {
	Text   string
	Joints int
}

// Words lists the values with how many joints have each.
func (c Counts) Words() string {
	var parts []string
	for _, v := range c.Values {
		parts = append(parts, fmt.Sprintf("%s (%d)", v.Text, v.Joints))
	}
	return strings.Join(parts, ", ")
}

// band is a stretch of wall thicknesses, read off the thinner member.
type band struct{ from, to weld.Length }

// bands part the walls a learner meets where the hand's work changes: what is
// burnt through in a blink, ordinary thin sheet, and what takes some heating.
// Common practice, no source.
var bands = []band{{0, 1.2 * weld.Millimetre}, {1.2 * weld.Millimetre, 2 * weld.Millimetre}, {2 * weld.Millimetre, 1}}

func (b band) words(sys weld.System) string {
	switch {
	case b.from == 0:
		return "under " + b.to.Show(sys)
	case b.to == 1:
		return b.from.Show(sys) + " and up"
	}
	from, _, _ := strings.Cut(b.from.Show(sys), " ")
	return from + " to " + b.to.Show(sys)
}

// valuesOf gives what a joint has of a facet.
func valuesOf(f Facet, sc scenarios.Scenario, sys weld.System) []string {
	t := sc.Task
	switch f {
	case ByMetal:
		if t.B.Metal != "" && t.A.Metal != t.B.Metal {
			return []string{string(t.A.Metal), string(t.B.Metal)}
		}
		return []string{string(t.A.Metal)}
	case ByJoint:
		return []string{string(t.Joint)}
	case ByPosition:
		return []string{string(t.Position)}
	case ByWall:
		for _, b := range bands {
			if w := t.Thinner(); w >= b.from && w < b.to {
				return []string{b.words(sys)}
			}
		}
	case BySkill:
		return sc.Skills
	case ByLevel:
		return []string{strconv.Itoa(sc.Level)}
	}
	return nil
}

// Facets gives every facet with what occurs of it: walls from thin on, levels from
// easy on, skills as they are listed, the rest as they come.
func Facets(bank []scenarios.Scenario, sys weld.System) []Counts {
	var out []Counts
	for _, f := range allFacets {
		var order []string
		switch f {
		case ByWall:
			for _, b := range bands {
				order = append(order, b.words(sys))
			}
		case BySkill:
			order = slices.Clone(scenarios.Skills)
		case ByLevel:
			order = []string{"1", "2", "3", "4", "5"}
		}
		n := map[string]int{}
		for _, sc := range bank {
			for _, v := range valuesOf(f, sc, sys) {
				if n[v]++; !slices.Contains(order, v) {
					order = append(order, v)
				}
			}
		}
		c := Counts{Facet: f}
		for _, v := range order {
			if n[v] > 0 {
				c.Values = append(c.Values, Count{v, n[v]})
			}
		}
		if c.Values != nil {
			out = append(out, c)
		}
	}
	return out
}

// Filter is what joints must have; a facet that is missing asks for nothing.
type Filter map[Facet]string

// Takes says whether the joint has all of it.
func (f Filter) Takes(sc scenarios.Scenario, sys weld.System) bool {
	for facet, want := range f {
		if want != "" && !slices.Contains(valuesOf(facet, sc, sys), want) {
			return false
		}
	}
	return true
}

// Words says what the filter asks for; empty when it asks for nothing.
func (f Filter) Words() string {
	var out string
	for _, facet := range allFacets {
		if v := f[facet]; v != "" {
			if out != "" {
				out += ", "
			}
			switch facet {
			case ByLevel, ByWall, ByPosition:
				v = fmt.Sprintf("%s %s", facet, v)
			}
			out += v
		}
	}
	return out
}

// Find gives the value that is the text, or the only one that holds it; empty for
// none. Case does not matter.
func (c Counts) Find(text string) string {
	var holds []string
	for _, v := range c.Values {
		if strings.EqualFold(v.Text, text) {
			return v.Text
		}
		if strings.Contains(strings.ToLower(v.Text), strings.ToLower(text)) {
			holds = append(holds, v.Text)
		}
	}
	if text == "" || len(holds) != 1 {
		return ""
	}
	return holds[0]
}
