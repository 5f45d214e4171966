package scoring

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// aHand welds a short butt: it waits, then taps and dabs evenly, and eases out.
type aHand struct {
	amps, speed, dab float64 // A, mm/min, mm; 0 for no dabs
	wait             int     // steps
	to               float64 // mm
}

var goodHand = aHand{52, 120, 1.5, 50, 20}

func handJoint() (weld.Task, weld.Answer) {
	t := weld.Task{Joint: weld.SquareButt, Position: weld.PA, Seam: 20e-3, RunOut: 10e-3, PartTemp: weld.Celsius(20)}
	t.A = weld.Member{Metal: weld.CarbonSteel, Thickness: 1.5e-3, Width: 30e-3}
	t.B = t.A
	a := weld.Defaults()
	a.Amps, a.AmpsEnd, a.DabSpacing, a.Filler, a.Cleaned = 52, 0, 1.5e-3, weld.ER70S2, true
	return t, a
}

func (h aHand) run() track {
	ins := []puddle.Input{{Step: 0, Do: puddle.Pedal, Value: h.amps}, {Step: 0, Do: puddle.Arc, Value: 1}}
	at, due := 0.0, 0.0
	n := h.wait
	for ; at < h.to; n++ {
		if h.dab > 0 && at >= due {
			ins = append(ins, puddle.Input{Step: n, Do: puddle.Dab})
			due += h.dab
		}
		if at+0.5 <= h.speed/60*float64(n-h.wait)*puddle.LiveStep {
			ins = append(ins, puddle.Input{Step: n, Do: puddle.Move, Value: 0.5})
			at += 0.5
		}
	}
	for k := 1; k <= 25; k++ {
		ins = append(ins, puddle.Input{Step: n + k, Do: puddle.Pedal, Value: max(5, h.amps*(1-0.03*float64(k)))})
	}
	return track{append(ins, puddle.Input{Step: n + 26, Do: puddle.Arc}), n + 27}
}

