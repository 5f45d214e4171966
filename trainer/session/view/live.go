package view

import (
	"fmt"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// LiveWords says of a coupon welded by hand that it was, and at which practice speed;
// empty for one welded by settings. live is session.Attempt.Live.
func LiveWords(live int) string {
	switch {
	case live == 0:
		return ""
	case live == 1:
		return "by hand"
	}
	return fmt.Sprintf("by hand, %s", SpeedWords(live))
}

// SpeedWords names a practice speed, so many times slower than real; empty for real time.
func SpeedWords(slow int) string {
	if slow < 2 {
		return ""
	}
	return fmt.Sprintf("practice speed 1/%d", slow)
}

// HandWords sums up what a hand did; the coupon is one welded live.
func HandWords(a session.Attempt, sys weld.System) string {
	return fmt.Sprintf("welded %s: %.1f s, travel %s in the mean, at most %s", LiveWords(a.Live()),
		float64(a.Run.Steps)*puddle.LiveStep, a.Answer.Travel.Show(sys), a.Answer.Amps.Show(sys))
}
