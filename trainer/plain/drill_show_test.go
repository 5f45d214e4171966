package plain

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestTheClockSpeaksAtRoundTimes(t *testing.T) {
	from := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	c := newClock("left", 150*time.Second, from)
	var said []string
	for s := range 200 {
		if text := c.speaks(from.Add(time.Duration(s) * time.Second)); text != "" {
			said = append(said, text)
		}
	}
	assert.Equal(t, []string{
		"2 min 30 s left.", "2 min 0 s left.", "1 min 0 s left.", "30 s left.", "10 s left.", "The time is up: no time left.",
	}, said)
	c = newClock("left", time.Minute, from)
	c.later(time.Hour)
	assert.Equal(t, "30 s left.", c.speaks(from.Add(time.Hour+30*time.Second)), "it stood still for an hour")
	assert.Empty(t, newClock("left", 0, from).speaks(from), "no limit says nothing")
}
