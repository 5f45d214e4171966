package precert_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/precert"
)

func procedures(t testing.TB) []precert.Procedure {
	all, err := precert.Procedures()
	require.NoError(t, err)
	return all
}

func procedure(t testing.TB, id string) precert.Procedure {
	for _, p := range procedures(t) {
		if p.ID == id {
			return p
		}
	}
	t.Fatalf("no procedure %s", id)
	return precert.Procedure{}
}

// Each procedure that ships can be practised: a joint of the bank lies within it, and
// so does that joint's own good answer.
func TestEveryProcedureCanBeWelded(t *testing.T) {
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	all := procedures(t)
	assert.GreaterOrEqual(t, len(all), 15)
	metals := map[weld.Family]bool{}
	for _, p := range all {
		fits := 0
		for _, s := range bank {
			if len(precert.Worst(p.Check(s.Task, s.Model, weld.Metric))) == 0 {
				fits++
			}
		}
		assert.Positive(t, fits, "%s: no joint of the bank is welded within it", p.ID)
		for _, m := range p.Metals {
			metals[m.Family()] = true
		}
	}
	assert.Len(t, metals, 3, "steel, stainless, aluminium")
}

func TestCheck(t *testing.T) {
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	joint, err := scenarios.Find(bank, "B-03")
	require.NoError(t, err)
	p := procedure(t, "PN-01")
	for _, c := range []struct {
		key, value string
		variable   string
		want       precert.Result
	}{
		{"amps", "110 A", "amps", precert.Outside},
		{"travel", "60 mm/min", "travel", precert.Outside},
		{"purge_oxygen", "500 ppm", "oxygen left in the purge", precert.Outside},
		{"lens", "no", "gas lens", precert.Outside},
		{"filler", "ER316L", "filler class", precert.NewOne},
		{"filler", "none", "filler class", precert.NewOne},
		{"gas", "Ar-5H2", "gas", precert.NewOne},
		{"back", "open air", "back of the joint", precert.NewOne},
		{"polarity", "AC", "current type", precert.NewOne},
	} {
		a := joint.Model
		f, ok := weld.FieldByKey(c.key)
		require.True(t, ok)
		if err := f.SetStrict(&a, c.value); err != nil {
			require.NoError(t, f.SetStrict(&a, f.Choices[len(f.Choices)-1]), c.key)
		}
		worst := precert.Worst(p.Check(joint.Task, a, weld.Metric))
		require.NotEmpty(t, worst, c.key)
		assert.Equal(t, c.variable, worst[0].Variable)
		assert.Equal(t, c.want, worst[0].Result)
	}
	task := joint.Task
	task.A.Thickness, task.B.Thickness = 3*weld.Millimetre, 3*weld.Millimetre
	worst := precert.Worst(p.Check(task, joint.Model, weld.Imperial))
	require.Len(t, worst, 1, "two equal members are one line")
	assert.Equal(t, precert.NewOne, worst[0].Result)
	assert.Contains(t, worst[0].May, "in")
	task = joint.Task
	task.Position = weld.PF
	assert.Equal(t, precert.Outside, precert.Worst(p.Check(task, joint.Model, weld.Metric))[0].Result)
}

const bad = `title: x
joints: [square but]
positions: [PA]
metals: [carbon steel]
thickness: {from: 3 mm, to: 1 mm}
diameter: {to: 50 mm}
part: {to: 150}
settings:
  amps: {from: 90 A}
  filler: [ER70]
  rods: 3
`

func TestABadProcedureIsToldWhole(t *testing.T) {
	_, err := precert.ParseProcedure("x.yaml", []byte(bad))
	require.Error(t, err)
	for _, want := range []string{
		"x.yaml:2: joints", "x.yaml:5: thickness: 3 mm is more than 1 mm", "x.yaml:6: diameter: none of the joints is a tube",
		"technique", "settings.amps.to", "settings.filler", `no key "rods"`, "settings.travel",
	} {
		assert.Contains(t, err.Error(), want)
	}
}

func FuzzParseProcedure(f *testing.F) {
	f.Add(bad)
	f.Add("settings: {amps: [1], cup: {from: 3}}\njoints: []")
	f.Fuzz(func(t *testing.T, s string) {
		p, err := precert.ParseProcedure("x.yaml", []byte(s))
		if err == nil {
			p.Check(weld.Task{}, weld.Defaults(), weld.Metric)
		}
	})
}
