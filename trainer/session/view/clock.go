package view

import (
	"fmt"
	"time"
)

// Spell says a time in minutes and seconds; a time that is over is 0 s.
func Spell(d time.Duration) string {
	d = max(0, d.Round(time.Second))
	if d < time.Minute {
		return fmt.Sprintf("%d s", int(d.Seconds()))
	}
	return fmt.Sprintf("%d min %d s", int(d.Minutes()), int(d.Seconds())%60)
}
