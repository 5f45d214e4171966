package scoring

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring/weld"
)

// SaveAll asks for every rejected answer there is, which takes minutes: go test ./scoring -run Save -all
var SaveAll = flag.Bool("all", false, "save every rejected answer, in metric and in inch")

// leastSaved is the share of rejected answers that must be saved.
const leastSaved = 0.9

// CheckSave looks for the smallest change and proves what it finds by judging it
// again: it is accepted, it moves only what may be moved, to round numbers, and a
// single setting moved a step less is not accepted.
func CheckSave(t testing.TB, task weld.Task, a weld.Answer, fields []string, sys weld.System) (saved bool) {
	t.Helper()
	r, ok := Save(task, a, fields, sys, InOrder)
	if !ok {
		return false
	}
	v, err := Judge(task, r.Answer)
	require.NoError(t, err)
	assert.Equal(t, Accept, v.Outcome, "%v is proposed\n%s", r.Words(sys), story(v))
	assert.Equal(t, v, r.Verdict)
	assert.LessOrEqual(t, len(r.Changes), mostMoved)
	require.NotEmpty(t, r.Changes)
	var moved, told []string
	for _, f := range weld.Fields {
		if f.Get(a) != f.Get(r.Answer) {
			moved = append(moved, f.Key)
			assert.True(t, roundNumber(f, a, r.Answer, sys), "%s: %s is no round number", f.Key, f.Get(r.Answer))
		}
	}
	for _, c := range r.Changes {
		told = append(told, c.Field.Key)
		assert.Contains(t, fields, c.Field.Key)
		assert.Equal(t, [2]string{c.Field.Get(a), c.Field.Get(r.Answer)}, [2]string{c.From, c.To})
	}
	assert.ElementsMatch(t, moved, told)
	if len(moved) == 1 {
		for _, less := range lessThan(task, a, r.Answer, moved[0], fields, sys) {
			v, err := Judge(task, less)
			require.NoError(t, err)
			f, _ := weld.FieldByKey(moved[0])
			assert.NotEqual(t, Accept, v.Outcome, "%v is proposed, and %s does", r.Words(sys), f.Show(less, sys))
		}
	}
	return true
}

// roundNumber says whether a setting was moved to a number a shop would say.
func roundNumber(f weld.Field, from, to weld.Answer, sys weld.System) bool {
	if f.Choices != nil {
		return true
	}
	if sizes, ok := sizesSold[f.Key]; ok {
		return slices.ContainsFunc(sizes[sys], func(text string) bool {
			size := to
			return f.SetStrict(&size, text) == nil && size == to
		})
	}
	v, _ := f.Value(to)
	whole := func(step float64) bool {
		n := v / (step * f.UnitSize(sys))
		return math.Abs(n-math.Round(n)) < 1e-9
	}
	was, _ := f.Value(from)
	thin := (f.Key == "amps" || f.Key == "amps_end") && was < thinAmps
	return whole(shopStep[f.Key][sys]) || thin && whole(thinStep)
}

// lessThan gives the same change, but a step smaller; up to three smaller with -all.
func lessThan(task weld.Task, from, to weld.Answer, key string, fields []string, sys weld.System) []weld.Answer {
	s := &saver{task: task, fields: fields, sys: sys}
	for _, l := range s.laddersFrom(from, key) {
		if i := slices.IndexFunc(l.rungs, func(r rung) bool { return r.answer == to }); i >= 0 && !l.choices {
			many := 1
			if *SaveAll {
				many = 3
			}
			var out []weld.Answer
			for _, r := range l.rungs[max(0, i-many):i] {
				out = append(out, r.answer)
			}
			return out
		}
	}
	return nil
}

