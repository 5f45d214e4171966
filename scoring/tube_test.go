package scoring

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Around a level tube a pool melted through is never safer overhead than flat, and
// where the seam stands upright a long one hangs by its lower edge.
func TestGravityAroundATube(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := setups(t)["steel tube"]
		wall := weld.Length(rapid.Float64Range(0.8, 3).Draw(rt, "wall")) * weld.Millimetre
		s.task.A.Thickness, s.task.B.Thickness = wall, wall
		e := &evidence{task: s.task, answer: s.answer, wall: float64(wall), family: weld.Ferritic,
			bead: &puddle.Bead{PoolLength: rapid.Float64Range(2e-3, 20e-3).Draw(rt, "length")}}
		half := rapid.Float64Range(0.2e-3, 8e-3).Draw(rt, "half")
		at := func(tilt float64) float64 {
			return e.collapses(&puddle.Station{Depth: 1, BackA: half, BackB: half, FaceA: half, FaceB: half, Current: 50, Tilt: tilt})
		}
		flat, upright, overhead := at(0), at(math.Pi/2), at(math.Pi)
		assert.GreaterOrEqual(rt, overhead, flat)
		assert.GreaterOrEqual(rt, upright, flat)
		// Both ways up the tube weigh alike.
		tilt := rapid.Float64Range(0, math.Pi).Draw(rt, "tilt")
		assert.GreaterOrEqual(rt, at(tilt), flat-1e-12)
	})
}

// The pool of a level tube is the heaviest load where the run passes three o'clock.
func TestThreeOClockDropsFirst(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	s := setups(t)["steel tube"]
	s.answer.Amps = 70
	v := judgeShared(t, s.task, s.answer)
	require.NotEmpty(t, v.Findings)
	f := v.Findings[0]
	assert.Equal(t, "collapse", f.Rule)
	middle := s.task.Seam / 2
	assert.True(t, f.From < middle && middle < f.To, "%v to %v", f.From, f.To)
	assert.Contains(t, f.Why, "at 3 o'clock")
}

// A wide tube is a sheet: once the run is under way, half a turn of 95 mm melts what a
// sheet of the same length does.
func TestWideTubeIsASheet(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	s := setups(t)["steel tube"]
	s.task.Position, s.task.Diameter = weld.PC, weld.MaxTube
	s.task.Seam = s.task.Round().Run()
	sheet := s.task
	sheet.Joint, sheet.Diameter, sheet.RunOut = weld.SquareButt, 0, 20*weld.Millimetre
	middle := func(task weld.Task) float64 {
		b, err := puddle.Weld(task, s.answer)
		require.NoError(t, err)
		sum, n := 0.0, 0.0
		for _, x := range b.Stations[len(b.Stations)*4/10 : len(b.Stations)*6/10] {
			sum, n = sum+x.BackA+x.BackB, n+1
		}
		return sum / n
	}
	// The wall is 1.7 % shorter inside, which is that much more heat: about 4 % of width.
	assert.InDelta(t, 1.03, middle(s.task)/middle(sheet), 0.03)
}

// The smaller the tube, the sooner the heat that ran ahead comes back: the same amps
// melt wider at the end of a turn.
func TestSmallTubesHeatUp(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	last := 0.0
	for _, d := range []float64{60, 40, 26, 20} {
		s := setups(t)["steel tube"]
		s.task.Position, s.task.Diameter = weld.PA, weld.Length(d)*weld.Millimetre
		s.task.Seam = s.task.Round().Run()
		b := beadOf(t, s.task, s.answer)
		x := b.Stations[len(b.Stations)*9/10]
		assert.Greater(t, x.BackA+x.BackB, last, "%g mm", d)
		last = x.BackA + x.BackB
	}
}

// What an earlier run left is less the longer ago it is, and is gone in the end.
func TestEarlierRunCoolsAway(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	for _, on := range []string{"steel tube", "steel tee"} {
		s := setups(t)[on]
		cold := beadOf(t, s.task, s.answer)
		assert.InDelta(t, 20, cold.Before, 1e-9)
		last := math.Inf(1)
		for _, ago := range []weld.Duration{10, 30, 100, 600} {
			s.task.Earlier = ago
			b := beadOf(t, s.task, s.answer)
			assert.Less(t, b.Before, last, "%s, %s ago", on, ago.Show(weld.Metric))
			assert.GreaterOrEqual(t, b.Before, 20-1e-6)
			assert.Less(t, b.Closure, 1e-9, "the account still closes")
			last = b.Before
		}
		assert.Less(t, last, 80.0, "%s: hand-warm after ten minutes", on)
	}
}

