package weld

import (
	"fmt"
	"strconv"
)

// Event is a kind of thing that happens while a weld is made.
type Event string

// Events. How much there is of one is in SI units.
const (
	GustComes  Event = "draught"     // so much air more across the joint, m/s, for a time from when the torch gets there
	GapOpens   Event = "gap opens"   // so much more gap over a stretch, m
	DirtySpot  Event = "dirty spot"  // a stretch that a pool has to stand on for so long, s, until the oxide has swum out
	SheetLifts Event = "sheet lifts" // a stretch stands so much nearer to the tungsten, m
)

// Events lists them in the order they are told.
var Events = []Event{GustComes, GapOpens, DirtySpot, SheetLifts}

// Happening is one thing that happens in a live run.
type Happening struct {
	What  Event
	At    Length   // where it begins, from the seam's start
	Over  Length   // along the seam; 0 for a draught
	Lasts Duration // of a draught
	Much  float64
}

// MostHappenings is how many things may happen in one run.
const MostHappenings = 4

// Happenings are the things that happen in a run; the first without a kind ends them.
// An array, so that tasks can be compared.
type Happenings [MostHappenings]Happening

// String tells a happening exactly.
func (h Happening) String() string {
	switch h.What {
	case GustComes:
		return fmt.Sprintf("%s of %s m/s from %s on for %s", h.What, strconv.FormatFloat(h.Much, 'f', -1, 64), h.At, h.Lasts)
	case DirtySpot:
		return fmt.Sprintf("%s of %s from %s over %s", h.What, Duration(h.Much), h.At, h.Over)
	}
	return fmt.Sprintf("%s by %s from %s over %s", h.What, Length(h.Much), h.At, h.Over)
}

// Share gives how much of a happening there is at a place, 0 to 1: it comes and goes over
// 3 mm, or half of it where it is shorter. A draught's goes by time and not by place.
func (h Happening) Share(x Length) float64 {
	edge := min(3*Millimetre, h.Over/2)
	if h.Over <= 0 || x <= h.At || x >= h.At+h.Over {
		return 0
	}
	return min(1, float64((x-h.At)/edge), float64((h.At+h.Over-x)/edge))
}
