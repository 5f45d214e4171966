package shield

import (
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/weld"
)

// species is a pure gas at 20 C and 1 atm (handbooks, from memory: molar mass and
// viscosity high, diffusion of oxygen in it medium).
type species struct {
	molar     float64 // g/mol
	viscosity float64 // Pa s
	diffusion float64 // of oxygen in it, m2/s
}

var (
	argon    = species{39.948, 22.3e-6, 2.0e-5}
	helium   = species{4.003, 19.6e-6, 7.4e-5}
	hydrogen = species{2.016, 8.8e-6, 7.9e-5}
	dioxide  = species{44.010, 14.7e-6, 1.6e-5} // carbon dioxide
)

const (
	molarVolume = 24.055e-3 // m3/mol at 20 C and 1 atm
	densityAir  = 1.204     // kg/m3
)

// part is one gas of a mix and its share by volume.
type part struct {
	species
	share float64
}

// mixes of the gases on the bench, by volume.
var mixes = map[weld.Gas][]part{
	weld.Argon:  {{argon, 1}},
	weld.Helium: {{helium, 1}},
	weld.ArHe25: {{argon, 0.75}, {helium, 0.25}},
	weld.ArHe50: {{argon, 0.5}, {helium, 0.5}},
	weld.ArHe75: {{argon, 0.25}, {helium, 0.75}},
	weld.ArH2:   {{argon, 0.95}, {hydrogen, 0.05}},
	weld.ArCO2:  {{argon, 0.82}, {dioxide, 0.18}},
}

// Properties of a gas as it leaves the cup, at 20 C and 1 atm.
type Properties struct {
	Density   float64 // kg/m3
	Viscosity float64 // Pa s
	Diffusion float64 // m2/s: how fast air's oxygen creeps into it
}

// Of gives the properties of a shielding gas. Density is that of an ideal mix,
// viscosity Wilke's (1950), within about 2 % for these gases; diffusion Blanc's.
func Of(g weld.Gas) Properties {
	mix, ok := mixes[g]
	if !ok {
		mix = mixes[weld.Argon]
	}
	var p Properties
	slow := 0.0
	for _, a := range mix {
		p.Density += float64(a.share*a.molar) * 1e-3 / molarVolume
		slow += a.share / a.diffusion
		sum := 0.0
		for _, b := range mix {
			root := 1 + float64(math.Sqrt(a.viscosity/b.viscosity)*detmath.Pow(b.molar/a.molar, 0.25))
			sum += float64(b.share*float64(root*root)) / math.Sqrt(8*(1+a.molar/b.molar))
		}
		p.Viscosity += float64(a.share*a.viscosity) / sum
	}
	p.Diffusion = 1 / slow
	return p
}
