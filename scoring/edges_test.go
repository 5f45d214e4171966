package scoring

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// A little below an edge the joint is on one side of it, a little above on the other.
func TestEdgesAreWhereTheySay(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	for _, on := range []string{"steel butt", "steel tee", "aluminium butt"} {
		t.Run(on, func(t *testing.T) {
			t.Parallel()
			s := setups(t)[on]
			r, err := FindHeatRange(s.task, s.answer, puddle.Coarse, HeatRange{})
			require.NoError(t, err)
			require.True(t, r.Open(), "%v", r)
			at := func(amps weld.Current) *evidence {
				a := s.answer
				a.Amps = amps
				easeWith(&a, s.answer)
				b, err := puddle.WeldAt(s.task, a, puddle.Coarse)
				require.NoError(t, err)
				return gather(s.task, a, b)
			}
			assert.GreaterOrEqual(t, at(0.96*r.Low).fuses(), 1.0, "under the low edge, %v", r)
			assert.Less(t, at(1.04*r.Low).fuses(), 1.0, "over the low edge, %v", r)
			assert.Less(t, at(0.96*r.High).holds(), 1.0, "under the high edge, %v", r)
			assert.GreaterOrEqual(t, at(1.04*r.High).holds(), 1.0, "over the high edge, %v", r)
		})
	}
}

func TestDabSpacingIsTheWidest(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	s := setups(t)["gap butt"]
	widest, rule, err := FindDabSpacing(s.task, s.answer)
	require.NoError(t, err)
	assert.Equal(t, "keyhole", rule)
	at := func(spacing weld.Length) *evidence {
		a := s.answer
		a.DabSpacing = spacing
		b, err := puddle.WeldAt(s.task, a, puddle.Coarse)
		require.NoError(t, err)
		return gather(s.task, a, b)
	}
	assert.Less(t, keyhole(at(0.93*widest)).margin, 1.0, "dabs a little closer than %v", widest)
	assert.GreaterOrEqual(t, keyhole(at(1.07*widest)).margin, 1.0, "dabs a little wider than %v", widest)

	s.task.Gap, s.task.GapEnd = 3*weld.Millimetre, 3*weld.Millimetre
	widest, _, err = FindDabSpacing(s.task, s.answer)
	require.NoError(t, err)
	assert.Zero(t, widest, "a gap of two walls")

	s = setups(t)["steel butt"]
	s.answer.Filler = weld.NoFiller
	widest, rule, err = FindDabSpacing(s.task, s.answer)
	require.NoError(t, err)
	assert.Equal(t, MostDab, widest.MM(), "nothing stops dabs that are not made")
	assert.Empty(t, rule)
}

func TestEdgesThatAreNotThere(t *testing.T) {
	s := setups(t)["steel butt"]
	s.task.A.Thickness = 0.4 * weld.Millimetre
	_, err := FindHeatRange(s.task, s.answer, puddle.Coarse, HeatRange{})
	assert.ErrorContains(t, err, "a wall of 0.4 mm is outside")
	_, _, err = FindDabSpacing(s.task, s.answer)
	assert.ErrorContains(t, err, "a wall of 0.4 mm is outside")
	if brief() {
		return
	}
	s = setups(t)["steel butt"]
	s.task.A.Thickness, s.task.B.Thickness = 4*weld.Millimetre, 4*weld.Millimetre
	s.answer.Travel = 800 * weld.MillimetrePerMin
	_, err = FindHeatRange(s.task, s.answer, puddle.Coarse, HeatRange{})
	assert.Equal(t, ErrNoEdge, err, "nothing fuses 4 mm at 800 mm/min")
	s = setups(t)["steel tee"]
	s.task.A.Thickness, s.task.B.Thickness = 3.2*weld.Millimetre, 3.2*weld.Millimetre
	s.answer.Travel = 200 * weld.MillimetrePerMin
	r, err := FindHeatRange(s.task, s.answer, puddle.Coarse, HeatRange{})
	require.NoError(t, err)
	assert.True(t, math.IsInf(float64(r.High), 1), "it holds up to the most the model covers: %v", r)
	assert.True(t, r.Open())
}
