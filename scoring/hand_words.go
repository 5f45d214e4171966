package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/weld"
)

// Words says each change in the units of s, with when and where it begins.
func (r HandRescue) Words(s weld.System) []string {
	var out []string
	for _, c := range r.Changes {
		out = append(out, c.Words(s))
	}
	return out
}

// Words says the change in the units of s: "pedal 8 A lower from 14.2 s on, 38 mm along:
// 52 A in place of 60 A".
func (c HandChange) Words(s weld.System) string {
	long := func(v float64) string { return weld.Length(math.Round(float64(v*1e4)) / 1e4).Show(s) }
	way := func(more, less string) string {
		if c.Now > c.Was {
			return more
		}
		return less
	}
	switch c.Move {
	case HandPedal:
		show := func(v float64) string { return weld.Current(v).Show(s) }
		return fmt.Sprintf("pedal %s %s %s: %s in place of %s", show(math.Abs(c.Now-c.Was)), way("higher", "lower"), c.where(long), show(c.Now), show(c.Was))
	case HandBackOff:
		return fmt.Sprintf("let the pedal come down bit by bit: to %s at the end in place of %s", weld.Current(c.Now).Show(s), weld.Current(c.Was).Show(s))
	case HandTravel:
		show := func(v float64) string {
			if s == weld.Metric {
				v = float64(math.Round(weld.Speed(v).MMPerMin()) * float64(weld.MillimetrePerMin))
			}
			return weld.Speed(v).Show(s)
		}
		each := ""
		if c.Tap > 0 {
			each = fmt.Sprintf(", a tap every %.2f s", float64(c.Tap)/c.Now)
		}
		return fmt.Sprintf("taps %s %s: %s in place of %s", way("quicker", "slower"), c.where(long), show(c.Now), show(c.Was)) + each
	case HandStand:
		return fmt.Sprintf("move on after %s at %s, %s along, where you stood %s", seconds(c.Now), seconds(c.Second), long(float64(c.From)), seconds(c.Was))
	case HandWait:
		return fmt.Sprintf("wait %s before the first tap: %s in place of %s", way("longer", "shorter"), seconds(c.Now), seconds(c.Was))
	case HandDab:
		if c.Was == 0 {
			return fmt.Sprintf("dab %s: every %s in place of not at all", c.where(long), long(c.Now))
		}
		return fmt.Sprintf("dab %s %s: every %s in place of %s", way("less often", "more often"), c.where(long), long(c.Now), long(c.Was))
	case HandOneDab:
		return fmt.Sprintf("one more dab at %s, %s along", seconds(c.Second), long(float64(c.From)))
	case HandArc:
		return fmt.Sprintf("arc %s: %s in place of %s", way("longer", "shorter"), long(c.Now), long(c.Was))
	case HandRod:
		return fmt.Sprintf("rod's tip nearer: drawn back %s in place of %s", long(c.Now), long(c.Was))
	case HandFree:
		return "free the rod where it froze to the sheet: pull it back a little before the next dab"
	case HandAim:
		return fmt.Sprintf("aim %s onto the base: %s in place of %s", way("further", "less"), weld.Length(c.Now).Show(s), weld.Length(c.Was).Show(s))
	case HandEase:
		return fmt.Sprintf("ease out %s at the end: over %s in place of %s", way("longer", "shorter"), seconds(c.Now), seconds(c.Was))
	case HandOn:
		return fmt.Sprintf("weld on to the end of the seam, %s, in place of %s", long(c.Now), long(c.Was))
	}
	return string(c.Move)
}

// where says over which part of the seam a change holds.
func (c HandChange) where(long func(float64) string) string {
	from, place, to := "from "+seconds(c.Second), long(float64(c.From))+" along", long(float64(c.To))
	switch {
	case c.From == 0 && c.To == 0:
		return "all along"
	case c.To == 0:
		return from + " on, " + place
	case c.From == 0:
		return "up to " + to + " along"
	}
	return from + ", " + place + ", to " + to
}
