package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// hotBeadUncovered: the bead behind the cup, still hot when the gas leaves it, takes
// colour. Counted on stainless, by the film that grows on it, and on titanium, by its
// temperature; carbon steel forgives it, aluminium shows nothing.
func hotBeadUncovered(e *evidence) reading {
	t := e.leavesGasAt()
	r := reading{
		from: 0, to: e.task.Seam, got: "the bead leaves the gas at " + celsius(t),
		why:    fmt.Sprintf("the bead left the gas at %s, %s behind the arc, and came out %s", celsius(t), mm(float64(e.cover.Wake)), e.faceColour()),
		fix:    "a larger cup with a lens, less heat or quicker travel",
		source: "heat tint by film thickness, parabolic growth: scale estimated; reach of the gas: engineering estimate",
	}
	switch e.family {
	case weld.Stainless:
		film := e.film
		limit, most := e.filmLimit(), "grey"
		if e.task.Drawing.BrightRoot {
			most = "blue"
		}
		r.margin = film / limit
		r.got += fmt.Sprintf(" and grows a film of %.0f nm", film)
		r.want = fmt.Sprintf("at most %s, about %.0f nm", most, limit)
	case weld.TitaniumMF:
		const limit = titaniumCovered
		r.margin = t / limit
		if r.margin > 1 {
			r.margin = 1 + float64(4*(r.margin-1))
		}
		r.want = "under 427 C"
		r.fix = "a trailing shield, long enough for the bead to cool under it"
		if e.coversAll() {
			r.why = fmt.Sprintf("all of the bead lay under the gas, which was shut off with it at %s: it came out %s", celsius(t), e.faceColour())
			r.fix = "hold the shield where it is and let the gas run until the bead is cool"
		}
		r.source = "titanium: shielded below 427 C (800 F), secondary source; reach of the gas: engineering estimate"
	}
	return r
}

// Heat tint on stainless is a film of oxide whose colour goes with its thickness.
// It grows as the root of time times a rate that goes with temperature. The form is
// textbook; activation about that of chromia on stainless (240 kJ/mol, from memory,
// range 200-260); 33 nm after ten seconds at 900 C is a rate constant of about
// 3e-12 g2/cm4 s for 304 in air (from memory, low). The published colours, 290 C pale
// yellow to 600 C dark blue, are for an hour. Grade, finish and moisture move all of it.
const (
	filmActivation = 240e3 / 8.314 // K
	filmAt         = 900 + 273.15  // K
	filmRate       = 33.0 * 33 / 10

	// nm: beyond blue lies grey, which bright work rejects, then black, which everybody
	// does (common practice; the contract decides).
	greyFrom, blackFrom = 150.0, 300.0
)

// tints names the film's colour up to each thickness, nm (interference, estimate).
var tints = struct {
	nm    []float64
	names []string
}{[]float64{15, 38, 62, greyFrom, blackFrom}, []string{"bright", "straw", "brown to purple", "blue", "grey", "black"}}

// filmLimit is the film that rejects a face, nm.
func (e *evidence) filmLimit() float64 {
	if e.task.Drawing.BrightRoot {
		return greyFrom
	}
	return blackFrom
}

// titaniumCovered is the temperature, C, under which titanium may leave the gas: 800 F,
// secondary source.
const titaniumCovered = 427.0

// titaniumTints names titanium's colour up to each temperature, C, at which it left the
// gas: the order of colours is published, the temperatures are estimates.
var titaniumTints = struct {
	c     []float64
	names []string
}{[]float64{titaniumCovered, 480, 540}, []string{"bright", "straw", "blue", "grey"}}

// tintFilm gives the oxide grown on the face behind the gas, nm.
func (e *evidence) tintFilm() float64 {
	v := math.Max(float64(e.answer.Travel), 1e-5)
	squared := 0.0
	const dx = 0.25e-3
	for x := float64(e.cover.Wake) + dx/2; x < float64(len(e.bead.Wake)-1)*puddle.WakeEvery; x += dx {
		squared += float64(filmGrowth(e.wakeAt(x)) * (dx / v))
	}
	return math.Sqrt(squared)
}

// filmGrowth gives nm2/s at t C.
func filmGrowth(t float64) float64 {
	return float64(filmRate * detmath.Exp(float64(filmActivation*(1/filmAt-1/(math.Min(t, 1400)+273.15)))))
}

// wakeAt gives the face's temperature behind the arc, C. Further back than the seam
// is long it is where the seam began, as the arc goes out: from then on nothing moves.
func (e *evidence) wakeAt(x float64) float64 {
	w := e.bead.Wake
	if len(w) < 2 {
		return 20
	}
	u := x / puddle.WakeEvery
	k := min(int(u), len(w)-2)
	return w[k] + float64((w[k+1]-w[k])*math.Min(1, u-float64(k)))
}

// leavesGasAt gives the temperature of the bead where the gas leaves it, C. Where the gas
// covers all of the bead, it stays so until it is shut off: no place is then hotter than
// the crater, the youngest.
func (e *evidence) leavesGasAt() float64 {
	at := e.wakeAt(float64(e.cover.Wake))
	if c := e.bead.Cooling; e.coversAll() && len(c) > 0 {
		if followed := float64(len(c)-1) * puddle.CoolEvery; float64(e.answer.PostFlow) >= followed && c[len(c)-1] < e.oxidises() {
			return metal.Ambient // too cold to be followed further
		}
		return math.Min(at, e.craterAt(float64(e.answer.PostFlow)))
	}
	return at
}

// coversAll says whether the gas reaches from the seam's end back to its beginning.
func (e *evidence) coversAll() bool { return e.cover.Wake >= e.task.Seam }

// bare says whether the pool itself stands in air.
func (e *evidence) bare() bool { return e.spoiled.margin >= 1 && !e.spoiled.rod }

// faceColour names what the bead looks like.
func (e *evidence) faceColour() string {
	bare := e.bare()
	switch e.family {
	case weld.Stainless:
		if bare {
			return "black"
		}
		return band(e.film, tints.nm, tints.names)
	case weld.TitaniumMF:
		if bare {
			return "white"
		}
		return band(e.leavesGasAt(), titaniumTints.c, titaniumTints.names)
	case weld.Aluminium:
		if bare || e.answer.Polarity == weld.DCEN {
			return "dull"
		}
		return "bright"
	}
	if bare {
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
