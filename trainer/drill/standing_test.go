package drill

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// While a class is at it the table says who is where, and who may need somebody.
func TestWhoIsStuck(t *testing.T) {
	c := newClass(t, "tries: 3\n")
	begin := c.now
	sitting := func(name string, at func(r *Run)) {
		c.now = begin
		r, _, err := c.open(name)
		require.NoError(t, err)
		_, _ = r.Next() // it is shown
		at(r)
	}
	after := func(min int) { c.now = c.now.Add(time.Duration(min) * time.Minute) }
	for i, n := range []string{"Ann", "Bo", "Cy"} { // through B-01 in 1, 2 and 3 minutes
		sitting(n, func(r *Run) {
			after(i + 1)
			c.weld(r, 55)
		})
	}
	sitting("Di", func(r *Run) { // closed for an hour in the middle, which is not hers
		after(1)
		c.weld(r, 30)
		require.NoError(t, r.Close())
		after(60)
		r, _, err := c.open("Di")
		require.NoError(t, err)
		after(2)
		require.NoError(t, r.Close())
	})
	sitting("Ed", func(r *Run) {
		after(5)
		require.NoError(t, r.Close())
	})
	sitting("Flo", func(r *Run) {
		c.weld(r, 30)
		c.weld(r, 30)
		after(1)
		require.NoError(t, r.Close())
	})
	sitting("Gil", func(r *Run) { // on to a joint that nobody is done with
		after(2)
		c.weld(r, 55)
		_, _ = r.Next()
		after(9)
		require.NoError(t, r.Close())
	})
	sitting("Hal", func(r *Run) {
		after(3)
		c.weld(r, 55)
		c.weld(r, 55)
		require.True(t, r.Over())
	})
	all := c.handIn("Ann", "Bo", "Cy", "Di", "Ed", "Flo", "Gil", "Hal")
	type row struct {
		joint   string
		nth     int
		tries   int
		minutes float64
		quiet   float64
		stuck   Stuck
	}
	got := map[string]row{}
	// B-01 took Ann, Bo, Cy, Gil and Hal 1, 2, 3, 2 and 3 minutes.
	for _, s := range NewStandings(all, &c.drill, begin.Add(11*time.Minute+30*time.Second)) {
		assert.Equal(t, 2, s.Of)
		assert.Equal(t, 3, s.Most)
		assert.Equal(t, s.Learner != "Gil" && s.Learner != "Di", s.Closed, s.Learner)
		got[s.Learner] = row{s.Joint, s.Nth, s.Tries, s.Here.Minutes(), s.Quiet.Minutes(), s.Stuck}
	}
	assert.Equal(t, map[string]row{
		"Ann": {"B-01", 1, 1, 1, 0, ""},
		"Bo":  {"B-01", 1, 1, 2, 0, ""},
		"Cy":  {"B-01", 1, 1, 3, 0, ""},
		"Di":  {"B-01", 1, 1, 3, 2, ""},
		"Ed":  {"B-01", 1, 0, 5, 5, Long},
		"Flo": {"B-01", 1, 2, 1, 1, LastTry},
		"Gil": {"B-02", 2, 0, 9, 9, NotIn},
	}, got)
}
