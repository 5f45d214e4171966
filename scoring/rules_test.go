package scoring

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
)

// t8/5 against worked figures (derived by hand from EN 1011-2 Annex D, secondary
// copy; joint factor 1 unless said).
func TestCoolingTime(t *testing.T) {
	for _, c := range []struct{ q, d, t0, f, want float64 }{
		{1, 100, 20, 1, 5.29}, // three-dimensional
		{1, 10, 20, 1, 11.36}, // in the sheet
		{0.236, 2, 20, 1, 15.9},
		{0.236, 2, 20, 0.9, 14.3},
		{0.36, 3, 20, 1, 16.4},
		{0.36, 3, 20, 0.9, 14.7},
		{2, 100, 150, 1, 15.7},
	} {
		assert.InDelta(t, c.want, coolingTime(c.q, c.d, c.t0, c.f, c.f), 0.1, "%+v", c)
	}
}

// The IIW carbon equivalent of 4130 in the middle of its composition (derived).
func TestCarbonEquivalent(t *testing.T) { assert.InDelta(t, 0.618, equivalent4130, 0.001) }

// AWS D18.2 sample numbers by oxygen in the argon backing.
func TestSampleNumber(t *testing.T) {
	for ppm, want := range map[float64]int{5: 1, 10: 1, 11: 2, 50: 3, 100: 4, 150: 5, 500: 6, 1000: 7, 4000: 8, 12000: 9, 25000: 10, 30000: 0} {
		assert.Equal(t, want, sample(ppm), "%g ppm", ppm)
	}
}

// The film's growth: a root of time, faster with heat; held at its estimate.
func TestFilmGrows(t *testing.T) {
	assert.InDelta(t, 33*33, 10*filmGrowth(900), 1)
	assert.InDelta(t, 50, filmGrowth(1050)/filmGrowth(850), 10, "two hundred degrees are about a factor of fifty")
	assert.Less(t, filmGrowth(600), filmGrowth(900)/500, "below 600 C a weld's seconds leave hardly a tint")
}

// A hollow that closes: aluminium holds less and warms faster, a quick close helps.
func TestHollow(t *testing.T) {
	over := func(on string, travel weld.Speed) float64 {
		s := setups(t)[on]
		e := gather(s.task, s.answer, beadOf(t, s.task, s.answer))
		e.answer.Travel = travel
		_, pressure, holds := e.lastBead()
		return pressure / holds
	}
	steel := over("steel butt", 120*weld.MillimetrePerMin)
	assert.Greater(t, steel, 1.0, "it blows out")
	assert.Greater(t, over("aluminium butt", 120*weld.MillimetrePerMin), steel)
	assert.Less(t, over("steel butt", 240*weld.MillimetrePerMin), steel)
}

// What was and what is allowed must not read alike.
func TestBothReadApart(t *testing.T) {
	for _, c := range []struct {
		got, limit float64
		a, b       string
	}{
		{3.012e-3, 2.981e-3, "3.01 mm", "2.98 mm"},
		{3.2e-3, 1.2e-3, "3.2 mm", "1.2 mm"},
		{3.0004e-3, 2.9996e-3, "3 mm", "3 mm"}, // closer than anybody measures
		{3e-3, 3e-3, "3 mm", "3 mm"},
	} {
		a, b := mmBoth(c.got, c.limit)
		assert.Equal(t, []string{c.a, c.b}, []string{a, b})
	}
	a, b := celsiusBoth(1498, 1503)
	assert.Equal(t, []string{"1498 C", "1503 C"}, []string{a, b})
	a, b = celsiusBoth(1210, 1500)
	assert.Equal(t, []string{"1210 C", "1500 C"}, []string{a, b})
}

func TestToldOnce(t *testing.T) {
	told := func(fs ...Finding) (ids []string) {
		for _, f := range toldOnce(fs) {
			ids = append(ids, f.Rule)
		}
		return ids
	}
	f := func(rule string, s Severity) Finding { return Finding{Rule: rule, Severity: s} }
	assert.Equal(t, []string{"draught"}, told(f("draught", Defect), f("pool_uncovered", Defect), f("rod_tip_out", Remark)))
	assert.Equal(t, []string{"undercut", "long_arc"}, told(f("undercut", Defect), f("long_arc", Fault)), "the graver one is never silenced")
	for rule, silent := range sameCause {
		assert.Contains(t, RuleIDs(), rule)
		for _, id := range silent {
			assert.Contains(t, RuleIDs(), id)
			assert.NotContains(t, sameCause[id], rule, "two that silence each other")
		}
	}
}

