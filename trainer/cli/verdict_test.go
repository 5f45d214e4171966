package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// rejected is a verdict with something in every part.
func rejected() (scenarios.Scenario, weld.Answer, scoring.Verdict) {
	sc := scenarios.Scenario{ID: "T-99", Title: "Rail gusset", Task: weld.Task{Joint: weld.TeeFillet, Position: weld.PB, Seam: 0.06}}
	v := scoring.Verdict{
		Outcome: scoring.Reject, Reason: "keyhole at 47 mm",
		Scores: scoring.Scores{BurnThrough: 31.2499, LackOfFusion: 92, Oxide: 81.06},
		Findings: []scoring.Finding{{
			Rule: "keyhole", Severity: scoring.Defect, From: 0.04700000001, To: 0.049, Score: "burn-through",
			Got: "3.0 mm since the last dab", Want: "1.5 mm", Why: "the gap <0.8 mm> opened", Fix: "dab every 1.5 mm", Source: "model",
		}},
		Signs: []scoring.Sign{{ID: "keyhole", Place: "pool", Words: "an eye opens at its front, in the gap", Strength: 1, From: 0.046, To: 0.047}},
		Coupon: scoring.Coupon{
			Stations: []scoring.Station{
				{At: 0.001, FaceWidth: 0.00444444, BackWidth: 0.0012, Penetration: 1.0 / 3, Cap: -1e-9, PeakFace: 1900.6, Colour: "straw"},
				{At: 0.002, Hole: true, Colour: "grey", BackColour: "black", ColdLap: true},
			},
			Worst: scoring.Station{BackWidth: 0.003}, Holes: []scoring.Span{{From: 0.047, To: 0.049}},
			PeakTemperature: 2100, HeatInput: 0.20249, PoolLength: 0.0061,
		},
	}
	return sc, weld.Defaults(), v
}

func TestVerdictJSON(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, printJSON(&b, newVerdictJSON(rejected())))
	var got map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	assert.Equal(t, "T-99", got["scenario"])
	assert.Equal(t, "reject", got["outcome"])
	assert.Equal(t, map[string]any{"burn_through": 31.2, "lack_of_fusion": 92.0, "oxide": 81.1}, got["scores"])
	coupon := got["coupon"].(map[string]any)
	assert.Equal(t, []any{4.44, 0.0}, coupon["face_width_mm"])
	assert.Equal(t, []any{0.333, 0.0}, coupon["penetration"])
	assert.Equal(t, 0.202, coupon["heat_input_kj_per_mm"])
	assert.Equal(t, 1827.0, coupon["peak_temperature_c"])
	assert.NotContains(t, b.String(), "-0,", "no minus zero")
	assert.Contains(t, b.String(), "the gap <0.8 mm> opened", "text is not escaped for a web page")
	assert.Equal(t, "60 A", got["answer"].(map[string]any)["amps"])
}

func TestVerdictJSONWithoutAScore(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, printJSON(&b, newVerdictJSON(scenarios.Scenario{ID: "B-01"}, weld.Answer{}, scoring.Verdict{Outcome: scoring.OutOfRange})))
	var got struct {
		Outcome  string
		Scores   map[string]*float64
		Findings []any
		Coupon   map[string]any
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	assert.Equal(t, map[string]*float64{"burn_through": nil, "lack_of_fusion": nil, "oxide": nil}, got.Scores)
	assert.NotNil(t, got.Findings, "an empty array, not null")
	for _, key := range []string{"along_mm", "hole", "holes", "colour"} {
		assert.NotNil(t, got.Coupon[key], key)
	}
}