// The set-ups' mistakes: what testdata/verdict rejects, by moving what the case moved
// and what is always at hand.
func TestSaveVerdictCases(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(casesDir, "*.txt"))
	require.NoError(t, err)
	files = append(files, filepath.Join(matrixDir, "mistakes.txt"))
	var cases []verdictCase
	for _, name := range files {
		if filepath.Base(name) == setupsFile {
			continue
		}
		for _, c := range readCases(t, name) {
			if c.outcome == Reject && c.on != "" {
				cases = append(cases, c)
			}
		}
	}
	require.Greater(t, len(cases), 60)
	every := 40
	if brief() {
		every = 200
	}
	tally := Saves{}
	for i, c := range cases {
		if i%every != 0 && !*SaveAll {
			continue
		}
		fields := []string{"amps", "travel", "dab", "flow"}
		for _, f := range weld.Fields {
			if f.Get(c.answer) != f.Get(setups(t)[c.on].answer) && !slices.Contains(fields, f.Key) {
				fields = append(fields, f.Key)
			}
		}
		tally.Try(t, c.on+": "+c.title, c.task, c.answer, fields, weld.System(i/every%2))
	}
	tally.Enough(t)
}

// Good answers thrown off at random, one to four settings of them.
func TestSaveRandom(t *testing.T) {
	if brief() {
		t.Skip("nothing is shared here")
	}
	n := 2
	if *SaveAll {
		n = 80
	}
	tally := Saves{}
	names := slices.Sorted(maps.Keys(setups(t)))
	for i := range n {
		s := setups(t)[names[i%len(names)]]
		gen := rapid.Custom(func(rt *rapid.T) thrownOff { return throwOff(rt, s.answer) })
		for seed := i; ; seed += n { // until one is rejected
			x := gen.Example(seed)
			if outside(s.task, x.answer) != "" {
				continue
			}
			if v := judgeShared(t, s.task, x.answer); v.Outcome != Reject {
				continue
			}
			tally.Try(t, fmt.Sprint(names[i%len(names)], x.fields), s.task, x.answer, x.fields, weld.System(i%2))
			break
		}
	}
	tally.Enough(t)
}

// thrownOff is an answer with some settings off, and those that may be moved.
type thrownOff struct {
	answer weld.Answer
	fields []string
}

func throwOff(t *rapid.T, a weld.Answer) thrownOff {
	off := rapid.SampledFrom([]string{
		"amps", "travel", "dab", "rod", "arc_length", "aim", "start", "polarity", // what the heat feels
		"flow", "cup", "stick_out", "rod_tip", "postflow", "cleaned", "filler", "gas", "torch_angle",
	})
	x := thrownOff{a, []string{"amps", "travel", "dab"}}
	for _, key := range rapid.SliceOfNDistinct(off, 1, 4, rapid.ID[string]).Draw(t, "off") {
		f, _ := weld.FieldByKey(key)
		switch v, numeric := f.Value(x.answer); {
		case numeric && key == "aim":
			f.SetValue(&x.answer, v+rapid.Float64Range(-2e-3, 2e-3).Draw(t, key))
		case numeric:
			f.SetValue(&x.answer, v*rapid.Float64Range(0.4, 2.5).Draw(t, key))
		case key == "cup":
			x.answer.Cup = weld.Cup(rapid.IntRange(4, 16).Draw(t, key))
		default:
			if err := f.SetStrict(&x.answer, rapid.SampledFrom(f.Choices).Draw(t, key)); err != nil {
				t.Fatal(err)
			}
		}
		if !slices.Contains(x.fields, key) {
			x.fields = append(x.fields, key)
		}
	}
	return x
}

// Saves counts rejected answers and those that were saved, by the settings it took.
type Saves struct {
	tried, saved int
	missed       []string
}

func (s *Saves) Try(t *testing.T, name string, task weld.Task, a weld.Answer, fields []string, sys weld.System) {
	systems := []weld.System{sys}
	if *SaveAll {
		systems = []weld.System{weld.Metric, weld.Imperial}
	}
	for _, sys := range systems {
		s.tried++
		if CheckSave(t, task, a, fields, sys) {
			s.saved++
		} else {
			s.missed = append(s.missed, name)
		}
	}
}

func (s *Saves) Enough(t *testing.T) {
	t.Logf("%d of %d rejected answers saved; not: %q", s.saved, s.tried, s.missed)
	assert.GreaterOrEqual(t, float64(s.saved), leastSaved*float64(s.tried), "saved of %d; not: %q", s.tried, s.missed)
}

