package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// postFlowShort: the gas stays until the crater and the tungsten are cool. The
// tungsten goes by practice: a second for each ten amps, five at least, titanium fifteen.
// The crater of stainless and of titanium is computed as it cools: what film grows on
// it once the gas has stopped, and how long it stays above 427 C.
func postFlowShort(e *evidence) reading {
	need := math.Max(5, e.amps/10)
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
	r := reading{
		from: e.task.Seam, to: e.task.Seam,
		got: seconds(have) + " of post-flow", want: "about " + seconds(need),
		why:    fmt.Sprintf("the gas stopped after %s: crater and tungsten, hot for about %s, took air", seconds(have), seconds(need)),
		fix:    "hold the torch over the crater until the gas stops, and give it longer",
		source: byPractice,
	}
	crater := e.craterOut()
	if e.family == weld.Stainless || e.family == weld.TitaniumMF {
		r.why = fmt.Sprintf("the gas stopped after %s with the crater at %s: it and the tungsten took air", seconds(have), celsius(e.craterAt(have)))
		r.source = "model: how the crater cools; tungsten and film: common practice, no source"
	}
	r.margin = math.Max(m, crater)
	return r
}

// weightOfCrater says how much an oxidised crater matters.
func (e *evidence) weightOfCrater() float64 {
	return map[weld.Family]float64{weld.Stainless: 0.5, weld.TitaniumMF: 2}[e.family]
}

// craterAt gives the crater's temperature t seconds after the arc went out, C; the
// last that was followed beyond that.
func (e *evidence) craterAt(t float64) float64 {
	c := e.bead.Cooling
	u := t / puddle.CoolEvery
	k := int(math.Min(u, float64(len(c)-1)))
	if k >= len(c)-1 {
		return c[len(c)-1]
	}
	return c[k] + float64((c[k+1]-c[k])*(u-float64(k)))
}

// craterOut gives the margin of a crater that comes out of the gas when it stops.
func (e *evidence) craterOut() float64 {
	switch e.family {
	case weld.Stainless:
		return e.craterFilm() / e.filmLimit()
	case weld.TitaniumMF:
		const most = 3.0
		return math.Min(most, e.coolFor(titaniumCovered)/math.Max(float64(e.answer.PostFlow), 0.1))
	}
	return 0
}

// craterFilm gives the oxide, nm, that grows on a stainless crater after the gas has stopped.
func (e *evidence) craterFilm() float64 {
	squared := 0.0
	const dt = 0.1
	end := float64(len(e.bead.Cooling)-1) * puddle.CoolEvery
	for t := float64(e.answer.PostFlow) + dt/2; t < end; t += dt {
		squared += float64(filmGrowth(e.craterAt(t)) * dt)
	}
	return math.Sqrt(squared)
}

// coolFor gives how long after the arc the crater stays above a temperature, s.
func (e *evidence) coolFor(c float64) float64 {
	p := e.bead.Cooling
	for k := len(p) - 1; k > 0; k-- {
		if p[k-1] > c {
			left := float64(k-1) + math.Min(1, (p[k-1]-c)/math.Max(p[k-1]-p[k], 1e-9))
			return float64(left * puddle.CoolEvery)
		}
	}
	return 0
}

// craterColour names what the crater looks like.
func (e *evidence) craterColour() string {
	switch e.family {
	case weld.Stainless:
		return band(e.craterFilm(), tints.nm, tints.names)
	case weld.TitaniumMF:
		return band(e.craterAt(float64(e.answer.PostFlow)), titaniumTints.c, titaniumTints.names)
	}
	return ""
}
