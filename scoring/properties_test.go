package scoring

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// noise is how far a score may go the wrong way between two welds: the pool's edges
// are read off a grid, and a dab falls now on one side of a station, now on the other.
const noise = 2.5

// scoresAlong judges the set-up at each value of a key.
func scoresAlong(t *testing.T, on, key string, values []string, also ...string) []Scores {
	t.Helper()
	var out []Scores
	for _, v := range values {
		s := setups(t)[on]
		for i := 0; i+1 < len(also); i += 2 {
			require.NoError(t, set(&s.task, &s.answer, also[i], also[i+1]))
		}
		require.NoError(t, set(&s.task, &s.answer, key, v))
		verdict := judgeShared(t, s.task, s.answer)
		require.NotEqual(t, OutOfRange, verdict.Outcome, verdict.Reason)
		out = append(out, verdict.Scores)
	}
	return out
}

func (s Scores) worst() float64 { return min(s.BurnThrough, s.LackOfFusion, s.Oxide) }

// neverRises checks that a score does not rise from one value to the next.
func neverRises(t *testing.T, what string, scores []Scores, of func(Scores) float64) {
	t.Helper()
	for i := 1; i < len(scores); i++ {
		assert.LessOrEqual(t, of(scores[i]), of(scores[i-1])+noise, "%s, step %d: %v", what, i, scores)
	}
}

func TestMoreAmpsNeverSafer(t *testing.T) {
	for on, amps := range map[string][]string{
		"steel butt":     {"34 A", "44 A", "54 A", "62 A", "72 A", "90 A"},
		"steel tee":      {"40 A", "48 A", "56 A", "62 A", "72 A", "90 A"},
		"gap tee":        {"48 A", "56 A", "64 A", "76 A"},
		"steel corner":   {"38 A", "47 A", "60 A", "80 A"},
		"stainless butt": {"30 A", "42 A", "52 A", "66 A"},
	} {
		t.Run(on, func(t *testing.T) {
			t.Parallel()
			if brief() && on != "steel butt" {
				t.Skip("brief: one joint")
			}
			neverRises(t, on, scoresAlong(t, on, "amps", amps), func(s Scores) float64 { return s.BurnThrough })
		})
	}
}

func TestWiderGapNeverBetter(t *testing.T) {
	for _, on := range []string{"gap butt", "gap tee"} {
		t.Run(on, func(t *testing.T) {
			t.Parallel()
			if brief() {
				t.Skip("brief")
			}
			gaps := []string{"0.4 mm", "0.6 mm", "0.8 mm", "1 mm", "1.3 mm"}
			neverRises(t, on, scoresAlong(t, on, "gap", gaps, "dab", "1.2 mm", "dab_size", "1.5 mm"), Scores.worst)
		})
	}
}

// coldSetups are welded once; what follows changes only how they are judged.
func coldSetup(t *rapid.T, tb testing.TB) setup {
	names := slices.Sorted(maps.Keys(setups(tb)))
	if brief() {
		names = fewSeams
	}
	return setups(tb)[rapid.SampledFrom(names).Draw(t, "on")]
}

// oxideFalls checks that moving a value up never raises the oxide score.
func oxideFalls(t *testing.T, lo, hi float64, put func(s *setup, v float64)) {
	rapid.Check(t, func(rt *rapid.T) {
		s := coldSetup(rt, t)
		s.answer.Lens = rapid.Bool().Draw(rt, "lens")
		s.answer.Cup = weld.Cup(rapid.IntRange(4, 16).Draw(rt, "cup"))
		s.answer.Flow = weld.Flow(rapid.Float64Range(1, 40).Draw(rt, "flow")) * weld.LitrePerMin
		a, b := rapid.Float64Range(lo, hi).Draw(rt, "a"), rapid.Float64Range(lo, hi).Draw(rt, "b")
		less, more := s, s
		put(&less, min(a, b))
		put(&more, max(a, b))
		x, y := judgeShared(t, less.task, less.answer).Scores.Oxide, judgeShared(t, more.task, more.answer).Scores.Oxide
		if y > x {
			rt.Fatalf("oxide %g at %g, %g at %g", x, min(a, b), y, max(a, b))
		}
	})
}

func TestDraughtNeverHelps(t *testing.T) {
	oxideFalls(t, 0, 5, func(s *setup, v float64) { s.task.Draught = weld.Speed(v) })
}

func TestStickOutNeverHelps(t *testing.T) {
	oxideFalls(t, 1e-3, 35e-3, func(s *setup, v float64) { s.answer.StickOut = weld.Length(v) })
}

func TestBareTipNeverHelps(t *testing.T) {
	oxideFalls(t, 0, 60e-3, func(s *setup, v float64) { s.answer.RodWithdrawn = weld.Length(v) })
}

func TestPurgeOxygenNeverHelps(t *testing.T) {
	oxideFalls(t, 1e-6, 0.21, func(s *setup, v float64) {
		s.answer.Back, s.answer.PurgeOxygen = weld.Purged, weld.PPM(v)
	})
}