// Every setting can be moved, in either system, along round numbers that it takes.
func TestEverySettingHasItsSteps(t *testing.T) {
	s := &saver{task: setups(t)["steel tee"].task}
	for _, f := range weld.Fields {
		s.fields = append(s.fields, f.Key)
	}
	from := setups(t)["steel tee"].answer
	require.NoError(t, set(&s.task, &from, "dab_size", "3 mm"))
	for _, s.sys = range []weld.System{weld.Metric, weld.Imperial} {
		for _, f := range weld.Fields {
			ladders := s.laddersFrom(from, f.Key)
			assert.NotEmpty(t, ladders, f.Key)
			for _, l := range ladders {
				last := 0.0
				for _, r := range l.rungs {
					back := withFields(r.answer, []string{f.Key}, from)
					assert.Equal(t, from, back, "%s moves something else", f.Key)
					assert.NotEqual(t, from, r.answer)
					assert.True(t, roundNumber(f, from, r.answer, s.sys), "%s: %s", f.Key, f.Get(r.answer))
					assert.Greater(t, r.steps, last, "%s: %s", f.Key, f.Get(r.answer))
					last = r.steps
				}
			}
		}
	}
}

// What is spread over many cores in whatever order comes out the same.
func TestSaveIsTheSameOnAnyCores(t *testing.T) {
	if brief() {
		t.Skip("nothing is shared here")
	}
	s := setups(t)["steel butt"]
	s.answer.Amps = 34
	fields := []string{"amps"}
	backwards := func(n int, work func(int)) {
		for i := n - 1; i >= 0; i-- {
			work(i)
		}
	}
	one, ok := Save(s.task, s.answer, fields, weld.Metric, InOrder)
	require.True(t, ok)
	other, _ := Save(s.task, s.answer, fields, weld.Metric, backwards)
	assert.Equal(t, one.Answer, other.Answer)
	assert.Equal(t, one.Verdict, other.Verdict)
}

// Where more than two things are wrong they are told one after the other, the worst first.
func TestSaveThreeThingsAtOnce(t *testing.T) {
	if brief() {
		t.Skip("nothing is shared here")
	}
	s := setups(t)["steel butt"]
	for _, kv := range [][2]string{{"amps", "32 A"}, {"flow", "2 L/min"}, {"postflow", "0.5 s"}, {"surface", "oily"}, {"cleaned", "no"}} {
		require.NoError(t, set(&s.task, &s.answer, kv[0], kv[1]))
	}
	fields := []string{"amps", "flow", "postflow", "cleaned"}
	r, ok := Save(s.task, s.answer, fields, weld.Metric, InOrder)
	require.True(t, ok)
	v, err := Judge(s.task, r.Answer)
	require.NoError(t, err)
	assert.Equal(t, Accept, v.Outcome)
	var order []string
	for _, c := range r.Changes {
		order = append(order, c.Field.Key)
	}
	assert.GreaterOrEqual(t, len(order), 3)
	assert.Equal(t, "amps", order[0], "nothing is worse than not through: %v", order)
}

func TestNothingToSave(t *testing.T) {
	s := setups(t)["steel butt"]
	_, ok := Save(s.task, s.answer, []string{"amps"}, weld.Metric, InOrder)
	assert.False(t, ok, "it is accepted as it is")
	s.answer.Amps = 90
	_, ok = Save(s.task, s.answer, []string{"preflow", "tip_angle"}, weld.Metric, InOrder)
	assert.False(t, ok, "neither closes a hole")
	s.answer.Amps = 300
	_, ok = Save(s.task, s.answer, []string{"amps"}, weld.Metric, InOrder)
	assert.False(t, ok, "the model says nothing there")
}

// An inch rescue reads as a rule does.
func TestRescueWords(t *testing.T) {
	dab, _ := weld.FieldByKey("dab")
	amps, _ := weld.FieldByKey("amps")
	r := Rescue{Changes: []Change{{dab, "3 mm", "0.0625 in"}, {amps, "95 A", "60 A"}}, Answer: weld.Defaults()}
	for _, c := range r.Changes {
		require.NoError(t, c.Field.SetStrict(&r.Answer, c.To))
	}
	assert.Equal(t, []string{"dab every 0.118 in -> 0.063 in (1/16)", "amps 95 A -> 60 A"}, r.Words(weld.Imperial))
	assert.Equal(t, []string{"dab every 3 mm -> 1.59 mm", "amps 95 A -> 60 A"}, r.Words(weld.Metric))
}

// Brief is brief for tests outside the package.
func Brief() bool { return brief() }