// The help topic is the promise: it names every key that is printed, and no other.
func TestTheHelpNamesEveryKey(t *testing.T) {
	var b bytes.Buffer
	amps, _ := weld.FieldByKey("amps")
	j := newVerdictJSON(rejected())
	j.Rescue = newRescueJSON(&scoring.Rescue{Changes: []scoring.Change{{Field: amps, From: "95 A", To: "60 A"}}})
	require.NoError(t, printJSON(&b, j))
	var v any
	require.NoError(t, json.Unmarshal(b.Bytes(), &v))
	leaves, printed := map[string]bool{}, map[string]bool{}
	paths(v, "", leaves)
	for key := range leaves {
		if field, ok := strings.CutPrefix(key, "answer."); ok {
			_, ok := weld.FieldByKey(field)
			assert.True(t, ok, key)
			key = "answer.FIELD"
		}
		printed[key] = true
	}
	documented := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^  ([a-zA-Z_.\[\]]+)(?:  |$)`).FindAllStringSubmatch(jsonHelp, -1) {
		assert.False(t, documented[m[1]], "%s is named twice", m[1])
		documented[m[1]] = true
	}
	assert.Equal(t, printed, documented)
}

// paths collects where the leaves of a JSON value are, arrays written [].
func paths(v any, at string, into map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for key, x := range v {
			paths(x, strings.TrimPrefix(at+"."+key, "."), into)
		}
	case []any:
		for _, x := range v {
			paths(x, at+"[]", into)
		}
	default:
		into[at] = true
	}
}

func TestVerdictInWords(t *testing.T) {
	sc, _, v := rejected()
	var b strings.Builder
	printVerdict(&b, sc, v, weld.Metric)
	text := b.String()
	for _, want := range []string{
		"T-99", "REJECT", "keyhole at 47 mm", "burn-through", " 31 x", " 92 +", "got   3.0 mm since the last dab", "seen  pool: an eye opens at its front, in the gap, 46 to 47 mm (the gap",
		"why   the gap", "fix   dab every 1.5 mm", "A hole from 47 mm to 49 mm.", "Pool length: 6.1 mm.",
	} {
		assert.Contains(t, text, want)
	}
	b.Reset()
	printVerdict(&b, sc, v, weld.Imperial)
	assert.NotContains(t, b.String(), "Pool length: 6.1 mm")
	b.Reset()
	printVerdict(&b, sc, scoring.Verdict{Outcome: scoring.OutOfRange, Reason: "too thick"}, weld.Metric)
	assert.Contains(t, b.String(), "NOT SCORED -  too thick")
	assert.NotContains(t, b.String(), "burn-through")
}

// A difference in the last bits must not show, unless a value sits on the very
// middle between two steps.
func TestRoundingIsToTheStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-5000, 5000).Draw(t, "v")
		per := rapid.SampledFrom([]float64{1, 10, 100, 1000}).Draw(t, "per")
		r := round(v, per)
		require.LessOrEqual(t, math.Abs(r-v), 0.5/per+1e-9)
		require.Equal(t, r, round(r, per))
		require.False(t, r == 0 && math.Signbit(r), "minus zero")
		digits := strings.SplitN(fmt.Sprint(math.Abs(r)), ".", 2)
		if len(digits) == 2 {
			require.LessOrEqual(t, len(digits[1]), slices.Index([]float64{1, 10, 100, 1000}, per), "%v", r)
		}
	})
}

func TestListsOfPlainValuesStandOnOneLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		type shape struct {
			Words   []string
			Numbers []float64
			Deep    []map[string][]string
		}
		list := rapid.SliceOf(rapid.OneOf(rapid.String(), rapid.StringOf(rapid.SampledFrom([]rune("[]{},\n \"\\")))))
		v := shape{list.Draw(t, "words"), rapid.SliceOf(rapid.Float64()).Draw(t, "numbers"),
			rapid.SliceOf(rapid.MapOf(rapid.String(), list)).Draw(t, "deep")}
		want, err := json.Marshal(v)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, printJSON(&b, v))
		require.JSONEq(t, string(want), b.String())
		if len(v.Numbers) > 0 {
			require.Regexp(t, `(?m)^  "Numbers": \[.*\],$`, b.String())
		}
	})
}
