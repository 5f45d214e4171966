package arc

import (
	"math"

	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
)

// watch is what a watchful hand makes of the signs. How it answers each is common
// practice; the numbers are a hand's, no source.
type watch struct {
	usual map[string]float64 // signs at the start, which are the joint's own
	wide  float64            // of the pool before it was let shrink, m; 0 when it was not
	hold  bool               // stands still and gives no rod
	pedal float64            // share of what it would be
	dab   bool               // at once
	arc   float64            // mm longer than set
}

const (
	watchEvery = 3   // steps between two looks
	clearly    = 0.2 // how much stronger than at the start a sign has to be
)

// look takes in what is to be seen, and answers it.
func (w *watch) look(t *Torch) {
	p := t.Pool()
	now := map[string]float64{}
	for _, s := range scoring.PoolSigns(t.task, t.set, p) {
		now[s.ID] = s.Strength
	}
	if w.usual == nil {
		w.usual = now
	}
	more := func(id string) bool { return now[id] > w.usual[id]+clearly }
	before := w.hold
	w.hold, w.pedal, w.dab = true, 1, false
	switch {
	case more("arc_flutters"): // next to no pool until the air is still
		w.pedal = 0.1
	case p.Width > 0 && more("pool_sluggish"): // a small one until it is clear
		w.pedal = 0.6
	case w.wide > 0 && p.Width < 0.9*w.wide: // until it is as it was
	default:
		w.hold, w.wide = false, 0
		w.dab = now["keyhole"] > 0.4
	}
	if w.hold && !before {
		w.wide = p.Width
	}
	switch {
	case now["arc_short"] > clearly:
		w.arc = math.Min(w.arc+0.25, 2)
	case w.arc > 0 && p.Arc > float64(t.set.ArcLength)+0.2e-3:
		w.arc -= 0.25
	default:
		return
	}
	_ = t.Do(puddle.ArcLength, t.set.ArcLength.MM()+w.arc) // what cannot be, a hand lets be
}