// Scores move little when a setting moves half a per cent: by tenths of a point on a
// sound weld. Only where a pool just comes through, where the melted share of the wall
// runs from a half to all of it within an amp or two, a few points go at once.
func TestScoresMoveSmoothly(t *testing.T) {
	const coldBound, heatBound = 0.5, 1.5
	worst := map[string]float64{}
	for _, on := range []string{"steel butt", "steel tee", "stainless butt", "aluminium butt", "gap tee"} {
		if brief() && !slices.Contains(fewSeams, on) {
			continue
		}
		s := setups(t)[on]
		before := judgeShared(t, s.task, s.answer).Scores
		for _, f := range weld.Fields {
			v, numeric := f.Value(s.answer)
			hot := TouchesHeat(f.Key)
			if !numeric || v == 0 || hot && (brief() || on == "aluminium butt" || on == "gap tee") {
				continue
			}
			a := s.answer
			f.SetValue(&a, v*1.005)
			after := judgeShared(t, s.task, a).Scores
			bound := coldBound
			if hot {
				bound = heatBound
			}
			for _, name := range []string{burnThrough, lackOfFusion, oxide} {
				d := math.Abs(*after.of(name) - *before.of(name))
				worst[f.Key] = max(worst[f.Key], d)
				assert.LessOrEqual(t, d, bound, "%s: %s from %s to %s moves %s by %.1f", on, f.Key, f.Get(s.answer), f.Get(a), name, d)
			}
		}
	}
	if brief() {
		return
	}
	onset := scoresAlong(t, "steel butt", "amps", []string{"38.6 A", "38.8 A", "39 A", "39.2 A", "39.4 A"})
	for i := 1; i < len(onset); i++ {
		assert.InDelta(t, onset[i-1].LackOfFusion, onset[i].LackOfFusion, 8, "where the pool comes through: %v", onset)
	}
	t.Logf("where the pool comes through: %v", onset)
	t.Logf("most points moved by half a per cent: %v", worst)
}

// A cold setting swept from end to end never makes a score jump.
func TestColdSettingsAreContinuous(t *testing.T) {
	for _, on := range []string{"stainless butt", "titanium butt", "steel tee"} {
		if brief() && on == "steel tee" {
			continue
		}
		s := setups(t)[on]
		for _, f := range weld.Fields {
			if TouchesHeat(f.Key) || !f.Numeric() || f.Key == "trail" && on != "titanium butt" {
				continue
			}
			var unit weld.Answer
			require.NoError(t, f.SetStrict(&unit, f.Min))
			lo, _ := f.Value(unit)
			require.NoError(t, f.SetStrict(&unit, f.Max))
			hi, _ := f.Value(unit)
			steps := 300
			if brief() {
				steps = 12
			}
			last := math.NaN()
			for i := range steps + 1 {
				a := s.answer
				u := float64(i) / float64(steps)
				f.SetValue(&a, lo+(hi-lo)*u*u) // finer at the small end
				now := judgeShared(t, s.task, a).Scores.worst()
				if !math.IsNaN(last) && math.Abs(now-last) > 15 && !brief() {
					t.Errorf("%s: %s jumps from %.1f to %.1f at %s", on, f.Key, last, now, f.Get(a))
				}
				last = now
			}
		}
	}
}

// anyAnswer draws every field within what the trainer takes.
func anyAnswer(t *rapid.T) weld.Answer {
	a := weld.Defaults()
	for _, f := range weld.Fields {
		switch {
		case f.Choices != nil:
			if err := f.SetStrict(&a, rapid.SampledFrom(f.Choices).Draw(t, f.Key)); err != nil {
				t.Fatal(err)
			}
		case f.Numeric():
			var unit weld.Answer
			_ = f.SetStrict(&unit, f.Min)
			lo, _ := f.Value(unit)
			_ = f.SetStrict(&unit, f.Max)
			hi, _ := f.Value(unit)
			f.SetValue(&a, rapid.Float64Range(lo, hi).Draw(t, f.Key))
		default:
			a.Cup = weld.Cup(rapid.IntRange(4, 16).Draw(t, f.Key))
		}
	}
	return a
}

