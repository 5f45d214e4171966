package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/weld"
)

// hottest part to start on, C: interpass and preheat limits of practice. Aluminium:
// 6xxx 150, 5xxx 90, others 120 (from memory, medium; preheat is for walls over 5 to
// 6 mm only). Stainless 150 (from memory, high). The rest: common practice, no source.
func hottestStart(m weld.Metal) float64 {
	switch m {
	case weld.Al6061:
		return 150
	case weld.Al5052:
		return 90
	case weld.Al3003, weld.TitaniumCP:
		return 120
	case weld.SS304, weld.SS316L:
		return 150
	case weld.Steel4130:
		return 315
	}
	return 250
}

// partHot: a part hotter than the metal allows loses strength, tints or cracks.
func partHot(e *evidence) reading {
	a, b := e.task.A.Metal, e.task.B.Metal
	limit, which := hottestStart(a), a
	if h := hottestStart(b); h < limit {
		limit, which = h, b
	}
	at := math.Max(e.task.PartTemp.Celsius(), e.bead.Before)
	got, most := celsiusBoth(at, limit)
	return reading{
		margin: at / (limit + 1), from: 0, to: e.task.Seam,
		got: "part at " + got, want: "at most " + most,
		why: fmt.Sprintf("the part is at %s before the arc: %s is not welded hotter than %s", got, which, most),
		fix: "let it cool between runs", source: "interpass limits from memory; common practice",
	}
}
