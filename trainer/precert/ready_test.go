package precert_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/learner/apprentice"
	"puddlewise/trainer/precert"
	"puddlewise/trainer/session"
)

// The chance of passing is right within 5 points for apprentices whose skills are known:
// after few coupons and after many, and among those told alike.
func TestReadinessIsCalibrated(t *testing.T) {
	if raced {
		t.Skip("no two things run at once here")
	}
	joints := bank(t)
	pieces, err := precert.Pieces()
	require.NoError(t, err)
	tests := map[string][]scenarios.Scenario{}
	world := slices.Clone(joints)
	for _, p := range pieces {
		runs, err := p.Joints(joints)
		require.NoError(t, err)
		for _, r := range runs {
			tests[p.ID] = append(tests[p.ID], r.Scenario)
			if !slices.ContainsFunc(world, func(sc scenarios.Scenario) bool { return sc.ID == r.Scenario.ID }) {
				world = append(world, r.Scenario)
			}
		}
	}
	start := time.Date(2026, 1, 5, 17, 0, 0, 0, time.UTC)
	type band struct{ n, said, is float64 }
	var bands [5]band
	inside, all := 0.0, 0.0
	apprentices := 60
	for seed := range uint64(apprentices) {
		a := apprentice.New(world, 9000+seed, start, false)
		rng := rand.New(rand.NewPCG(seed, 3))
		e := learner.New(joints)
		now := start
		for k, coupons := 0, []int{5, 40, 120, 250}[seed%4]; k < coupons; k++ {
			now = start.Add(time.Duration(k/8) * 48 * time.Hour).Add(time.Duration(k%8) * 6 * time.Minute)
			b, _ := a.Weld(joints[rng.IntN(len(joints))], now)
			e.Add(b)
		}
		for _, p := range pieces {
			said, is := e.Together(tests[p.ID], now), 1.0
			for _, sc := range tests[p.ID] {
				is *= a.Chance(sc, now)
			}
			b := &bands[min(4, int(said.Chance*5))]
			b.n, b.said, b.is = b.n+1, b.said+said.Chance, b.is+is
			all++
			if is >= said.Low && is <= said.High {
				inside++
			}
		}
	}
	off := 0.0
	for i, b := range bands {
		t.Logf("said %d to %d %%: %.0f tests, said %.3f, is %.3f", i*20, i*20+20, b.n, b.said/b.n, b.is/b.n)
		off += math.Abs(b.said-b.is) / all
		if b.n >= all/10 {
			assert.InDelta(t, b.said/b.n, b.is/b.n, 0.05)
		}
	}
	t.Logf("off by %.3f, inside %.2f", off, inside/all)
	assert.Less(t, off, 0.05)
	assert.InDelta(t, 0.75, inside/all, 0.05, "three times in four")
}

// What the record shows is what is said: the finding, the skill, and joints that practise it.
func TestReadyNamesWhatIsWeak(t *testing.T) {
	joints := bank(t)
	p := piece(t, "TN-01")
	now := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	e := learner.New(joints)
	fresh, err := p.Ready(e, nil, joints, now)
	require.NoError(t, err)
	assert.Zero(t, fresh.Seen)
	assert.Greater(t, fresh.High-fresh.Low, 0.2, "little is known")
	var past []session.Brief
	for k := range 24 {
		b := session.Brief{At: now.Add(time.Duration(k-24) * 2 * time.Hour), Scenario: []string{"B-03", "B-10", "P-05"}[k%3], Outcome: scoring.Accept, Scores: scoring.Scores{BurnThrough: 90, LackOfFusion: 90, Oxide: 90}}
		if k%3 != 1 {
			b.Outcome, b.Finding, b.Scores.Oxide = scoring.Reject, "back_air", 5
			b.Told = []session.Told{{Rule: "back_air", Severity: scoring.Defect}}
		}
		e.Add(b)
		past = append(past, b)
	}
	r, err := p.Ready(e, past, joints, now)
	require.NoError(t, err)
	assert.Equal(t, "back_air", r.Finding)
	assert.Equal(t, "purging a root", r.Weakest)
	good := learner.New(joints)
	for _, b := range past {
		b.Outcome, b.Finding, b.Scores.Oxide, b.Told = scoring.Accept, "", 90, nil
		good.Add(b)
	}
	better, err := p.Ready(good, nil, joints, now)
	require.NoError(t, err)
	assert.Less(t, r.Chance, better.Chance-0.2)
	assert.True(t, r.Low <= r.Chance && r.Chance <= r.High)
	require.Len(t, r.Practise, 3)
	assert.Contains(t, r.Practise[0].Skills, "purging a root")
	again, err := p.Ready(e, past, joints, now)
	require.NoError(t, err)
	assert.Equal(t, r, again, "the same record says the same")
}
