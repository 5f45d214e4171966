package drill

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTalks(t *testing.T) {
	c := newClass(t, "tries: 2\nvariations: same\n")
	for _, n := range []string{"Ann", "Bo", "Cy"} {
		r, _, err := c.open(n)
		require.NoError(t, err)
		if n != "Ann" {
			c.weld(r, 30)
		}
		c.weld(r, 55)
	}
	all := c.handIn("Ann", "Bo", "Cy")
	all[2].Attempts[0].Task.A.Thickness *= 2 // another variation
	talks := Talks(all)
	require.Len(t, talks, 1)
	got := talks[0]
	assert.Equal(t, "no_penetration", got.Finding)
	assert.Len(t, got.Answers, 2)
	assert.Equal(t, []string{"amps"}, got.Set)
	assert.Equal(t, 1, got.Others)
	assert.NotZero(t, got.Seed)
	assert.Equal(t, "Bo", got.Worst.Learner)
	assert.False(t, got.Worst.Passed)
	assert.Equal(t, "Ann", got.Best.Learner)
	assert.Nil(t, Talks(c.handIn("Ann"))[0].Best, "one coupon is nobody's best")
}
