package verify

import (
	"math"

	"puddlewise/scoring"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Constant is a number of the model that was calibrated or assumed. Each is one number
// for every joint, wall and metal it applies to.
type Constant struct {
	Name   string
	Used   float64 // as the model has it
	Unit   string
	Range  string // published, or what was tried
	Source string
}

// constants lists them. Reach of the gas and the limits of the rod's tip are engineering
// estimates of their own and stand in scoring/shield.
func constants() []Constant {
	a := weld.Defaults()
	a.TorchAngle, a.ArcLength = 90*weld.Degree, 2*weld.Millimetre
	ac := a
	ac.Polarity = weld.AC
	longer := a
	longer.ArcLength += weld.Millimetre
	const amps = 100
	efficiency := func(a weld.Answer) float64 {
		return float64(puddle.Absorbed(a, amps)) / (amps * float64(puddle.Volts(a, amps)))
	}
	const wall = 1e-3
	return []Constant{
		{"arc efficiency, electrode negative", puddle.EfficiencyDC, "", "published 0.36 to 0.90, mean 0.77 to 0.78; 0.67",
			"Stenbacka et al. 2012 and 2013; DuPont and Marder 1995"},
		{"arc efficiency, AC at 70 % negative", puddle.EfficiencyAC, "", "0.5 to 0.7", "from memory, few data"},
		{"efficiency lost by each mm of arc", efficiency(a) - efficiency(longer), "", "published: efficiency falls with arc length", "Niles and Jackson 1975, trend from memory"},
		{"arc voltage at 100 A, 2 mm of arc", float64(puddle.Volts(a, amps)), "V", "9 to 12 V at 50 to 150 A; the IEC 60974-1 test line gives 14 V", "practice, from memory"},
		{"arc radius (deviation) at 100 A, 2 mm", puddle.Spread(a, amps).MM(), "mm", "1.0 to 1.5 mm up to 100 A, 2 to 3 mm at 200 A",
			"Tsai and Eagar 1985, trend from memory; scaling assumed"},
		{"arc radius, AC over direct current", float64(puddle.Spread(ac, amps) / puddle.Spread(a, amps)), "", "no published range found", "assumed"},
		{"liquid conductivity factor (stirring)", metal.Stirring, "", "tried: 1 to 4 makes little difference to penetration", "customary, assumed"},
		{"contact conductance of clamped sheets", puddle.ContactConductance, "W/m2K", "tried: 500 to 10 000 moves a tee by 3 A", "assumed, an order of magnitude"},
		{"conductance of a bench under a sheet", puddle.BenchConductance, "W/m2K", "no published range found", "assumed"},
		{"arc pressure at 100 A", puddle.Pressure(amps), "Pa", "published formulas give 70 to 140 Pa, known to a factor of 2", "Lin and Eagar 1986, 300 to 600 A; estimate"},
		{"keyhole constant, sqrt(gap x bare) / wall", math.Sqrt(wall*puddle.BareLimit(wall, wall)) / wall, "", "computed 0.74 to 0.80",
			"after Taylor and Michael 1973, hole in a liquid sheet"},
		{"melted back that holds, in walls", scoring.ThroughWidth, "", "3 to 4 in practice", "common practice, no source"},
		{"melted far side that holds, in walls", scoring.FarStrip, "", "no published range found", "common practice, no source"},
	}
}
