package apprentice

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"puddlewise/scenarios"
)

// What the estimate and the choice of joints are worth, on apprentices whose skills are known.
func TestChosenOrderIsWorthIt(t *testing.T) {
	if raced {
		t.Skip("no two things run at once here")
	}
	for name, even := range map[string]bool{"as people learn": false, "as much from every joint": true} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := Measure(Bank(150), 120, even)
			t.Logf("%+v", r)
			assert.LessOrEqual(t, r.ToWeakest, r.ToWeakestRandom/2, "coupons until the three weakest are named")
			assert.Less(t, r.CalibrationError, 0.05, "estimated against true chances")
			assert.Less(t, r.WorstBand, 0.06, "the same, in the worst band of ten")
			assert.Greater(t, r.Gain, 1.2*r.GainRandom, "skill gained against joints at random")
			assert.Greater(t, r.Gain, 1.2*r.GainFixed, "skill gained against joints by level")
			assert.Greater(t, r.Late.Accepted, r.All.Accepted, "more comes out right in the second half")
			assert.InDelta(t, 0.70, r.Late.Accepted, 0.03, "once the learner is known, at the low end of 70 to 85 %")
			assert.InDelta(t, 0.84, r.All.Right, 0.03, "of the skills exercised")
		})
	}
}

// Everything is drawn from fixed seeds.
func TestTheSameSeedsMeasureTheSame(t *testing.T) {
	assert.Equal(t, Measure(Bank(30), 2, false), Measure(Bank(30), 2, false))
}

func TestMadeUpBankPractisesEverySkill(t *testing.T) {
	seen := map[string]bool{}
	for _, sc := range Bank(150) {
		for _, s := range sc.Skills {
			seen[s] = true
		}
	}
	for _, s := range scenarios.Skills {
		assert.True(t, seen[s], s)
		assert.NotEmpty(t, rulesOf[s], "no finding tells of %s", s)
	}
}