// What is changed of a run changes, and nothing else.
func TestHandChanges(t *testing.T) {
	task, set := handJoint()
	run := goodHand.run()
	was := run.follow(set, 20e-3)
	for _, c := range []struct {
		c        HandChange
		steps    int // longer or shorter by
		dabs     int // more or fewer
		amps     float64
		ampsLate float64
		words    string
	}{
		{HandChange{Move: HandPedal, Was: 52, Now: 44}, 0, 0, 44, 44, "pedal 8 A lower all along: 44 A in place of 52 A"},
		{HandChange{Move: HandPedal, From: 10e-3, Second: 7.1, Was: 52, Now: 44}, 0, 0, 52, 44, "pedal 8 A lower from 7.1 s on, 10 mm along: 44 A in place of 52 A"},
		{HandChange{Move: HandPedal, To: 8e-3, Was: 52, Now: 60}, 0, 0, 60, 52, "pedal 8 A higher up to 8 mm along: 60 A in place of 52 A"},
		{HandChange{Move: HandBackOff, Was: 52, Now: 42}, 0, 0, 52, 42, "let the pedal come down bit by bit: to 42 A at the end in place of 52 A"},
		{HandChange{Move: HandTravel, Was: 2e-3, Now: 1e-3, Tap: 0.5e-3}, was.stopped - was.moved, 0, 52, 52, "taps slower all along: 60 mm/min in place of 120 mm/min, a tap every 0.50 s"},
		{HandChange{Move: HandWait, Was: 2, Now: 3}, 25, 0, 52, 52, "wait longer before the first tap: 3 s in place of 2 s"},
		{HandChange{Move: HandWait, Was: 2, Now: 1}, -25, 0, 52, 52, "wait shorter before the first tap: 1 s in place of 2 s"},
		{HandChange{Move: HandStand, From: 9e-3, Second: 6.5, Was: 0.24, Now: 0.16}, -2, 0, 52, 52, "move on after 0.2 s at 6.5 s, 9 mm along, where you stood 0.2 s"},
		{HandChange{Move: HandDab, Was: 1.5e-3, Now: 3e-3}, 0, -7, 52, 52, "dab less often all along: every 3 mm in place of 1.5 mm"},
		{HandChange{Move: HandOneDab, From: 3e-3, Second: 4, Now: 4}, 0, 1, 52, 52, "one more dab at 4 s, 3 mm along"},
		{HandChange{Move: HandEase, Was: 1, Now: 2}, 25, 0, 52, 52, "ease out longer at the end: over 2 s in place of 1 s"},
		{HandChange{Move: HandArc, Was: 2e-3, Now: 1.5e-3}, 0, 0, 52, 52, "arc shorter: 1.5 mm in place of 2 mm"},
		{HandChange{Move: HandRod, Was: 20e-3, Now: 8e-3}, 0, 0, 52, 52, "rod's tip nearer: drawn back 8 mm in place of 20 mm"},
	} {
		got, ok := run.changed(c.c, task, set)
		require.True(t, ok, c.words)
		f := got.follow(set, 20e-3)
		assert.InDelta(t, run.steps+c.steps, got.steps, 1, c.words)
		assert.InDelta(t, 20e-3, f.end(), 1e-9, c.words)
		assert.Len(t, f.dabsAt(0, f.steps), len(was.dabsAt(0, was.steps))+c.dabs, c.words)
		assert.InDelta(t, c.amps, f.amps[f.moved-1], 1e-9, c.words)
		assert.InDelta(t, c.ampsLate, f.amps[f.stopped], 1e-9, c.words)
		assert.Equal(t, c.words, c.c.Words(weld.Metric))
		last := 0
		for _, in := range got.inputs {
			require.NoError(t, in.Check(), c.words)
			require.GreaterOrEqual(t, in.Step, last, c.words)
			last = in.Step
		}
		require.Less(t, last, got.steps, c.words)
	}

	half := goodHand
	half.to = 8
	on := HandChange{Move: HandOn, From: 8e-3, Was: 8e-3, Now: 20e-3}
	got, ok := half.run().changed(on, task, set)
	require.True(t, ok)
	f := got.follow(set, 20e-3)
	assert.InDelta(t, 20e-3, f.end(), 1e-9, on.Words(weld.Metric))
	assert.InDelta(t, len(was.dabsAt(0, was.steps)), len(f.dabsAt(0, f.steps)), 2)
	_, ok = track{[]puddle.Input{{Do: puddle.Dab}}, 5}.changed(on, task, set)
	assert.False(t, ok, "nothing can be changed of an arc that was not struck")
}

// The change that is proposed is accepted when it is welded again, and is the same
// whoever spreads the work.
func TestSaveRun(t *testing.T) {
	if raced {
		t.Skip("one goroutine at a time, and twenty seams")
	}
	task, set := handJoint()
	backwards := func(n int, work func(int)) {
		for i := range n {
			work(n - 1 - i)
		}
	}
	save := func(h aHand) (HandRescue, bool) {
		run := h.run()
		return SaveRun(HandRun{task, set, run.inputs, run.steps, 0}, weld.Metric, backwards)
	}
	hands := rapid.Custom(func(rt *rapid.T) aHand {
		h := goodHand
		h.amps *= rapid.Float64Range(1.3, 1.8).Draw(rt, "amps")
		return h
	})
	most := 1
	if *SaveAll {
		most = 30
	}
	for seed := range most {
		h := hands.Example(seed + 1)
		r, found := save(h)
		require.True(t, found, "%+v", h)
		again, err := JudgeRun(task, set, r.Inputs, r.Steps)
		require.NoError(t, err)
		assert.Equal(t, Accept, again.Verdict.Outcome, "%+v %v", h, r.Words(weld.Metric))
		assert.Equal(t, r.Verdict, again.Verdict)
		if seed == 0 {
			run := h.run()
			same, _ := SaveRun(HandRun{task, set, run.inputs, run.steps, 0}, weld.Metric, InOrder)
			assert.Equal(t, r, same)
		}
	}
	_, found := save(goodHand)
	assert.False(t, found, "an accepted run needs none")
}

