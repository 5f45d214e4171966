package metal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring/weld"
)

var metals = []weld.Metal{
	weld.CarbonSteel, weld.Steel4130, weld.SS304, weld.SS316L, weld.Al6061, weld.Al5052, weld.Al3003, weld.TitaniumCP,
}

// Values of the standards' formulas, from secondary copies: to be checked
// against the books.
func TestPropertiesOfTheStandards(t *testing.T) {
	k := func(m weld.Metal) func(float64) float64 { return Of(m).Conductivity }
	c := func(m weld.Metal) func(float64) float64 { return Of(m).SpecificHeat }
	for _, row := range []struct {
		source string
		f      func(float64) float64
		t      float64
		want   float64
		digits float64 // half a unit of the last digit given
	}{
		{"EN 1993-1-2, 3.4.1.2, carbon steel", c(weld.CarbonSteel), 20, 439.8, 0.05},
		{"EN 1993-1-2, 3.4.1.2, carbon steel", c(weld.CarbonSteel), 400, 605.9, 0.05},
		{"EN 1993-1-2, 3.4.1.2, carbon steel", c(weld.CarbonSteel), 600, 760.2, 0.05},
		{"EN 1993-1-2, 3.4.1.2, carbon steel", c(weld.CarbonSteel), 735, 5000, 0.5},
		{"EN 1993-1-2, 3.4.1.2, carbon steel", c(weld.CarbonSteel), 900, 650, 0.5},
		{"EN 1993-1-2, 3.4.1.3, carbon steel", k(weld.CarbonSteel), 20, 53.33, 0.005},
		{"EN 1993-1-2, 3.4.1.3, carbon steel", k(weld.CarbonSteel), 400, 40.68, 0.005},
		{"EN 1993-1-2, 3.4.1.3, carbon steel", k(weld.CarbonSteel), 900, 27.3, 0.05},
		{"EN 1993-1-2, Annex C, stainless", c(weld.SS304), 20, 455.5, 0.05},
		{"EN 1993-1-2, Annex C, stainless", c(weld.SS304), 600, 542.2, 0.05},
		{"EN 1993-1-2, Annex C, stainless", k(weld.SS304), 20, 14.85, 0.005},
		{"EN 1999-1-2, 3.3.1, aluminium", c(weld.Al6061), 20, 911.2, 0.05},
		{"EN 1999-1-2, 3.3.1, aluminium", c(weld.Al6061), 300, 1026, 0.5},
		{"EN 1999-1-2, 3.3.1, 6xxx", k(weld.Al6061), 300, 211, 0.5},
		{"EN 1999-1-2, 3.3.1, 5xxx", k(weld.Al5052), 300, 170, 0.5},
	} {
		assert.InDelta(t, row.want, row.f(row.t), row.digits, "%s, at %g C", row.source, row.t)
	}
}

// Enthalpy from 20 C to molten, J/mm3. Carbon steel and aluminium: from the formulas
// of EN 1993-1-2 and EN 1999-1-2 with the latent heat. 304: about 8.4 to 9.5, from
// memory; the formula of EN 1993-1-2 Annex C with 270 kJ/kg lies just below.
func TestHeatToMelt(t *testing.T) {
	molten := func(m weld.Metal) float64 { return TableOf(m).Enthalpy(Of(m).Liquidus) / 1e9 }
	assert.InDelta(t, 10.1, molten(weld.CarbonSteel), 0.2)
	assert.InDelta(t, 2.9, molten(weld.Al6061), 0.1)
	assert.Greater(t, molten(weld.SS304), 8.2)
	assert.Less(t, molten(weld.SS304), 9.5)
}

