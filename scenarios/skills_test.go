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
