package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A pool is called pointed while it is welded by the mark it is called so by on the
// coupon: of a run's moments the longest pool decides.
func TestAPoolIsPointedLiveAsOnTheCoupon(t *testing.T) {
	task, set := handJoint()
	strength := func(signs []Sign) float64 {
		for _, s := range signs {
			if s.ID == "pool_pointed" {
				return s.Strength
			}
		}
		return 0
	}
	for _, c := range []struct {
		hand aHand
		is   bool
	}{{goodHand, false}, {aHand{150, 300, 1.5, 25, 20}, true}} {
		run := c.hand.run()
		got, err := JudgeRun(task, set, run.inputs, run.steps)
		require.NoError(t, err)
		live := 0.0
		for _, p := range got.Line {
			live = max(live, strength(PoolSigns(task, set, p)))
		}
		assert.Equal(t, c.is, live > 0.2, "%v", live)
		assert.InDelta(t, strength(got.Verdict.Signs), live, 0.2, "a moment is looked at every fifth of a second: %v", float64(got.Verdict.Coupon.PoolLength))
	}
}
