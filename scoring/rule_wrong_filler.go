package scoring

import (
	"fmt"
	"slices"
	"strings"

	"puddlewise/scoring/weld"
)

// fillers that suit a pair of base metals, the first the usual one. AWS A5.9, A5.10,
// A5.16, A5.18, A5.28 uses; from handbooks, from memory (high) unless marked.
var fillersFor = []struct {
	a, b   weld.Metal
	suited []weld.Filler
}{
	{weld.CarbonSteel, weld.CarbonSteel, []weld.Filler{weld.ER70S2, weld.ER70S6, weld.ER80SD2}},
	{weld.Steel4130, weld.Steel4130, []weld.Filler{weld.ER80SD2, weld.ER70S2, weld.ER70S6}}, // secondary source
	{weld.Steel4130, weld.CarbonSteel, []weld.Filler{weld.ER70S2, weld.ER70S6, weld.ER80SD2}},
	{weld.SS304, weld.SS304, []weld.Filler{weld.ER308L, weld.ER316L}},
	{weld.SS316L, weld.SS316L, []weld.Filler{weld.ER316L}},
	{weld.SS304, weld.SS316L, []weld.Filler{weld.ER308L, weld.ER316L}},
	{weld.SS304, weld.CarbonSteel, []weld.Filler{weld.ER309L}},
	{weld.SS316L, weld.CarbonSteel, []weld.Filler{weld.ER309L}},
	{weld.SS304, weld.Steel4130, []weld.Filler{weld.ER309L}},
	{weld.SS316L, weld.Steel4130, []weld.Filler{weld.ER309L}},
	{weld.Al6061, weld.Al6061, []weld.Filler{weld.ER4043, weld.ER5356}},
	{weld.Al5052, weld.Al5052, []weld.Filler{weld.ER5356, weld.ER4043}},
	{weld.Al3003, weld.Al3003, []weld.Filler{weld.ER4043, weld.ER5356}},
	{weld.Al6061, weld.Al5052, []weld.Filler{weld.ER5356, weld.ER4043}},
	{weld.Al6061, weld.Al3003, []weld.Filler{weld.ER4043, weld.ER5356}},
	{weld.Al5052, weld.Al3003, []weld.Filler{weld.ER5356, weld.ER4043}},
	{weld.TitaniumCP, weld.TitaniumCP, []weld.Filler{weld.ERTi2}},
}

// suitedFillers gives the classes for a pair of metals; nil when there is none.
func suitedFillers(a, b weld.Metal) []weld.Filler {
	for _, f := range fillersFor {
		if f.a == a && f.b == b || f.a == b && f.b == a {
			return f.suited
		}
	}
	return nil
}

// wrongFiller: the rod's class fits both metals, and is the WPS's where one names it.
func wrongFiller(e *evidence) reading {
	a, b, f := e.task.A.Metal, e.task.B.Metal, e.answer.Filler
	r := reading{from: 0, to: e.task.Seam, got: string(f), source: "AWS A5.x uses; handbooks, from memory (high)"}
	suited := suitedFillers(a, b)
	names := make([]string, len(suited))
	for i, s := range suited {
		names[i] = string(s)
	}
	r.want = strings.Join(names, " or ")
	switch {
	case e.task.Drawing.FillerFixed != "":
		if f != e.task.Drawing.FillerFixed {
			r.margin, r.want = 1.5, string(e.task.Drawing.FillerFixed)
			r.why = fmt.Sprintf("the WPS names %s: another class needs another WPS, however alike the rods are", r.want)
			r.fix, r.source = "take the class the WPS names", "practice: the WPS overrides"
		}
	case suited == nil:
		r.margin, r.want = 1.5, "metals that are joined by fusion in ordinary practice"
		r.why = fmt.Sprintf("no rod joins %s to %s by fusion in ordinary practice", a, b)
		r.fix = "another joint"
	case f == weld.NoFiller:
		if a == weld.Al6061 || b == weld.Al6061 {
			r.margin = 1.5
			r.why = "6061 melted together without a rod cracks as it freezes: silicon or magnesium from the rod prevents it"
			r.fix = "add " + r.want
		} else if a.Family() != b.Family() {
			r.margin = 1.5
			r.why = fmt.Sprintf("%s melted together without a rod freezes hard and cracks: the rod makes the alloy between them", pair(a, b))
			r.fix = "add " + r.want
		}
	case costlyFiller(e).margin > 0: // it holds: told as cost
	case !slices.Contains(suited, f):
		r.margin = 1.5
		r.why = fmt.Sprintf("%s does not suit %s: %s", f, pair(a, b), misfit(a, b, f))
		r.fix = "take " + r.want
	}
	return r
}

func pair(a, b weld.Metal) string {
	if a == b {
		return string(a)
	}
	return fmt.Sprintf("%s to %s", a, b)
}

// misfit says what goes wrong.
func misfit(a, b weld.Metal, f weld.Filler) string {
	anyStainless := a.Family() == weld.Stainless || b.Family() == weld.Stainless
	switch {
	case anyStainless && steelRod(f):
		return "the bead freezes hard and brittle, and rusts"
	case anyStainless && a.Family() != b.Family():
		return "diluted by the plain steel it is too lean and may crack"
	case anyStainless && stainlessRod(f):
		return "the bead does not match the plate's alloy"
	case stainlessRod(f) && a.Family() == weld.Ferritic:
		return "it leaves a brittle boundary beside the bead"
	case stainlessRod(f) || steelRod(f):
		return "steel and this metal freeze into brittle compounds"
	}
	return "the two do not alloy into a sound bead"
}