// Around a leaning branch the root is coldest in the crotch and hottest on the flank.
func TestCrotchIsColdest(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	s := setups(t)["steel branch"]
	s.answer.Amps, s.answer.AmpsEnd = 54, 54
	b := beadOf(t, s.task, s.answer)
	n := len(b.Stations)
	crotch, flank := b.Stations[n/12].RootTemp, b.Stations[n/2].RootTemp
	assert.Greater(t, flank, crotch+100)
	assert.Less(t, b.Stations[0].Between, b.Stations[n/2].Between)
}

// Two edges hold their nose up to a depth that goes with their width, and not beyond.
func TestNoseOnTwoEdges(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	s := setups(t)["stainless edge"]
	last := 0.0
	for _, amps := range []weld.Current{26, 34, 44, 56, 70, 90} {
		s.answer.Amps = amps
		e := gather(s.task, s.answer, beadOf(t, s.task, s.answer))
		m := collapse(e).margin
		assert.GreaterOrEqual(t, m, last-0.02, "more amps, deeper")
		last = m
	}
	assert.Greater(t, last, 1.0, "90 A on two edges of 1 mm runs down a side")
}

// Whatever is allowed of a tube can be welded: the heat balance closes and every number
// is one.
func TestAnyTubeWelds(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	for _, c := range [][]string{
		{"steel tube", "diameter", "12 mm", "wall", "0.5 mm", "amps", "16 A", "position", "PA"},
		{"steel tube", "diameter", "95 mm", "wall", "4 mm", "amps", "150 A"},
		{"steel tube", "wall_b", "3 mm", "gap", "0.4 mm", "gap_end", "0.8 mm", "dab", "1 mm"},
		{"steel tube", "wall_b", "3 mm", "metal_b", "304", "position", "PC", "chill", "copper backing bar"},
		{"steel tube", "position", "PA", "start", "go at once", "filler", "none", "earlier_run", "5 s"},
		{"steel tube", "position", "PJ", "travel", "600 mm/min"},
		{"steel branch", "diameter", "12 mm", "through", "14 mm", "wall", "0.9 mm", "branch", "45 deg", "amps", "45 A", "amps_end", "30 A"},
		{"steel branch", "diameter", "60 mm", "through", "400 mm", "branch", "90 deg", "position", "PA"},
		{"steel branch", "position", "PJ", "gap", "0.3 mm", "earlier_run", "20 s", "chill", "clamp bars"},
		{"stainless edge", "wall_b", "2 mm", "gap", "0.3 mm", "position", "PC"},
	} {
		s := setups(t)[c[0]]
		for i := 1; i+1 < len(c); i += 2 {
			require.NoError(t, set(&s.task, &s.answer, c[i], c[i+1]))
		}
		require.Empty(t, outside(s.task, s.answer), c)
		b, err := puddle.WeldAt(s.task, s.answer, puddle.Coarse)
		require.NoError(t, err, c)
		assert.Less(t, b.Closure, 1e-9, c)
		v := judgeBead(s.task, s.answer, b)
		for _, x := range v.Coupon.Stations {
			for _, n := range []float64{float64(x.FaceWidth), float64(x.BackWidth), x.Penetration, float64(x.Throat), float64(x.Cap), float64(x.PeakFace), float64(x.Down)} {
				assert.False(t, math.IsNaN(n) || math.IsInf(n, 0), "%v at %v", c, x.At)
			}
		}
	}
}

// What geometry the model has not been thought through for is not scored.
func TestTubesOutsideTheModel(t *testing.T) {
	for _, c := range [][]string{
		{"steel tube", "diameter", "11 mm"}, {"steel tube", "diameter", "100 mm"},
		{"steel branch", "through", "23 mm"}, {"steel branch", "branch", "40 deg"}, {"steel branch", "branch", "100 deg"},
	} {
		s := setups(t)[c[0]]
		require.NoError(t, set(&s.task, &s.answer, c[1], c[2]))
		v, err := Judge(s.task, s.answer)
		require.NoError(t, err)
		assert.Equal(t, OutOfRange, v.Outcome, c)
	}
}
