package arc

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
)

var update = flag.Bool("update", false, "write the replay's coupon as it is now")

func joint(t testing.TB, id string) scenarios.Scenario {
	t.Helper()
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	for _, sc := range bank {
		if sc.ID == id {
			return sc
		}
	}
	require.Fail(t, "no such joint", id)
	return scenarios.Scenario{}
}

// A hand gives the finding that its way of welding must give.
func TestHandsFind(t *testing.T) {
	for _, c := range []struct {
		joint   string
		happens int64
		hand    string
		finding string
		sign    string
	}{
		{"B-04", 0, "good", "", ""},
		{"B-01", 0, "hasty", "no_penetration", ""},
		{"B-01", 0, "timid", "no_penetration", ""},
		{"B-01", 0, "never-backs-off", "collapse", ""},
		{"B-04", 0, "forgets-the-gap", "keyhole", ""},
		{"T-01", 0, "good", "", ""},
		{"T-01", 0, "timid", "root_not_fused", ""},
		{"T-01", 0, "never-backs-off", "far_side_melted", ""},
		{"P-01", 0, "too-close", "short_arc", "tungsten_dip"},
		{"B-01", 0, "late", "no_penetration", "rod_fast"},
		{"E-01", 2, "good", "draught", "arc_flutters"},
		{"E-01", 2, "watchful", "", "arc_flutters"},
		{"L-01", 1, "good", "root_not_fused", "tungsten_dip"},
		{"L-01", 1, "watchful", "", ""},
	} {
		if raced && c.hand != "hasty" {
			continue
		}
		sc := joint(t, c.joint).Befall(c.happens)
		run, ok := Scripted(sc, c.hand)
		require.True(t, ok)
		var file bytes.Buffer
		require.NoError(t, run.Write(&file))
		again, err := Read(&file, "run.json")
		require.NoError(t, err)
		assert.Equal(t, run, again, "a file holds all of a run")
		small, err := run.Pack()
		require.NoError(t, err)
		again, err = Unpack(small)
		require.NoError(t, err)
		assert.Equal(t, run, again, "and so does what is packed")
		got, err := again.Judge(sc)
		require.NoError(t, err)
		if c.sign != "" {
			assert.True(t, slices.ContainsFunc(got.Verdict.Signs, func(s scoring.Sign) bool { return s.ID == c.sign }), "%s %s: %v", c.joint, c.hand, got.Verdict.Signs)
		}
		if c.finding == "" {
			assert.Equal(t, scoring.Accept, got.Verdict.Outcome, "%s %s: %s", c.joint, c.hand, got.Verdict.Reason)
			continue
		}
		require.NotEmpty(t, got.Verdict.Findings, "%s %s", c.joint, c.hand)
		if c.joint == "P-01" { // tungsten all along the bead
			assert.Equal(t, scoring.Reject, got.Verdict.Outcome)
		}
		assert.Equal(t, c.finding, got.Verdict.Findings[0].Rule, "%s %s: %s", c.joint, c.hand, got.Verdict.Reason)
	}
}

func TestReadRefuses(t *testing.T) {
	sc := joint(t, "B-01")
	good := newRun(sc, sc.Model)
	good.Steps = 10
	good.Inputs = []puddle.Input{{Step: 0, Do: puddle.Arc, Value: 1}, {Step: 4, Do: puddle.Dab}}
	var file bytes.Buffer
	require.NoError(t, good.Write(&file))
	for _, c := range []struct{ name, from, to, says string }{
		{"format", `"format": 1`, `"format": 2`, "format: 2 is not known"},
		{"field", `"seed"`, `"sead"`, "unknown field"},
		{"kind", `"steps": 10`, `"steps": "ten"`, "run.json:"},
		{"steps", `"steps": 10`, `"steps": 0`, "steps: 0 cannot be"},
		{"deed", `"do":"dab"`, `"do":"dob"`, "input 2: do cannot be"},
		{"value", `"arc","value":1`, `"arc","value":0.5`, "input 1: arc cannot be 0.5"},
		{"order", `"step":0`, `"step":7`, "input 2: step 4 is out of order"},
		{"beyond", `"step":4`, `"step":10`, "input 2: step 10 is out of order"},
		{"answer", `"amps": "52 A"`, `"amps": "many"`, "answer: amps"},
		{"missing", `"amps": "52 A",`, ``, "answer: amps is missing"},
		{"slow", `"steps": 10`, `"slow": 3, "steps": 10`, "slow: 3 cannot be"},
		{"rest", "]\n}\n", "]\n}\n{}", "something stands after the run"},
		{"cut", "]\n}\n", "", "the file ends too early"},
	} {
		text := strings.Replace(file.String(), c.from, c.to, 1)
		require.NotEqual(t, file.String(), text, c.name)
		_, err := Read(strings.NewReader(text), "run.json")
		if assert.Error(t, err, c.name) {
			assert.Contains(t, err.Error(), c.says, c.name)
			assert.Contains(t, err.Error(), "\n", "%s: a hint", c.name)
		}
	}
}

// A kept run welds the same coupon on every machine, to the last bit. .ci/arm.sh has the second one welded on other processors.
func TestReplayIsTheSame(t *testing.T) {
	if raced {
		t.Skip("one goroutine")
	}
	for _, name := range []string{"hasty", "happens"} {
		replays(t, "testdata/"+name)
	}
}

