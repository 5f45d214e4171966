package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// backAir: where the joint melts through, the back is a pool too, and air reaches it.
// Carbon steel forgives that, stainless grows a crust, titanium is lost.
func backAir(e *evidence) reading {
	if e.family != weld.Stainless && e.family != weld.TitaniumMF {
		return reading{}
	}
	// What counts is what got hot enough at the back: melted, or close to it.
	hot, _, span := e.worst(0, 1, func(s *puddle.Station) float64 { return rise(s.FarTemp, s.Melt) })
	if hot < 0.9 {
		return reading{}
	}
	ppm := e.backOxygen()
	allowed := 5000.0 // below about 0.5 % O2 at worst: practice quoting API RP 582, secondary source
	switch {
	case e.family == weld.TitaniumMF:
		allowed = 50
	case e.task.Drawing.BrightRoot:
		allowed = 200 // contract practice: 50 ppm for hygienic work, colour from 200 (AWS D18.2 sample 5)
	}
	// A decade of oxygen is half a limit.
	m := 1 + 0.5*detmath.Log(math.Max(ppm, 1)/allowed)/2.302585
	if e.task.Joint.Fillet() && e.family == weld.Stainless && !e.task.Drawing.BrightRoot {
		m -= 0.3 // a heat mark on a fillet's far side is wiped off: common practice, no source
	}
	m *= math.Min(1, math.Max(0, (hot-0.9)*10))
	got := fmt.Sprintf("%.0f ppm oxygen at the back", ppm)
	why := fmt.Sprintf("the back melted in %s of oxygen: %s", ppmText(ppm), map[bool]string{true: "titanium takes it in and turns brittle", false: "chromium burns and the root comes out black and crusted"}[e.family == weld.TitaniumMF])
	if ppm > 2e5 {
		got, why = "open air at the back", "the back melted in open air: "+why[len(fmt.Sprintf("the back melted in %s of oxygen: ", ppmText(ppm))):]
	}
	return reading{
		margin: m, from: span.From, to: span.To,
		got: got, want: "at most " + ppmText(allowed),
		why: why, fix: "purge the back with argon and wait for the oxygen to fall, or keep the back from melting",
		source: "AWS D18.2 sample numbers; purge practice quoting API RP 582, secondary source",
	}
}

func ppmText(ppm float64) string {
	if ppm >= 10000 {
		return fmt.Sprintf("%.0f %%", ppm/10000)
	}
	return fmt.Sprintf("%.0f ppm", ppm)
}

// backOxygen gives the oxygen at the back, ppm.
func (e *evidence) backOxygen() float64 {
	const air = 209500
	switch e.answer.Back {
	case weld.Purged:
		if float64(e.answer.PurgeFlow) <= 0 {
			return air
		}
		// Less than about 2 L/min does not hold the air out: common practice, no source.
		thin := math.Max(1, 2/e.answer.PurgeFlow.LPerMin())
		return math.Min(air, float64(float64(e.answer.PurgeOxygen)*1e6)*thin)
	case weld.BackTape:
		return 8000 // tape and flux keep most of it off: estimate
	}
	return air
}
