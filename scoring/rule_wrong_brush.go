package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// wrongBrush: a stainless brush is kept for one metal. Steel wire leaves iron in
// stainless, aluminium and titanium: it rusts there and brings specks into the pool
// (common practice, no source). Titanium is not welded on any of it.
func wrongBrush(e *evidence) reading {
	b := e.answer.Brush
	if !e.answer.Cleaned || e.family == weld.Ferritic || b == weld.OwnBrush || b == weld.NoBrush {
		return reading{}
	}
	m := e.task.A.Metal
	if e.task.B.Metal.Family() == e.family {
		m = e.task.B.Metal
	}
	r := reading{
		margin: 1.3, as: Fault, from: 0, to: e.task.Seam,
		got: string(b) + " brush", want: "a stainless brush kept for this metal",
		why: fmt.Sprintf("a carbon steel brush leaves iron in %s: it rusts there, and specks of it go into the pool", m),
		fix: "keep a marked stainless brush for each metal", source: byPractice,
	}
	if b == weld.SharedBrush {
		r.margin, r.as = 1, Remark
		r.why = fmt.Sprintf("a brush that has been on other metals carries them into %s", m)
	}
	if e.family == weld.TitaniumMF {
		r.margin, r.as = 1.3, ""
		r.why += ": titanium forgives none of it"
	}
	return r
}
