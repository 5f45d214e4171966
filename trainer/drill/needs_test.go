package drill

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"puddlewise/scenarios"
)

func TestNeeds(t *testing.T) {
	joints := []scenarios.Scenario{
		{ID: "A", Skills: []string{"choosing amps"}}, {ID: "B", Skills: []string{"choosing amps", "dabbing on a gap"}}, {ID: "C", Skills: []string{"cleaning"}},
	}
	ann, bo := made("Ann", "+--"), made("Bo", "++ ")
	ann.Attempts[1].Findings = []string{"keyhole"}
	ann.Attempts[2].Findings = []string{"dirty_metal"}
	ann.Attempts = append(ann.Attempts, ann.Attempts[1])
	got := NewNeeds([]Checked{bo, ann}, joints)
	assert.Equal(t, []string{"choosing amps", "dabbing on a gap", "cleaning"}, got.Skills)
	assert.Equal(t, Need{"Ann", []SkillMark{{1, 2}, {0, 1}, {0, 1}}, []string{"dabbing on a gap", "cleaning"}}, got.Learners[0])
	assert.Equal(t, []SkillMark{{2, 2}, {1, 1}, {0, 0}}, got.Learners[1].Marks)
	assert.Empty(t, got.Learners[1].Next)
	assert.Empty(t, NewNeeds([]Checked{ann}, nil).Skills, "a bank without the joints")
}
