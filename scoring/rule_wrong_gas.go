package scoring

import "puddlewise/scoring/weld"

// wrongGas: group I gases of ISO 14175 for everything; hydrogen only for austenitic
// stainless; no CO2 or oxygen with a tungsten, ever.
func wrongGas(e *evidence) reading {
	r := reading{from: 0, to: e.task.Seam, got: string(e.answer.Gas), want: "argon, or argon with helium", source: "ISO 14175 groups; use: handbooks, from memory (high)"}
	switch e.answer.Gas {
	case weld.ArCO2:
		r.margin = 2
		r.why = "CO2 burns the tungsten away and oxidises the pool"
		r.fix = "argon: a mix with CO2 is for wire, not for a tungsten"
	case weld.ArH2:
		if e.family != weld.Stainless || e.task.A.Metal.Family() != e.task.B.Metal.Family() {
			r.margin = 1.8
			r.why = "hydrogen goes into this metal: pores in aluminium, cracks in hardenable steel, brittleness in titanium"
			r.fix = "argon: hydrogen mixes are for austenitic stainless only"
		}
	}
	return r
}
