package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/weld"
)

// postFlowShort: the gas stays until the crater and the tungsten are cool. Practice:
// a second for each ten amps, five at least, and never less than the crater stays hot
// enough to take oxide; titanium until below 427 C.
func postFlowShort(e *evidence) reading {
	need := math.Max(math.Max(5, e.amps/10), e.bead.HotAfter)
	if e.family == weld.TitaniumMF {
		need = math.Max(need, 15)
	}
	// The last amps count: a slope down has already cooled tungsten and crater.
	need = math.Max(3, need-float64(e.answer.SlopeDown))
	have := float64(e.answer.PostFlow)
	m := 0.0
	if have < need {
		m = 0.75 + float64(float64(0.35*(need-have))/need*(1+e.weightOfCrater()))
	}
	return reading{
		margin: m, from: e.task.Seam, to: e.task.Seam,
		got: seconds(have) + " of post-flow", want: "about " + seconds(need),
		why:    fmt.Sprintf("the gas stopped after %s: crater and tungsten, hot for about %s, took air", seconds(have), seconds(need)),
		fix:    "hold the torch over the crater until the gas stops, and give it longer",
		source: byPractice,
	}
}

// weightOfCrater says how much an oxidised crater matters.
func (e *evidence) weightOfCrater() float64 {
	return map[weld.Family]float64{weld.Stainless: 0.5, weld.TitaniumMF: 2}[e.family]
}