// A rod that froze gives metal again once it is pulled back.
func TestTheRodIsFreed(t *testing.T) {
	task, set := handJoint()
	h := goodHand
	h.to = 14
	run := h.run().at(func(n int) int { return n + 5 })
	run.inputs = append([]puddle.Input{
		{Step: 0, Do: puddle.Pedal, Value: 8}, {Step: 0, Do: puddle.Arc, Value: 1}, {Step: 1, Do: puddle.Dab}, {Step: 2, Do: puddle.Move, Value: 5},
	}, run.inputs...)
	freed, ok := run.changed(HandChange{Move: HandFree, Now: 1}, task, set)
	require.True(t, ok)
	frozen, err := JudgeRun(task, set, run.inputs, run.steps)
	require.NoError(t, err)
	after, err := JudgeRun(task, set, freed.inputs, freed.steps)
	require.NoError(t, err)
	assert.Empty(t, frozen.Dabs, "the first dab came before the pool")
	assert.Greater(t, len(after.Dabs), 5)
}

// What is held all along is told from what was held, not from what was set; where the hand
// stood for long it is told to move on.
func TestSaveRunReadsTheHand(t *testing.T) {
	if raced {
		t.Skip("one goroutine at a time")
	}
	task, set := handJoint()
	run := goodHand.run()
	far := track{append([]puddle.Input{{Step: 0, Do: puddle.RodTip, Value: 30}}, run.inputs...), run.steps}
	r, found := SaveRun(HandRun{task, set, far.inputs, far.steps, 0}, weld.Metric, InOrder)
	require.True(t, found)
	require.Equal(t, HandRod, r.Changes[0].Move)
	assert.InDelta(t, 30e-3, r.Changes[0].Was, 1e-9)

	middle := run.follow(set, 20e-3).reaches(10e-3)
	stood := run.at(func(n int) int {
		if n > middle {
			n += 150
		}
		return n
	})
	r, found = SaveRun(HandRun{task, set, stood.inputs, stood.steps, 0}, weld.Metric, InOrder)
	require.True(t, found)
	assert.Equal(t, HandStand, r.Changes[0].Move, r.Words(weld.Metric))
}

// What was set before the arc is no matter of the hand.
func TestSaveRunSaysWhatIsSet(t *testing.T) {
	if raced {
		t.Skip("one goroutine at a time")
	}
	task, set := handJoint()
	task.Seam = 10e-3
	set.Gas = weld.ArCO2
	h := goodHand
	h.to = 10
	run := h.run()
	r, found := SaveRun(HandRun{task, set, run.inputs, run.steps, 0}, weld.Metric, InOrder)
	assert.False(t, found)
	assert.Equal(t, []string{"wrong_gas"}, r.Set)
}

// A seam left half way is told so, and not that it was too cold where nobody welded.
func TestLeftHalfWay(t *testing.T) {
	task, set := handJoint()
	h := goodHand
	h.to = 10
	run := h.run()
	r, err := JudgeRun(task, set, run.inputs, run.steps)
	require.NoError(t, err)
	assert.Equal(t, "not welded to the end: the arc went out at 10 mm, the seam is 20 mm long", r.Verdict.Reason)
	assert.Equal(t, "go on to the end of the seam and ease out there", r.Verdict.Findings[0].Fix)

	stood := []puddle.Input{{Step: 0, Do: puddle.Arc, Value: 1}} // and never moved
	r, err = JudgeRun(task, set, stood, 200)
	require.NoError(t, err)
	assert.Equal(t, Reject, r.Verdict.Outcome, r.Verdict.Reason)
	assert.Zero(t, r.Answer.Travel)
	r, err = JudgeRun(task, set, append(stood, slices.Repeat([]puddle.Input{{Step: 1, Do: puddle.Move, Value: 0.5}}, 16)...), 30)
	require.NoError(t, err)
	assert.Equal(t, Reject, r.Verdict.Outcome, r.Verdict.Reason)
}