func replays(t *testing.T, name string) {
	file, err := os.Open(name + ".json")
	require.NoError(t, err)
	defer file.Close()
	run, err := Read(file, name+".json")
	require.NoError(t, err)
	got, err := run.Judge(joint(t, run.Scenario).Befall(run.Happens))
	require.NoError(t, err)
	text := fmt.Sprintf("%+v\n%+v\n%v\n", got.Verdict.Scores, got.Verdict.Coupon.Stations, got.Dabs)
	if *update {
		require.NoError(t, os.WriteFile(name+".txt", []byte(text), 0o644))
	}
	want, err := os.ReadFile(name + ".txt")
	require.NoError(t, err)
	assert.Equal(t, string(want), text)
}

func TestUnpackRefuses(t *testing.T) {
	good := newRun(joint(t, "B-01"), joint(t, "B-01").Model)
	good.Steps, good.Slow = 10, 2
	good.Inputs = []puddle.Input{{Step: 0, Do: puddle.Arc, Value: 1}, {Step: 4, Do: puddle.Move, Value: 0.5}, {Step: 4, Do: puddle.Dab}}
	text, err := good.Pack()
	require.NoError(t, err)
	require.Contains(t, string(text), `"inputs":"0arc1 4move0.5 0dab"`)
	for _, c := range []struct{ from, to, says string }{
		{"0arc1", "0arc2", "input 1: arc cannot be 2"},
		{"4move", "4mope", "input 2: do cannot be"},
		{"4move0.5 0", "9move0.5 1", "input 3: step 10 is out of order"},
		{"0dab", "0dab0", "not written as they are packed"},
		{"0dab", "-1dab", `input 3: "-1dab" cannot be`},
		{"0dab", "1dab1e999", `input 3: "1dab1e999" cannot be`},
		{"0dab", "99999999999999999999dab", "cannot be"},
		{" 4move", "  4move", "not written as they are packed"},
		{`"0arc1 4move0.5 0dab"`, `[]`, "inputs cannot be a array"},
		{`"slow":2`, `"slow":1`, "slow: 1 cannot be"},
		{`"slow":2`, `"speed":2`, "unknown field"},
		{`0dab"}`, `0dab"} {}`, "something stands after the run"},
		{"0dab", strings.Repeat("0dab ", mostInputs), "at most 2000"},
	} {
		bad := strings.Replace(string(text), c.from, c.to, 1)
		_, err := Unpack([]byte(bad))
		assert.ErrorContains(t, err, c.says, c.to)
	}
}

func TestOtherJointIsRefused(t *testing.T) {
	sc := joint(t, "B-01")
	run := newRun(sc, sc.Model)
	sc.Revision++
	_, err := run.Judge(sc)
	assert.ErrorContains(t, err, "revision")
}

// A run is scored with what happened in it, and with nothing else.
func TestWhatHappenedIsHeld(t *testing.T) {
	sc := joint(t, "B-01")
	run := newRun(sc.Befall(1), sc.Model)
	run.Steps, run.Inputs = 10, []puddle.Input{}
	require.Equal(t, []string{"draught of 1.1 m/s from 20 mm on for 2 s", "dirty spot of 4 s from 45 mm over 4 mm"}, run.Drawn)
	var file bytes.Buffer
	require.NoError(t, run.Write(&file))
	again, err := Read(bytes.NewReader(file.Bytes()), "run.json")
	require.NoError(t, err)
	require.Equal(t, run, again)
	for _, other := range []scenarios.Scenario{sc, sc.Befall(2)} {
		_, err = run.Judge(other)
		assert.ErrorContains(t, err, "is not what seed 1 draws on this joint")
	}
	_, err = run.Judge(sc.Befall(1))
	assert.ErrorIs(t, err, puddle.ErrUnlit, "it fits")
	for _, c := range []struct{ from, to, says string }{
		{"draught of 1.1 m/s", "draught of 0.1 m/s", ""},
		{`"happens": 1,`, ``, "happens: the seed and what was drawn go together"},
		{`"happens": 1,`, `"happens": 0,`, "happens: the seed and what was drawn go together"},
	} {
		require.Contains(t, file.String(), c.from)
		got, err := Read(strings.NewReader(strings.Replace(file.String(), c.from, c.to, 1)), "run.json")
		if c.says != "" {
			assert.ErrorContains(t, err, c.says)
			continue
		}
		require.NoError(t, err)
		_, err = got.Judge(sc.Befall(got.Happens))
		assert.ErrorContains(t, err, "drawn: what happened in the run, draught of 0.1 m/s")
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(`{"format":1,"scenario":"B-01","steps":3,"inputs":[{"step":0,"do":"arc","value":1}]}`))
	f.Add([]byte(`[`))
	f.Fuzz(func(t *testing.T, data []byte) {
		if run, err := Read(bytes.NewReader(data), "run.json"); err == nil {
			var b bytes.Buffer
			require.NoError(t, run.Write(&b))
			again, err := Read(&b, "run.json")
			require.NoError(t, err)
			assert.Equal(t, run.Inputs, again.Inputs)
			small, err := run.Pack()
			require.NoError(t, err)
			again, err = Unpack(small)
			require.NoError(t, err)
			assert.Equal(t, run.Inputs, again.Inputs)
		}
	})
}

func FuzzUnpack(f *testing.F) {
	run := newRun(joint(f, "B-01"), joint(f, "B-01").Model)
	run.Steps, run.Inputs = 30, []puddle.Input{{Do: puddle.Arc, Value: 1}, {Step: 25, Do: puddle.Move, Value: 0.5}, {Step: 25, Do: puddle.Dab}}
	small, err := run.Pack()
	require.NoError(f, err)
	f.Add(small)
	f.Fuzz(func(t *testing.T, data []byte) {
		if run, err := Unpack(data); err == nil {
			small, err := run.Pack()
			require.NoError(t, err)
			again, err := Unpack(small)
			require.NoError(t, err)
			assert.Equal(t, run, again)
		}
	})
}
