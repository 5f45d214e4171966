// Package metal holds the thermal properties of the base metals, each value
// with its source, and the tables the heat model looks them up in.
package metal

import (
	"math"
	"sync"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/weld"
)

// Properties of a metal. Temperatures in degrees Celsius, the rest SI.
type Properties struct {
	Density             float64 // kg/m3, held constant: the grid does not stretch
	Solidus, Liquidus   float64 // C
	Latent              float64 // J/kg
	LiquidK, LiquidCp   float64 // W/mK before stirring, J/kgK
	Emissivity          float64
	SurfaceTension      float64 // N/m near the melting point, argon
	LiquidDensity       float64 // kg/m3
	Boiling             float64 // C, of the element that decides
	VaporHeat           float64 // J/kg
	MolarMass           float64 // kg/mol
	Shrinks             float64 // share of its volume that the liquid loses in freezing
	OxidisesAbove       float64 // C: hot metal out of the gas takes visible oxide above this
	conductivity, heatc func(t float64) float64
}

// Stirring multiplies the liquid's conductivity: the customary stand-in for the
// flow in the pool. Assumed; 1 to 4 makes little difference to penetration.
const Stirring = 2.5

// Ambient is the temperature at which enthalpy is zero, C.
const Ambient = 20.0

// Of gives the properties of a base metal.
func Of(m weld.Metal) Properties {
	switch m.Family() {
	case weld.Stainless:
		p := stainless
		if m == weld.SS316L {
			p.Solidus, p.Liquidus = 1375, 1400 // handbooks, from memory (medium)
		}
		return p
	case weld.Aluminium:
		p := aluminium6
		if m == weld.Al5052 {
			// EN 1999-1-2 3.3.1, 5xxx row (secondary copy); melting range handbooks, from memory.
			p.Solidus, p.Liquidus = 607, 649
			p.conductivity = func(t float64) float64 { return 140 + float64(0.1*math.Min(t, 500)) }
		}
		if m == weld.Al3003 {
			p.Solidus, p.Liquidus = 643, 654 // handbooks, from memory (medium)
		}
		return p
	case weld.TitaniumMF:
		return titanium
	}
	p := carbonSteel
	if m == weld.Steel4130 {
		p.Solidus, p.Liquidus = 1432, 1500 // handbooks, from memory (medium)
	}
	return p
}

// carbonSteel: EN 1993-1-2 3.4.1.2 and 3.4.1.3 (secondary copy; check
// against the book). Liquid values and latent heat: handbooks, from memory.
var carbonSteel = Properties{
	Density: 7850, Solidus: 1470, Liquidus: 1520, Latent: 270e3, LiquidK: 30, LiquidCp: 820,
	Emissivity: 0.6, SurfaceTension: 1.5, LiquidDensity: 7000, Boiling: 2862, VaporHeat: 6.2e6, MolarMass: 0.0558,
	Shrinks: 0.035, OxidisesAbove: 600,
	conductivity: func(t float64) float64 {
		if t < 800 {
			return 54 - float64(0.0333*t)
		}
		return 27.3
	},
	heatc: func(t float64) float64 {
		switch {
		case t < 600:
			return 425 + float64(t*(0.773+float64(t*(-1.69e-3+float64(2.22e-6*t)))))
		case t < 735:
			return 666 + 13002/(738-t)
		case t < 900:
			return 545 + 17820/(t-731)
		}
		return 650
	},
}

// stainless: EN 1993-1-2 Annex C (secondary copy), held constant above
// 1200 C. Liquid values and latent heat: handbooks, from memory.
var stainless = Properties{
	Density: 7850, Solidus: 1400, Liquidus: 1450, Latent: 270e3, LiquidK: 28, LiquidCp: 800,
	Emissivity: 0.5, SurfaceTension: 1.6, LiquidDensity: 6950, Boiling: 2670, VaporHeat: 6.2e6, MolarMass: 0.0555,
	Shrinks: 0.045, OxidisesAbove: 450,
	conductivity: func(t float64) float64 { return 14.6 + float64(0.0127*math.Min(t, 1200)) },
	heatc: func(t float64) float64 {
		t = math.Min(t, 1200)
		return 450 + float64(t*(0.28+float64(t*(-2.91e-4+float64(1.34e-7*t)))))
	},
}

// aluminium6: EN 1999-1-2 3.3.1, 6xxx and 3xxx rows, held constant above 500 C
// (secondary copy). Melting range of 6061, liquid values: handbooks, from memory.
var aluminium6 = Properties{
	Density: 2700, Solidus: 582, Liquidus: 652, Latent: 390e3, LiquidK: 92, LiquidCp: 1170,
	Emissivity: 0.15, SurfaceTension: 0.87, LiquidDensity: 2377, Boiling: 2519, VaporHeat: 10.9e6, MolarMass: 0.027,
	Shrinks: 0.065, OxidisesAbove: 2000, // its skin is there at any temperature: no tint to see
	conductivity: func(t float64) float64 { return 190 + float64(0.07*math.Min(t, 500)) },
	heatc:        func(t float64) float64 { return 903 + float64(0.41*math.Min(t, 500)) },
}