// Every rule names a score it can lower, has words, and stands in the table once.
func TestRulesAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range rules {
		assert.False(t, seen[r.id], r.id)
		seen[r.id] = true
		assert.Contains(t, []string{burnThrough, lackOfFusion, oxide, noScore}, r.score, r.id)
		if r.score != noScore {
			assert.Equal(t, Defect, r.over, "%s: a score below its limit and a coupon that is accepted would disagree", r.id)
		}
	}
}

// Signs: what is plainly there on good and bad welds.
func TestSigns(t *testing.T) {
	seen := func(on string, change ...string) map[string]float64 {
		s := setups(t)[on]
		for i := 0; i+1 < len(change); i += 2 {
			assert.NoError(t, set(&s.task, &s.answer, change[i], change[i+1]))
		}
		out := map[string]float64{}
		for _, sign := range Signs(s.task, s.answer, beadOf(t, s.task, s.answer)) {
			out[sign.ID] = sign.Strength
		}
		return out
	}
	good := seen("steel butt")
	assert.Greater(t, good["pool_shiny"], 0.9)
	for _, bad := range []string{"pool_sluggish", "keyhole", "hole", "pool_domed", "sparks", "tungsten_ball", "rod_black", "crater_hollow"} {
		assert.NotContains(t, good, bad)
	}
	if brief() {
		t.Skip("brief")
	}
	assert.Greater(t, seen("steel butt", "amps", "95 A")["hole"], 0.5)
	assert.Greater(t, seen("steel butt", "amps", "34 A")["pool_domed"], 0.5)
	assert.Greater(t, seen("steel butt", "draught", "2 m/s")["pool_sluggish"], 0.5)
	assert.Greater(t, seen("gap tee", "dab", "3 mm")["keyhole"], 0.9)
	assert.Greater(t, seen("steel tee", "amps", "44 A")["root_dark"], 0.5)
	assert.Greater(t, seen("steel tee", "amps", "90 A")["far_side_glow"], 0.9)
	assert.Greater(t, seen("steel tee", "aim", "2 mm")["pool_one_side"], 0.5)
	assert.Greater(t, seen("steel tee", "tungsten_diameter", "0.5 mm")["tungsten_split"], 0.3)
	ids := map[string]bool{}
	for _, s := range SignIDs() {
		assert.False(t, ids[s.ID], s.ID)
		ids[s.ID] = true
		assert.Contains(t, SignPlaces, s.Place)
		assert.NotRegexp(t, "^the "+s.Place+"|[.:]", s.Words, "%s: what is seen at the place, not what it means", s.ID)
		words, rules := Meaning(s.ID)
		assert.NotEmpty(t, words, "%s means nothing", s.ID)
		for _, id := range rules {
			assert.Contains(t, RuleIDs(), id, s.ID)
		}
	}
	assert.Len(t, meanings, len(ids), "meanings of signs that there are not")
}

// EN 1011-2's preheat against a worked figure (derived by hand, secondary copy) and at
// the edge of its range; 2 mm of 4130 lies outside.
func TestPreheat(t *testing.T) {
	got, ok := preheat(0.30, 20, 5, 1)
	assert.True(t, ok)
	assert.InDelta(t, 56.5, got, 0.5)
	got, ok = preheat(0.423, 10, 2, 0.5)
	assert.True(t, ok)
	assert.InDelta(t, 85, got, 1)
	_, ok = preheat(cet4130, 2, 2, 0.3)
	assert.False(t, ok)
	assert.InDelta(t, 0.423, cet4130, 0.001)
}

// A purge leaves 1/e of the air for each filling: 10 fillings are 10 ppm, 5 are 1400
// (perfect mixing: arithmetic).
func TestPurge(t *testing.T) {
	s := setups(t)["stainless butt"]
	e := gather(s.task, s.answer, beadOf(t, s.task, s.answer))
	e.answer.PurgeOxygen = 0
	for n, want := range map[float64]float64{5: 1412, 10: 9.5, 0: oxygenOfAir} {
		e.answer.PurgeTime = weld.Duration(n * e.hollow() / float64(e.answer.PurgeFlow))
		assert.InDelta(t, want, e.backOxygen(), 0.01*want, "%g fillings", n)
	}
	e.answer.PurgeTime, e.answer.PurgeOxygen = 600, 100*weld.PartPerMillion
	assert.InDelta(t, 100, e.backOxygen(), 1e-6, "what leaks in stays")
}

