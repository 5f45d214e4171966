package view

import (
	"fmt"
	"strings"

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
	out := fmt.Sprintf("welded %s: %.1f s, travel %s in the mean, at most %s", LiveWords(a.Live()),
		float64(a.Run.Steps)*puddle.LiveStep, a.Answer.Travel.Show(sys), a.Answer.Amps.Show(sys))
	if words := HappenedWords(a.Task.Happens, sys); words != "" {
		out += "; what happened: " + words
	}
	return out
}

// HappenedWords tells what happened in a live run; empty for nothing.
func HappenedWords(happened weld.Happenings, sys weld.System) string {
	var out []string
	for _, h := range happened {
		at, over := h.At.Show(sys), h.Over.Show(sys)
		switch much := weld.Length(h.Much); h.What {
		case weld.GustComes:
			out = append(out, fmt.Sprintf("a draught of %s came up at %s and blew for %s", wind(h.Much, sys), at, h.Lasts.Show(sys)))
		case weld.GapOpens:
			out = append(out, fmt.Sprintf("the gap opened by %s more at %s, over %s", much.Show(sys), at, over))
		case weld.DirtySpot:
			out = append(out, fmt.Sprintf("%s of the joint were dirty at %s", over, at))
		case weld.SheetLifts:
			out = append(out, fmt.Sprintf("the sheet stood up by %s at %s, over %s", much.Show(sys), at, over))
		}
	}
	return strings.Join(out, "; ")
}