// sound fails when a verdict holds a number that is none, or a margin that is not quantised.
func sound(t *rapid.T, task weld.Task, a weld.Answer, bead *puddle.Bead) {
	v := judgeBead(task, a, bead)
	for _, s := range []float64{v.Scores.BurnThrough, v.Scores.LackOfFusion, v.Scores.Oxide} {
		if !(s >= 0 && s <= 100) || math.Abs(s*10-math.Round(s*10)) > 1e-9 {
			t.Fatalf("score %v", v.Scores)
		}
	}
	rejected := false
	for _, f := range v.Findings {
		rejected = rejected || f.Severity == Defect
		for _, text := range []string{f.Got, f.Want, f.Why, f.Fix, f.Source} {
			if text == "" || slices.ContainsFunc([]string{"NaN", "Inf", "%!"}, func(bad string) bool { return contains(text, bad) }) {
				t.Fatalf("%s says %q", f.Rule, fmt.Sprintf("%+v", f))
			}
		}
		if f.From > f.To || f.From < 0 || f.To > task.Seam+1e-9 {
			t.Fatalf("%s lies at %v to %v of %v", f.Rule, f.From, f.To, task.Seam)
		}
	}
	if rejected != (v.Outcome == Reject) {
		t.Fatalf("outcome %s with %v", v.Outcome, v.Findings)
	}
	if low := v.Scores.worst() < Limit; low && v.Outcome != Reject {
		t.Fatalf("accepted at %v", v.Scores)
	}
	e := gather(task, a, bead)
	for _, r := range rules {
		m := r.read(e).margin
		if math.IsNaN(m) || math.Abs(quantised(m)*1000-math.Round(quantised(m)*1000)) > 1e-6 || quantised(m) > 10 {
			t.Fatalf("%s reads %v", r.id, m)
		}
	}
	for _, s := range v.Signs {
		if !(s.Strength >= faintest && s.Strength <= 1) || s.Words == "" {
			t.Fatalf("sign %+v", s)
		}
	}
}

func contains(s, part string) bool {
	for i := 0; i+len(part) <= len(s); i++ {
		if s[i:i+len(part)] == part {
			return true
		}
	}
	return false
}

// Whatever is answered, the verdict on a welded seam is whole.
func TestAnyAnswerIsJudged(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := coldSetup(rt, t)
		a := anyAnswer(rt)
		bead := beadOf(t, s.task, s.answer) // the seam of the set-up, judged as if welded with a
		s.task.Surface = rapid.SampledFrom(weld.Surfaces).Draw(rt, "surface")
		s.task.ClosedVolume, s.task.Throat = rapid.Bool().Draw(rt, "closed"), rapid.Bool().Draw(rt, "throat")
		s.task.Draught = weld.Speed(rapid.Float64Range(0, 10).Draw(rt, "draught"))
		sound(rt, s.task, a, bead)
	})
}

// Some answers welded too, hot and cold, wide and narrow.
func TestAnyAnswerWelds(t *testing.T) {
	n := 8
	if brief() {
		n = 1
	}
	gen := rapid.Custom(anyAnswer)
	names := slices.Sorted(maps.Keys(setups(t)))
	if brief() {
		names = fewSeams
	}
	for i := range n {
		a := gen.Example(i)
		s := setups(t)[names[i%len(names)]]
		a.Amps, a.AmpsEnd = 5+weld.Current(math.Mod(float64(a.Amps), 245)), 0
		a.Travel = min(max(a.Travel, 25*weld.MillimetrePerMin), 800*weld.MillimetrePerMin)
		a.ArcLength = min(max(a.ArcLength, 0.4*weld.Millimetre), 7*weld.Millimetre)
		if outside(s.task, a) != "" {
			t.Fatalf("outside: %s", outside(s.task, a))
		}
		bead, err := puddle.WeldAt(s.task, a, puddle.Coarse)
		require.NoError(t, err)
		t.Run(fmt.Sprint(i), func(t *testing.T) { rapid.Check(t, func(rt *rapid.T) { sound(rt, s.task, a, bead) }) })
	}
}

func TestSameVerdictTwice(t *testing.T) {
	for _, on := range []string{"steel butt", "aluminium tee"} {
		if brief() && on != "steel butt" {
			continue
		}
		s := setups(t)[on]
		first, err := Judge(s.task, s.answer)
		require.NoError(t, err)
		second, err := Judge(s.task, s.answer)
		require.NoError(t, err)
		assert.Equal(t, first, second)
		assert.Equal(t, first, judgeShared(t, s.task, s.answer), "and when the bead is shared")
	}
}

// heatOf leaves out only what the heat model does not read.
func TestSharedBeadsAreTheSame(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	s := setups(t)["steel tee"]
	want, err := puddle.WeldAt(s.task, s.answer, puddle.Coarse)
	require.NoError(t, err)
	a := s.answer
	for _, f := range weld.Fields {
		if TouchesHeat(f.Key) {
			continue
		}
		switch {
		case f.Choices != nil:
			require.NoError(t, f.SetStrict(&a, f.Choices[len(f.Choices)-1]))
		case f.Numeric():
			v, _ := f.Value(a)
			f.SetValue(&a, v*1.7+1e-3)
		default:
			a.Cup = 11
		}
	}
	a.Filler, a.Gas = weld.ER309L, weld.ArCO2
	task := s.task
	task.Surface, task.Draught, task.ClosedVolume, task.Throat = weld.Oily, 3, true, true
	task.Drawing.BrightRoot, task.Drawing.FillerFixed = true, weld.ER70S2
	require.Equal(t, heatOf(s.task, s.answer), heatOf(task, a))
	got, err := puddle.WeldAt(task, a, puddle.Coarse)
	require.NoError(t, err)
	assert.Equal(t, want, got)
}
