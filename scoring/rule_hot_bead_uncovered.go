package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// hotBeadUncovered: the bead behind the cup, still hot when the gas leaves it, takes
// colour. Counted on stainless and titanium; carbon steel forgives it, aluminium
// shows nothing.
func hotBeadUncovered(e *evidence) reading {
	var limit, spread float64
	switch e.family {
	case weld.Stainless:
		limit, spread = 1150, 1.0 // grey and black: common practice, no source
	case weld.TitaniumMF:
		limit, spread = 427, 4.0 // 800 F: secondary source
	default:
		return reading{}
	}
	t := e.leavesGasAt()
	m := t / limit
	if m > 1 {
		m = 1 + float64(spread*(m-1))
	}
	return reading{
		margin: m, from: 0, to: e.task.Seam,
		got:    "the bead leaves the gas at " + celsius(t),
		want:   "under " + celsius(limit),
		why:    fmt.Sprintf("the bead left the gas at %s, %s behind the arc, and came out %s", celsius(t), mm(float64(e.cover.Wake)), e.faceColour()),
		fix:    "a larger cup with a lens, less heat, or a trailing shield",
		source: "heat tint: stainless and titanium colours in air, secondary sources; reach of the gas: engineering estimate",
	}
}

// leavesGasAt gives the temperature of the bead where the gas leaves it, C.
func (e *evidence) leavesGasAt() float64 {
	w := e.bead.Wake
	if len(w) == 0 {
		return 20
	}
	u := float64(e.cover.Wake) / puddle.WakeEvery
	k := min(int(u), len(w)-2)
	return w[k] + float64((w[k+1]-w[k])*math.Min(1, u-float64(k)))
}

// faceColour names what the bead looks like. The bands are those of stainless in
// air (secondary source), which hold for about an hour, moved up by 250 C for the
// seconds a bead is hot: an estimate.
func (e *evidence) faceColour() string {
	t := e.leavesGasAt()
	switch e.family {
	case weld.Stainless:
		return band(t, []float64{540, 650, 750, 900}, []string{"bright", "straw", "brown to purple", "blue", "grey"})
	case weld.TitaniumMF:
		return band(t, []float64{427, 480, 540}, []string{"bright", "straw", "blue", "grey"})
	case weld.Aluminium:
		if e.answer.Polarity == weld.DCEN {
			return "dull"
		}
		return "bright"
	}
	if float64(e.cover.Radius) < e.poolRadius() {
		return "grey"
	}
	return "bright"
}

// backColour names what the back looks like where it got hot.
func (e *evidence) backColour(s *puddle.Station) string {
	if s.FarTemp < e.oxidises() {
		return "bright"
	}
	switch e.family {
	case weld.Stainless, weld.TitaniumMF:
		if ppm := e.backOxygen(); ppm < 21e4 {
			return band(ppm, []float64{50, 200, 1000, 12500}, []string{"bright", "straw", "blue", "dark blue", "black"})
		}
		if backWidth(s) > 0 {
			return "black"
		}
		return "grey"
	case weld.Aluminium:
		return "bright"
	}
	return "grey"
}

func band(v float64, limits []float64, names []string) string {
	for i, l := range limits {
		if v < l {
			return names[i]
		}
	}
	return names[len(names)-1]
}
