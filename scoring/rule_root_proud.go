package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
)

// rootProud: too much rod and heat stand out of the back. Limits: 1 mm + 0.3 b up to 3 mm
// of wall, 1 mm + 0.6 b and 4 mm at most beyond, b the back's width: ISO 5817:2014 level C,
// 504 (secondary copy; check against the book). On thin sheet surface tension hardly
// lets it come to that: half a wall is worth a remark (common practice, no source).
func rootProud(e *evidence) reading {
	if e.fillet() {
		return reading{}
	}
	limit := func(s *puddle.Station) float64 {
		if e.wall > 3e-3 {
			return math.Min(4e-3, 1e-3+float64(0.6*backWidth(s)))
		}
		return 1e-3 + float64(0.3*backWidth(s))
	}
	from, to := e.inner()
	m, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return s.Shape.Root / limit(s) })
	got, most := mmBoth(s.Shape.Root, limit(s))
	r := reading{
		margin: m, from: span.From, to: span.To,
		got: "root " + got + " proud", want: "at most " + most,
		why:    fmt.Sprintf("excess penetration: %s the root stands %s out of the back, %s wide", e.at(s), got, mm(backWidth(s))),
		fix:    "less rod and less heat: the back wants a low bead, no more",
		source: "ISO 5817:2014 level C, 504; height: model",
	}
	if most := float64(0.5 * e.wall); m < 1 {
		half, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return s.Shape.Root / most })
		if half >= 1 {
			got, want := mmBoth(s.Shape.Root, most)
			r.margin, r.as, r.from, r.to = half, Remark, span.From, span.To
			r.got, r.want = "root "+got+" proud", "about "+want+", half the wall"
			r.why = fmt.Sprintf("heavy root: %s it stands %s out of the back: within ISO 5817, but it narrows a bore and costs rod", e.at(s), got)
			r.source += "; half a wall: " + byPractice
		}
	}
	return r
}