// The time for a dab: until a keyhole opens at a gap, no hurry without one, none at all
// where the pool is never there.
func TestTimeToDab(t *testing.T) {
	task, set := handJoint()
	task.Seam = 10e-3
	h := goodHand
	h.to = 10
	of := func(gap weld.Length, h aHand, after int) DabTime {
		task.Gap, task.GapEnd = gap, gap
		run := h.run()
		d, err := TimeToDab(HandRun{task, set, run.inputs, run.steps, 0}, after)
		require.NoError(t, err)
		return d
	}
	first := h.run().follow(set, 10e-3).dabsAt(0, 500)[2]
	d := of(0.9e-3, h, first)
	assert.Equal(t, "keyhole", d.Sign)
	assert.Greater(t, d.Ready, first)
	assert.Greater(t, d.Late, d.Ready, "the pool is there before it is too late")
	assert.Less(t, d.Late, first+int(DabHurry/puddle.LiveStep))
	d = of(0, h, first)
	assert.Equal(t, -1, d.Late)
	assert.Greater(t, d.Ready, first)
	h.amps = 15
	assert.Equal(t, DabTime{Ready: -1, Late: -1}, of(0, h, -1))
}

// Whatever a hand did, every change that may be tried of it is a run that can be welded.
func TestEveryChangeIsARun(t *testing.T) {
	if raced {
		t.Skip("one goroutine")
	}
	task, set := handJoint()
	rapid.Check(t, func(rt *rapid.T) {
		h := aHand{
			amps: rapid.Float64Range(5, 240).Draw(rt, "amps"), speed: rapid.Float64Range(30, 900).Draw(rt, "speed"), dab: rapid.Float64Range(0, 6).Draw(rt, "dab"),
			wait: rapid.IntRange(1, 100).Draw(rt, "wait"), to: rapid.Float64Range(0, 20).Draw(rt, "to"),
		}
		run := h.run()
		if cut := rapid.IntRange(1, run.steps).Draw(rt, "cut"); rapid.Bool().Draw(rt, "stopped") { // left half way
			run = track{slices.DeleteFunc(run.inputs, func(in puddle.Input) bool { return in.Step >= cut }), cut}
		}
		from := weld.Length(rapid.Float64Range(0, 20e-3).Draw(rt, "from"))
		v := Verdict{Findings: []Finding{{Severity: Defect, From: from, To: from + weld.Length(rapid.Float64Range(1e-3, 20e-3).Draw(rt, "over"))}}}
		s := newHandSaver(HandRun{Task: task, Set: set}, run, weld.System(rapid.SampledFrom([]weld.System{weld.Metric, weld.Imperial}).Draw(rt, "units")), InOrder)
		s.welds[handTry{}] = &handWeld{margins: [2][]float64{slices.Repeat([]float64{0}, len(rules))}, froze: true}
		s.welds[handTry{}].done[puddle.Fine] = true
		for _, l := range s.ladders(v) {
			size := 0.0
			for i, r := range l.rungs {
				require.Greater(rt, r.steps, size, "a ladder climbs")
				size = r.steps
				if i%6 > 0 && i < len(l.rungs)-1 {
					continue
				}
				got, ok := run.changed(r.hand, task, set)
				require.True(rt, ok)
				last := 0
				for i, in := range got.inputs {
					require.NoError(rt, in.Check(), "%+v input %d", r.hand, i)
					require.GreaterOrEqual(rt, in.Step, last, "%+v", r.hand)
					last = in.Step
				}
				require.Less(rt, last, got.steps, "%+v", r.hand)
				require.LessOrEqual(rt, got.steps, puddle.LiveSteps)
				require.NotContains(rt, r.hand.Words(weld.Imperial), "%!")
			}
		}
	})
}
