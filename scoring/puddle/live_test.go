package puddle

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
)

func liveJoint() (weld.Task, weld.Answer) {
	t := weld.Task{Joint: weld.SquareButt, Position: weld.PA, Seam: 0.02, RunOut: 0.01, PartTemp: weld.Celsius(20)}
	t.A = weld.Member{Metal: weld.CarbonSteel, Thickness: 1.5e-3, Width: 0.03}
	t.B = t.A
	return t, weld.Defaults()
}

// Idle hands, odd hands: nothing breaks, and what was never struck is no coupon.
func TestLiveOddHands(t *testing.T) {
	task, a := liveJoint()
	l := NewLiveAt(task, a, Coarse)
	for _, in := range []Input{{Do: Move, Value: 1}, {Do: Dab}, {Do: Arc, Value: 0}} {
		require.NoError(t, l.Do(in))
		l.Step()
	}
	assert.Zero(t, l.Pool().At, "no seam lies behind an arc that was not struck")
	_, _, err := l.Finish()
	require.ErrorIs(t, err, ErrUnlit)

	l = NewLiveAt(task, a, Coarse)
	require.NoError(t, l.Do(Input{Do: Arc, Value: 1}))
	require.NoError(t, l.Do(Input{Do: Dab}))
	assert.True(t, l.Pool().Stuck, "a dab before the pool sticks")
	l.Step()
	for range 60 {
		l.Step()
	}
	require.Greater(t, l.Pool().Width, 1e-3)
	for range 4 { // four dabs at one place, then a jump past the end
		require.NoError(t, l.Do(Input{Do: Dab}))
	}
	require.NoError(t, l.Do(Input{Do: Move, Value: 10}))
	l.Step()
	require.NoError(t, l.Do(Input{Do: Move, Value: 10}))
	require.NoError(t, l.Do(Input{Do: Move, Value: 10}))
	l.Step()
	b, got, err := l.Finish()
	require.NoError(t, err)
	assert.Equal(t, 4, l.Dabs())
	assert.InDelta(t, 0.02, l.Pool().At, 1e-12)
	assert.Less(t, b.Closure, maxClosure)
	assert.Positive(t, b.Stations[0].Current)
	assert.InDelta(t, 0.02/LiveStep, float64(got.Travel), 1e-9)
	assert.NotEmpty(t, b.Wake)
	assert.NotEmpty(t, b.Cooling)
}

// A dab on cold metal freezes the rod to the sheet: it gives nothing until it is pulled
// off or the pool comes to it.
func TestLiveRodFreezes(t *testing.T) {
	task, a := liveJoint()
	do := func(l *Live, d Deed, v float64) { require.NoError(t, l.Do(Input{Do: d, Value: v})) }
	l := NewLiveAt(task, a, Coarse)
	do(l, Arc, 1)
	do(l, Dab, 0)
	do(l, RodTip, a.RodWithdrawn.MM())
	assert.True(t, l.Pool().Stuck, "held as it was, it stays")
	do(l, RodTip, a.RodWithdrawn.MM()+2)
	assert.False(t, l.Pool().Stuck, "pulled further, it comes off")
	do(l, Move, 4)
	do(l, Dab, 0)
	require.True(t, l.Pool().Stuck)
	do(l, Move, 2) // the pool forms further on, and comes to it as it grows
	waited := 0
	for ; l.Pool().Stuck && waited < 300; waited++ {
		l.Step()
		if l.Pool().Width > 0 && l.Pool().Stuck {
			do(l, Dab, 0)
			require.Zero(t, l.Dabs(), "a rod that is fast gives no metal")
		}
	}
	assert.Less(t, waited, 300)
	assert.Greater(t, l.Pool().Behind, 1.9e-3)
	do(l, Dab, 0)
	assert.Equal(t, 1, l.Dabs())
}

// A tip held too close meets what a dab heaps up; from then on the arc is wider.
func TestLiveTouches(t *testing.T) {
	task, a := liveJoint()
	for _, c := range []struct {
		arc     float64 // mm
		touches bool
	}{{1.5, false}, {0.3, true}} {
		l := NewLiveAt(task, a, Coarse)
		for _, in := range []Input{{Do: ArcLength, Value: c.arc}, {Do: Arc, Value: 1}} {
			require.NoError(t, l.Do(in))
		}
		for range 60 {
			l.Step()
		}
		p := l.Pool()
		require.False(t, p.Fouled)
		require.InDelta(t, c.arc*1e-3, p.Clear, 1e-9, "nothing stands under the tip yet")
		require.NoError(t, l.Do(Input{Do: Dab}))
		assert.Less(t, l.Pool().Clear, p.Clear)
		for range 12 {
			l.Step()
		}
		b, _, err := l.Finish()
		require.NoError(t, err)
		assert.Equal(t, c.touches, len(b.Touched) == 1, "%g mm", c.arc)
	}
}