// titanium, commercially pure: handbooks, from memory (medium).
var titanium = Properties{
	Density: 4510, Solidus: 1660, Liquidus: 1680, Latent: 350e3, LiquidK: 30, LiquidCp: 800,
	Emissivity: 0.5, SurfaceTension: 1.6, LiquidDensity: 4150, Boiling: 3287, VaporHeat: 8.9e6, MolarMass: 0.0479,
	Shrinks: 0.03, OxidisesAbove: 427, // common practice: shield below 427 C (800 F); secondary source
	conductivity: func(t float64) float64 { return 17 + float64(0.008*math.Max(0, math.Min(t, 1600)-400)) },
	heatc:        func(t float64) float64 { return 520 + float64(0.17*math.Min(t, 1000)) },
}

// Conductivity gives k in W/mK of the solid at t C.
func (p Properties) Conductivity(t float64) float64 { return p.conductivity(t) }

// SpecificHeat gives cp in J/kgK of the solid at t C, without latent heat.
func (p Properties) SpecificHeat(t float64) float64 { return p.heatc(t) }

// MeltMid is the temperature taken as the edge of the melt: the middle of the mushy range, C.
func (p Properties) MeltMid() float64 { return (p.Solidus + p.Liquidus) / 2 }

const (
	tableTop  = 3400.0 // C, above every boiling point here
	tableStep = 0.25   // C: a coarser step loses energy in carbon steel's peak at 735 C
	universal = 8.31446261815324
	stefan    = 5.670374419e-8
	atm       = 101325.0
)

var cache sync.Map // weld.Metal -> *Table

// TableOf gives the metal's tables, made once and kept.
func TableOf(m weld.Metal) *Table {
	if t, ok := cache.Load(m); ok {
		return t.(*Table)
	}
	t := Of(m).Table()
	cache.Store(m, t)
	return t
}

// Table integrates the properties into look-up tables.
func (p Properties) Table() *Table {
	n := int((tableTop-Ambient)/tableStep) + 1
	c := Curve{T: make([]float64, n), H: make([]float64, n), Theta: make([]float64, n)}
	at := func(t float64) (k, cp float64) {
		switch {
		case t <= p.Solidus:
			return p.conductivity(t), p.heatc(t)
		case t >= p.Liquidus:
			return float64(p.LiquidK * Stirring), p.LiquidCp
		}
		w := (t - p.Solidus) / (p.Liquidus - p.Solidus)
		ks, cs := p.conductivity(p.Solidus), p.heatc(p.Solidus)
		return ks + float64(w*(float64(p.LiquidK*Stirring)-ks)), cs + float64(w*(p.LiquidCp-cs)) + p.Latent/(p.Liquidus-p.Solidus)
	}
	h, th := 0.0, 0.0
	for i := range n {
		t := Ambient + float64(float64(i)*tableStep)
		if i > 0 {
			// Midpoint rule: exact in energy where the properties are linear, and never on the jump at solidus.
			k, cp := at(t - tableStep/2)
			h += float64(float64(p.Density*cp) * tableStep)
			th += float64(k * tableStep)
		}
		c.T[i], c.H[i], c.Theta[i] = t, h, th
	}
	return NewTable(c, p.evaporation)
}

// evaporation gives the heat carried off by vapour, W/m2, at t C: Langmuir's
// rate with Clausius-Clapeyron's pressure, halved for what falls back
// (recondensation near one half: common in the literature, from memory).
func (p Properties) evaporation(t float64) float64 {
	if p.VaporHeat == 0 || t < p.Liquidus {
		return 0
	}
	tk, tb := t+273.15, p.Boiling+273.15
	x := float64(float64(float64(p.VaporHeat*p.MolarMass)/universal) * (1/tb - 1/tk))
	pv := float64(atm * detmath.Exp(x))
	flux := float64(float64(0.5*pv) * math.Sqrt(p.MolarMass/float64(2*math.Pi*universal*tk)))
	return float64(flux * p.VaporHeat)
}

// Radiation gives the net radiated heat, W/m2, of a surface at t C in surroundings at 20 C.
func Radiation(emissivity, t float64) float64 {
	a, b := t+273.15, Ambient+273.15
	a2, b2 := float64(a*a), float64(b*b)
	return float64(float64(emissivity*stefan) * (float64(a2*a2) - float64(b2*b2)))
}
