package scenarios_test

import (
	"testing"

	"puddlewise/scenarios"

	"github.com/stretchr/testify/assert"
)

// What a skill builds on are skills, and no skill builds on itself, however far around.
func TestSkillsBuildOnSkills(t *testing.T) {
	for _, s := range scenarios.Skills {
		below, todo := map[string]bool{}, scenarios.Needs(s)
		for len(todo) > 0 {
			n := todo[0]
			assert.Contains(t, scenarios.Skills, n, s)
			assert.NotEqual(t, s, n, "%s builds on itself", s)
			todo = todo[1:]
			if !below[n] && n != s {
				below[n] = true
				todo = append(todo, scenarios.Needs(n)...)
			}
		}
	}
}

// The bank's order builds: what a joint's skills build on has come up before, or comes
// up in the same joint.
func TestBankBuilds(t *testing.T) {
	seen := map[string]bool{}
	level := 0
	for _, s := range bank(t) {
		assert.GreaterOrEqual(t, s.Level, level, s.ID)
		level = s.Level
		for _, skill := range s.Skills {
			seen[skill] = true
		}
		for _, skill := range s.Skills {
			for _, n := range scenarios.Needs(skill) {
				assert.True(t, seen[n], "%s: %s builds on %s, which no joint before it practises", s.ID, skill, n)
			}
		}
	}
}

// Every skill that a joint of level 1 practises, and every one that builds on nothing,
// has a joint of level 1 that is worked through.
func TestFirstSkillsAreWorkedThrough(t *testing.T) {
	first, worked := map[string]bool{}, map[string]bool{}
	for _, s := range bank(t) {
		for _, skill := range s.Skills {
			first[skill] = first[skill] || s.Level == 1
			worked[skill] = worked[skill] || s.Level == 1 && s.Worked != nil
		}
	}
	for _, skill := range scenarios.Skills {
		if first[skill] || scenarios.Needs(skill) == nil {
			assert.True(t, worked[skill], "no worked joint of level 1 practises %s", skill)
		}
	}
}