// The carbon steel formula has a spike of 5000 J/kgK at 735 C; a coarse table
// would lose heat there. Simpson's rule on a much finer step is the judge.
func TestTheTableLosesNoHeatAtTheTransformation(t *testing.T) {
	p := Of(weld.CarbonSteel)
	const h = 0.001
	want := 0.0
	for x := 600.0; x < 900-h/2; x += h {
		want += h / 6 * (p.SpecificHeat(x) + 4*p.SpecificHeat(x+h/2) + p.SpecificHeat(x+h))
	}
	tab := TableOf(weld.CarbonSteel)
	got := (tab.Enthalpy(900) - tab.Enthalpy(600)) / p.Density
	assert.InDelta(t, 1, got/want, 2e-4)
}

// The tables over enthalpy have 2048 lines; what they lose against the curve they are made from.
func TestTablesInvert(t *testing.T) {
	for _, m := range metals {
		p, tab := Of(m), TableOf(m)
		for c := Ambient; c < 3300; c += 3.7 {
			h := tab.Enthalpy(c)
			// Between solidus and liquidus a line is a fraction of a kelvin; in the
			// solid the spike of the transformation is as narrow as a few lines.
			assert.InDelta(t, c, tab.Temperature(h), 4, "%s at %g C", m, c)
			assert.InDelta(t, tab.ThetaAt(c), tab.Theta(h), 0.004*tab.ThetaAt(c)+20, "%s at %g C", m, c)
			assert.InDelta(t, c, tab.TemperatureAt(tab.ThetaAt(c)), 2.5, "%s at %g C", m, c)
		}
		assert.InDelta(t, Ambient, tab.Temperature(0), 1e-9, "%s", m)
		assert.Zero(t, tab.Enthalpy(Ambient), "%s", m)
		latent := tab.Enthalpy(p.Liquidus) - tab.Enthalpy(p.Solidus)
		sensible := p.Density * (p.SpecificHeat(p.Solidus) + p.LiquidCp) / 2 * (p.Liquidus - p.Solidus)
		assert.InDelta(t, p.Latent, (latent-sensible)/p.Density, 0.005*p.Latent, "%s: the latent heat lies between solidus and liquidus", m)
	}
}

// More heat is never colder, and the explicit step limit holds for every line.
func TestTablesRise(t *testing.T) {
	for _, m := range metals {
		tab := TableOf(m)
		top := tab.Enthalpy(3399)
		rapid.Check(t, func(t *rapid.T) {
			a := rapid.Float64Range(-0.1*top, 1.2*top).Draw(t, "a")
			b := a + rapid.Float64Range(1e-6*top, 0.1*top).Draw(t, "more")
			assert.Greater(t, tab.Temperature(b), tab.Temperature(a))
			slope := (tab.Theta(b) - tab.Theta(a)) / (b - a)
			assert.Greater(t, slope, 0.0)
			assert.LessOrEqual(t, slope, tab.MaxSlope()*(1+1e-9))
		})
	}
}

func TestVapourTakesHeatOnlyWhereItIsHot(t *testing.T) {
	for _, m := range metals {
		p, tab := Of(m), TableOf(m)
		require.Greater(t, tab.TemperatureAt(tab.EvaporationFrom()), p.Liquidus, "%s", m)
		last := 0.0
		for c := tab.TemperatureAt(tab.EvaporationFrom()); c < 3300; c += 20 {
			e := tab.Evaporation(tab.ThetaAt(c))
			assert.GreaterOrEqual(t, e, last, "%s at %g C", m, c)
			assert.InDelta(t, p.evaporation(c), e, 0.03*p.evaporation(c)+2e4, "%s at %g C", m, c)
			last = e
		}
	}
}

// Blackbody radiation at 1000 C, W/m2: 5.670e-8 (1273.15^4 - 293.15^4).
func TestRadiation(t *testing.T) {
	assert.InDelta(t, 148558, Radiation(1, 1000), 300)
	assert.Zero(t, Radiation(0.8, Ambient))
	assert.Less(t, Radiation(0.8, 0), 0.0, "colder than the surroundings it takes heat in")
	assert.InDelta(t, 5.670374419e-8*(math.Pow(1273.15, 4)-math.Pow(293.15, 4)), Radiation(1, 1000), 1e-6)
}