// What happens shows before it is whole, does what it says, and is over when it is over.
func TestLiveThingsHappen(t *testing.T) {
	const mm = weld.Millimetre
	task, a := liveJoint()
	task.Gap, task.GapEnd = 0.3e-3, 0.3e-3
	task.Happens = weld.Happenings{
		{What: weld.GapOpens, At: 4 * mm, Over: 8 * mm, Much: 0.5e-3},
		{What: weld.SheetLifts, At: 4 * mm, Over: 8 * mm, Much: 0.5e-3},
		{What: weld.GustComes, At: 6 * mm, Lasts: 1, Much: 2},
		{What: weld.DirtySpot, At: 10 * mm, Over: 3 * mm, Much: 1.5},
	}
	a.Filler = weld.NoFiller
	l := NewLiveAt(task, a, Coarse)
	do := func(d Deed, v float64) { require.NoError(t, l.Do(Input{Do: d, Value: v})) }
	do(Arc, 1)
	for range 50 {
		l.Step()
	}
	p := l.Pool()
	assert.Greater(t, p.GapSeen, 0.5e-3, "the gap is seen ahead")
	assert.Equal(t, []float64{0.3e-3, 1.5e-3, 0, 0, 0}, []float64{p.Gap, p.Arc, p.Draught, p.Dirt, p.Spot})
	do(Move, 7)
	l.Step()
	l.Step() // coarse, the heat goes on every second step
	p = l.Pool()
	assert.InDelta(t, 0.8e-3, p.Gap, 1e-9)
	assert.InDelta(t, 1e-3, p.Arc, 1e-9)
	assert.Equal(t, 1.0, p.Spot)
	assert.Positive(t, p.Draught)
	assert.Less(t, p.Draught, 0.1, "it rises")
	for range 50 {
		l.Step()
	}
	assert.Equal(t, 2.0, l.Pool().Draught)
	do(Move, 4)
	dirt := 0.0
	for range 90 {
		l.Step()
		dirt = max(dirt, l.Pool().Dirt)
	}
	p = l.Pool()
	assert.Greater(t, dirt, 0.9, "the pool takes it in")
	assert.Zero(t, p.Dirt, "stood on, it swims out")
	assert.Zero(t, p.Draught, "and the air is still again")
	b, _, err := l.Finish()
	require.NoError(t, err)
	assert.InDelta(t, 0.8e-3, b.Stations[8].Gap, 1e-9)
	assert.InDelta(t, 0.3e-3, b.Stations[14].Gap, 1e-9)
	require.NotEmpty(t, b.Gusts)
	assert.Equal(t, 2.0, b.Gusts[len(b.Gusts)/2].Draught)
	assert.Zero(t, b.Stations[11].Dirt)
}

// What the sheet brings is felt live and seen while there is time: heat that is in the
// part already, an end that comes near, a gap that widens.
func TestLiveFeelsTheSheet(t *testing.T) {
	weldAt := func(at float64, steps int, change func(*weld.Task)) (*Live, Pool) {
		task, a := liveJoint()
		a.Filler = weld.NoFiller
		change(&task)
		l := NewLiveAt(task, a, Coarse)
		require.NoError(t, l.Do(Input{Do: Arc, Value: 1}))
		for x := 0.0; x < at-0.25; x += 0.5 {
			require.NoError(t, l.Do(Input{Do: Move, Value: 0.5}))
			for range 6 {
				l.Step()
			}
		}
		for range steps {
			l.Step()
		}
		return l, l.Pool()
	}
	_, cold := weldAt(0, 40, func(*weld.Task) {})
	_, hot := weldAt(0, 40, func(t *weld.Task) { t.PartTemp = weld.Celsius(200) })
	_, earlier := weldAt(0, 40, func(t *weld.Task) { t.Earlier = 20 })
	assert.Greater(t, hot.Width, cold.Width+0.2e-3)
	assert.Greater(t, earlier.Width, cold.Width+0.2e-3)
	_, goesOn := weldAt(19, 0, func(*weld.Task) {})
	_, ends := weldAt(19, 0, func(t *weld.Task) { t.RunOut = 0 })
	assert.Greater(t, ends.Width, goesOn.Width+0.5e-3, "at a free edge")
	_, gap := weldAt(10, 0, func(t *weld.Task) { t.GapEnd = 1e-3 })
	assert.InDelta(t, 0.5e-3, gap.Gap, 1e-9)
	assert.InDelta(t, 0.8e-3, gap.GapSeen, 1e-9)
	assert.Positive(t, gap.Keyhole)
	_, air := weldAt(0, 0, func(t *weld.Task) { t.Draught = 1 })
	assert.Equal(t, 1.0, air.Draught)
}

// BenchmarkLive is a second of welding, its state read at every step.
func BenchmarkLive(b *testing.B) {
	task, a := liveJoint()
	task.Seam = 0.06
	for _, kind := range []weld.Joint{weld.SquareButt, weld.TeeFillet} {
		task.Joint = kind
		b.Run(string(kind), func(b *testing.B) {
			l := NewLive(task, a)
			_ = l.Do(Input{Do: Arc, Value: 1})
			for b.Loop() {
				if l.Pool().At > 0.05 {
					b.StopTimer()
					l = NewLive(task, a)
					_ = l.Do(Input{Do: Arc, Value: 1})
					b.StartTimer()
				}
				for n := range 25 {
					if n%6 == 0 {
						_ = l.Do(Input{Do: Move, Value: 0.5})
					}
					l.Step()
					l.Pool()
					l.Band()
				}
			}
		})
	}
}
