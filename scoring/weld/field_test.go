package weld_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring/weld"
)

// anyAnswer draws an answer with every field anywhere the trainer allows.
func anyAnswer(t *rapid.T) weld.Answer {
	a := weld.Defaults()
	for _, f := range weld.Fields {
		if f.Numeric() {
			lo, hi := limits(t, f)
			f.SetValue(&a, rapid.Float64Range(lo, hi).Draw(t, f.Key))
			continue
		}
		if len(f.Choices) > 0 {
			require.NoError(t, f.SetStrict(&a, rapid.SampledFrom(f.Choices).Draw(t, f.Key)))
			continue
		}
		a.Cup = weld.Cup(rapid.IntRange(4, 16).Draw(t, f.Key))
	}
	return a
}

func limits(t require.TestingT, f weld.Field) (lo, hi float64) {
	var a weld.Answer
	f.SetValue(&a, math.Inf(-1))
	lo, ok := f.Value(a)
	require.True(t, ok)
	f.SetValue(&a, math.Inf(1))
	hi, _ = f.Value(a)
	return lo, hi
}

func TestFieldTextIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyAnswer(t)
		var back weld.Answer
		for _, f := range weld.Fields {
			require.NoError(t, f.SetStrict(&back, f.Get(a)), f.Key)
		}
		require.Equal(t, a, back)
	})
}

func TestFieldsAreTakenBackAsTheyStandOnTheForm(t *testing.T) {
	// The form shows a value rounded, without its unit; a learner who changes
	// nothing must not get an error, and no more than a digit may be lost.
	rapid.Check(t, func(t *rapid.T) {
		a := anyAnswer(t)
		for _, s := range []weld.System{weld.Metric, weld.Imperial} {
			for _, f := range weld.Fields {
				for _, text := range []string{f.Bare(a, s), f.Show(a, s)} {
					back := a
					require.NoError(t, f.Set(&back, text, s), f.Key)
					require.Equal(t, f.Show(a, s), f.Show(back, s), f.Key)
				}
			}
		}
	})
}

func TestDefaultsStandInEveryField(t *testing.T) {
	a := weld.Defaults()
	for _, f := range weld.Fields {
		require.NoError(t, f.SetStrict(&a, f.Get(a)), f.Key)
		assert.NotEmpty(t, f.Label, f.Key)
		assert.True(t, strings.HasSuffix(f.Hint, "."), "%s: a hint is a sentence", f.Key)
		found, ok := weld.FieldByKey(f.Key)
		require.True(t, ok)
		assert.Equal(t, f.Key, found.Key)
	}
	assert.Equal(t, weld.Defaults(), a)
}

func TestFieldsAsAPlainFile(t *testing.T) {
	for _, c := range plainCases(t, "fields.txt") {
		key, text, ok := strings.Cut(c.input, ":")
		require.True(t, ok, "fields.txt:%d: write key: value", c.line)
		f, ok := weld.FieldByKey(key)
		require.True(t, ok, "fields.txt:%d: no field %q", c.line, key)
		system := weld.Metric
		if t, ok := strings.CutSuffix(text, " (inch)"); ok {
			text, system = t, weld.Imperial
		}
		before := weld.Defaults()
		a := before
		err := f.Set(&a, expand(strings.TrimPrefix(text, " ")), system)
		if want, ok := strings.CutPrefix(c.want, "refused: "); ok {
			var field *weld.FieldError
			if assert.ErrorAs(t, err, &field, "fields.txt:%d", c.line) {
				assert.Contains(t, err.Error(), want, "fields.txt:%d", c.line)
				assert.Equal(t, key, field.Key)
				assert.Equal(t, before, a, "fields.txt:%d: a refused value must change nothing", c.line)
			}
			continue
		}
		require.NoError(t, err, "fields.txt:%d", c.line)
		assert.Equal(t, c.want, f.Show(a, system), "fields.txt:%d", c.line)
	}
}

func TestInchesAsARuleReadsThem(t *testing.T) {
	dab, ok := weld.FieldByKey("dab")
	require.True(t, ok)
	for text, want := range map[string]string{
		"1/16 in": "1/16", "0.09375 in": "3/32", "1 1/8 in": "1 1/8", "1/64 in": "1/64", "3.175 mm": "1/8",
		"1 in": "", "0.1 in": "", "2 mm": "", "1.5875001 mm": "",
	} {
		var a weld.Answer
		require.NoError(t, dab.SetStrict(&a, text))
		assert.Equal(t, want, dab.Ruler(a), text)
	}
	amps, _ := weld.FieldByKey("amps")
	assert.Empty(t, amps.Ruler(weld.Defaults()))
}

func TestFilesNeedUnits(t *testing.T) {
	for _, f := range weld.Fields {
		if !f.Numeric() {
			continue
		}
		var a weld.Answer
		err := f.SetStrict(&a, "60")
		var field *weld.FieldError
		require.True(t, errors.As(err, &field), f.Key)
		assert.Contains(t, err.Error(), "the unit is missing", f.Key)
	}
}

func FuzzFieldSet(f *testing.F) {
	f.Add("amps", "60", false)
	f.Add("dab", "1/8 in", true)
	f.Add("cup", "#8", false)
	f.Add("lens", "y", false)
	f.Add("polarity", "dcen", true)
	f.Add("aim", "-0.394", true)
	f.Fuzz(func(t *testing.T, key, text string, imperial bool) {
		field, ok := weld.FieldByKey(key)
		if !ok {
			return
		}
		system := weld.Metric
		if imperial {
			system = weld.Imperial
		}
		before := weld.Defaults()
		a := before
		if err := field.Set(&a, text, system); err != nil {
			checkMessage(t, err)
			if a != before {
				t.Fatalf("%s %q was refused and yet changed the answer", key, text)
			}
			return
		}
		if v, ok := field.Value(a); ok {
			if lo, hi := limits(t, field); !(v >= lo && v <= hi) {
				t.Fatalf("%s %q was taken as %v, outside %v to %v", key, text, v, lo, hi)
			}
		}
		var back weld.Answer
		if err := field.SetStrict(&back, field.Get(a)); err != nil || field.Get(back) != field.Get(a) {
			t.Fatalf("%s %q prints as %q and reads back as %q, %v", key, text, field.Get(a), field.Get(back), err)
		}
	})
}
