package scenarios_test

import (
	"testing"

	"puddlewise/scenarios"
	"puddlewise/scoring"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is welded of the bank is welded by puddlewise bank --audit, a step of .ci/run.

func bank(t *testing.T) []scenarios.Scenario {
	t.Helper()
	all, err := scenarios.Bank()
	require.NoError(t, err)
	return all
}

// Every joint of the bank has all that one can have.
func TestBankIsComplete(t *testing.T) {
	for _, s := range bank(t) {
		assert.GreaterOrEqual(t, len(s.Mistakes), 3, s.ID)
		for _, m := range s.Mistakes {
			assert.Contains(t, scoring.RuleIDs(), m.Finding, s.ID)
		}
		for what, text := range map[string]string{"bench": s.Bench, "access": s.Access, "why": s.ModelWhy,
			"look": s.Coaching.Look, "coaching why": s.Coaching.Why, "try": s.Coaching.Try} {
			assert.NotEmpty(t, text, "%s: %s", s.ID, what)
		}
		if s.Level <= 2 {
			assert.GreaterOrEqual(t, len(s.Ask), 3, s.ID)
			assert.LessOrEqual(t, len(s.Ask), 5, s.ID)
		}
	}
}

// The bank covers the ground a shop covers.
func TestBankCovers(t *testing.T) {
	c := scenarios.Cover(bank(t))
	assert.GreaterOrEqual(t, c.Joints, 150)
	for _, row := range c.Positions {
		for _, n := range row.Counts {
			assert.NotZero(t, n.Joints, "no %s in %s", row.Name, n.Name)
		}
	}
	for _, row := range c.Metals {
		assert.GreaterOrEqual(t, row.Kinds, 3, "walls of %s", row.Name)
	}
	for what, counts := range map[string][]scenarios.Count{"gap": c.Gaps, "level": c.Levels, "skill": c.Skills, "topic": c.Topics} {
		for _, n := range counts {
			assert.Positive(t, n.Joints, "%s: %s", what, n.Name)
		}
	}
}

// What is counted is in the file, and nowhere twice.
func TestCoverCounts(t *testing.T) {
	butt, err := scenarios.Loader{}.Parse("A.yaml", []byte(`
title: Strip
level: 2
skills: [cleaning]
topics: [cap pass]
job: A strip.
joint: {kind: square butt, position: PG, a: {metal: 304, thickness: 1 mm}, b: {thickness: 2.5 mm}, gap: {start: 0 mm, end: 0.9 mm}, seam: 30 mm, surface: oily}
ask: [amps]
model: {amps: 40 A, why: So.}
`))
	require.NoError(t, err)
	c := scenarios.Cover([]scenarios.Scenario{butt})
	count := func(counts []scenarios.Count) map[string]int {
		out := map[string]int{}
		for _, n := range counts {
			if n.Joints > 0 {
				out[n.Name] = n.Joints
			}
		}
		return out
	}
	assert.Equal(t, map[string]int{"PG": 1}, count(c.Positions[0].Counts))
	assert.Empty(t, count(c.Positions[1].Counts))
	assert.Equal(t, map[string]int{"1 to 1.4": 1, "2 to 2.9": 1}, count(c.Metals[2].Counts))
	assert.Equal(t, 2, c.Metals[2].Kinds)
	assert.Equal(t, map[string]int{"more": 1}, count(c.Gaps))
	assert.Equal(t, map[string]int{"2": 1}, count(c.Levels))
	assert.Equal(t, map[string]int{"cleaning": 1}, count(c.Skills))
	assert.Equal(t, map[string]int{"cap pass": 1, "walls that differ": 1, "one wall twice the other": 1, "gap that widens": 1,
		"downhill": 1, "dirty stock": 1}, count(c.Topics))
	again, err := butt.YAML()
	require.NoError(t, err)
	assert.Contains(t, string(again), "topics: [cap pass]")
}
