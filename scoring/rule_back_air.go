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
	// What counts is what got hot enough at the back: close to the melt a little, a
	// melted strip half as wide again as the wall all of it.
	hot := func(s *puddle.Station) float64 {
		return float64(0.35*ramp(rise(s.FarTemp, s.Melt), 0.9, 1)) + float64(0.65*math.Min(1, math.Max(s.BackA, s.BackB)/float64(1.5*e.wall)))
	}
	ppm := e.backOxygen()
	allowed := 5000.0 // below about 0.5 % O2 at worst: practice quoting API RP 582, secondary source
	switch {
	case e.family == weld.TitaniumMF:
		allowed = 50 // from memory, medium
	case e.task.Drawing.BrightRoot:
		allowed = 200 // contract practice: 50 ppm for hygienic work, colour from 200
	}
	// A decade of oxygen is half a limit.
	m := 1 + float64(0.5*detmath.Log(math.Max(ppm, 1)/allowed))/2.302585
	if e.fillet() && e.family == weld.Stainless && !e.task.Drawing.BrightRoot {
		m -= 0.3 // a heat mark on a fillet's far side is wiped off: common practice, no source
	}
	worst, s, span := e.worst(0, 1, func(s *puddle.Station) float64 { return float64(m * hot(s)) })
	r := reading{
		margin: worst, from: span.From, to: span.To,
		got:    fmt.Sprintf("%s of oxygen at the back%s", ppmText(ppm), sampleText(ppm, e.family)),
		want:   "at most " + ppmText(allowed),
		fix:    "purge the back with argon and wait for the oxygen to fall, or keep the back from melting",
		source: "AWS D18.2 sample numbers name the degree of colour; purge practice quoting API RP 582, secondary source",
	}
	where := fmt.Sprintf("the back reached %s in %s of oxygen", celsius(s.FarTemp), ppmText(ppm))
	if ppm > 2e5 {
		r.got, where = "open air at the back", fmt.Sprintf("the back reached %s in open air", celsius(s.FarTemp))
	}
	colour := e.backColour(s)
	if colour == "black" {
		colour += " and crusted"
	}
	if n := e.purgeChanges(); e.answer.Back == weld.Purged && n < 7 && ppm > allowed {
		where += fmt.Sprintf(" after %.1f fillings of the hollow", n)
		r.want += ", after five to ten fillings of the hollow with argon"
	}
	r.why = where + ": chromium burns and the root comes out " + colour
	r.near = where + ", the most that this root takes is " + ppmText(allowed)
	if e.family == weld.TitaniumMF {
		r.why = where + ": titanium takes it in and turns brittle"
	}
	return r
}

func ppmText(ppm float64) string {
	if ppm >= 10000 {
		return fmt.Sprintf("%.0f %%", ppm/10000)
	}
	return fmt.Sprintf("%.0f ppm", ppm)
}

// sampleOxygen is the oxygen, ppm, in the argon behind each of the ten sample welds of
// AWS D18.2 (1999, 2009), number 1 first. The guide names degrees of colour with
// them and sets no limit; moisture, dirt and finish change the colour too.
var sampleOxygen = []float64{10, 25, 50, 100, 200, 500, 1000, 5000, 12500, 25000}

// sample gives the number of the D18.2 sample weld nearest above this oxygen; 0 beyond the last.
func sample(ppm float64) int {
	for i, o := range sampleOxygen {
		if ppm <= o {
			return i + 1
		}
	}
	return 0
}

// backSample gives the sample number of a stainless back that melted or nearly did.
func (e *evidence) backSample() int {
	hot := 0.0
	for i := range e.bead.Stations {
		hot = math.Max(hot, rise(e.bead.Stations[i].FarTemp, e.bead.Stations[i].Melt))
	}
	if e.family != weld.Stainless || hot < 0.9 {
		return 0
	}
	return sample(e.backOxygen())
}

func sampleText(ppm float64, f weld.Family) string {
	if n := sample(ppm); n > 0 && f == weld.Stainless {
		return fmt.Sprintf(", colour as D18.2 sample %d", n)
	}
	return ""
}

// oxygenOfAir is air's share of oxygen, ppm.
const oxygenOfAir = 209500.0

// backOxygen gives the oxygen at the back, ppm. A purge that mixes leaves 1/e of the air
// for each volume that has gone through, never less than what leaks and hose let in,
// which the analyser reads in the end.
func (e *evidence) backOxygen() float64 {
	switch e.answer.Back {
	case weld.Purged:
		flow := e.answer.PurgeFlow.LPerMin()
		if flow <= 0 {
			return oxygenOfAir
		}
		// Less than about 2 L/min does not hold the air out: common practice, no source.
		thin := math.Min(math.Max(1, 2/flow), 1e3)
		left := math.Max(float64(float64(e.answer.PurgeOxygen)*1e6), float64(oxygenOfAir*detmath.Exp(-e.purgeChanges())))
		return math.Min(oxygenOfAir, float64(left*float64(thin*thin)))
	case weld.BackTape:
		return 8000 // tape and flux keep most of it off: estimate
	}
	return oxygenOfAir
}

// purgeChanges gives how often the purge has filled the hollow behind the seam before
// the arc.
func (e *evidence) purgeChanges() float64 {
	return float64(float64(e.answer.PurgeFlow)*float64(e.answer.PurgeTime)) / e.hollow()
}

// hollow gives what the purge has to fill, m3: half a litre of hose and manifold, and a
// tube between dams about 100 mm either side of the seam, or a channel of 30 by 10 mm
// behind it (common practice, no source).
func (e *evidence) hollow() float64 {
	const hose = 0.5e-3
	if e.task.Joint.Tube() {
		bore := float64(e.task.Diameter - 2*e.task.B.Thickness)
		return hose + float64(float64(math.Pi/4*float64(bore*bore))*0.2)
	}
	return hose + float64(float64(0.03*0.01)*float64(e.task.Seam+2*e.task.RunOut))
}