// The crater as it cools: read between its points, and how long it stays hot.
func TestCraterCools(t *testing.T) {
	s := setups(t)["stainless butt"]
	b := *beadOf(t, s.task, s.answer)
	b.Cooling = []float64{1400, 1000, 800, 700}
	e := gather(s.task, s.answer, &b)
	assert.InDelta(t, 900, e.craterAt(0.75), 1e-9)
	assert.Equal(t, 700.0, e.craterAt(40))
	assert.InDelta(t, 0.75, e.coolFor(900), 1e-9)
	assert.Zero(t, e.coolFor(1500))
	b.Cooling = []float64{900, 900, 900} // a second at 900 C grows a tenth of the square of ten seconds
	e.answer.PostFlow = 0
	assert.InDelta(t, 33/math.Sqrt(10), e.craterFilm(), 0.01)
	e.answer.PostFlow = 8
	assert.Zero(t, e.craterFilm())
	// A crater without slope-down or last dab is hollow; a second of ease fills it.
	e.answer.SlopeDown = 0
	assert.InDelta(t, 0.35, e.craterDepth()*1e3, 0.15)
	e.answer.SlopeDown = 1
	assert.Zero(t, e.craterDepth())
}

// What comes of a hollow, of a crater left to the air and of a cold part is to be seen
// on the coupon, not only said.
func TestCouponShowsIt(t *testing.T) {
	coupon := func(on string, change ...string) Coupon {
		s := setups(t)[on]
		for i := 0; i+1 < len(change); i += 2 {
			assert.NoError(t, set(&s.task, &s.answer, change[i], change[i+1]))
		}
		return judgeShared(t, s.task, s.answer).Coupon
	}
	good := coupon("steel butt")
	assert.Empty(t, good.Holes)
	assert.Zero(t, good.Crater)
	assert.Zero(t, good.Porosity)
	assert.Zero(t, good.BackSample)
	assert.InDelta(t, 0.2, good.Worst.Root.MM(), 0.15)
	blown := coupon("steel butt", "closed", "yes", "vent", "no")
	if assert.NotEmpty(t, blown.Holes) {
		assert.Greater(t, blown.Holes[0].From.MM(), 35.0, "the last pool blew out")
	}
	last := func(c Coupon) Station { return c.Stations[len(c.Stations)-1] }
	stainless := coupon("stainless butt", "postflow", "0.5 s")
	assert.NotEqual(t, last(coupon("stainless butt")).Colour, last(stainless).Colour, "the crater takes colour")
	assert.Equal(t, coupon("stainless butt").Stations[20].Colour, stainless.Stations[20].Colour)
	assert.Equal(t, 4, stainless.BackSample, "100 ppm")
	assert.Zero(t, stainless.Cooling, "t8/5 is for ferritic steel")
	assert.Greater(t, good.Cooling, 5.0)
	assert.Greater(t, coupon("aluminium butt", "surface", "old oxide", "cleaned", "no").Porosity, 0.5)
}

// The time from 800 to 500 C that the wake of the heat model shows, against EN 1011-2's
// formula for thin plate: written for arc energy times 0.6 and a plate that goes on
// for ever, it comes out within a half of it.
func TestCoolingTimeAgainstTheWake(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	s := setups(t)["steel butt"]
	s.task.Seam, s.task.A.Width, s.task.B.Width = 120*weld.Millimetre, 120*weld.Millimetre, 120*weld.Millimetre
	s.task.Chill = weld.FreeInAir
	e := gather(s.task, s.answer, beadOf(t, s.task, s.answer))
	at := func(c float64) float64 {
		for x := 0.0; ; x += 0.1e-3 {
			if e.wakeAt(x) < c {
				return x / float64(s.answer.Travel)
			}
		}
	}
	wake := at(500) - at(800)
	t.Logf("wake %.1f s, EN 1011-2 %.1f s", wake, e.t85())
	assert.InDelta(t, 1, wake/e.t85(), 0.5)
}

// A hollow of aluminium blows out sooner than one of steel, and a warm one sooner yet:
// hence let it cool, and close it hot and quick (common practice, no source).
func TestClosingAHollow(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	blows := func(on string, changes ...string) float64 {
		s := setups(t)[on]
		for i := 0; i < len(changes); i += 2 {
			require.NoError(t, set(&s.task, &s.answer, changes[i], changes[i+1]))
		}
		_, pressure, holds := gather(s.task, s.answer, beadOf(t, s.task, s.answer)).lastBead()
		return pressure / holds
	}
	steel, aluminium := blows("steel butt"), blows("aluminium butt")
	assert.Greater(t, aluminium, 2*steel)
	assert.Greater(t, blows("aluminium butt", "part_temp", "120 C"), 1.1*aluminium)
	assert.Less(t, blows("steel butt", "amps", "75 A", "travel", "240 mm/min", "slope_down", "1 s"), 0.9*steel)
}
