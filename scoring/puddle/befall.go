package puddle

import (
	"math"

	"puddlewise/scoring/weld"
)

// What happens in a live run, and what of it the metal and the signs show. Left out: a
// gap that opens lets no more of the arc through before it is bridged, a dirty spot takes
// no heat, a draught cools nothing.
const (
	gustRises = 2.0    // s for a draught to come up, and to die down: so long it shows before it is whole. Assumed
	leastFace = 0.1e-3 // m: a tip nearer than this touches anyhow
)

// each gives the run's happenings of a kind.
func (l *Live) each(what weld.Event, f func(i int, h weld.Happening)) {
	for i, h := range l.task.Happens {
		if h.What == what {
			f(i, h)
		}
	}
}

// opened gives how much more gap there is at a place than the sheet says, m. Sheets that
// touch stay together.
func (l *Live) opened(at float64) float64 {
	sum := 0.0
	if l.task.Gap == 0 && l.task.GapEnd == 0 {
		return sum
	}
	l.each(weld.GapOpens, func(_ int, h weld.Happening) { sum += float64(h.Much * h.Share(weld.Length(at))) })
	return sum
}

// toFace gives the arc's length to the metal's face: as the hand holds it, less what the
// sheet stands up under it.
func (l *Live) toFace() weld.Length {
	arc := l.arc
	l.each(weld.SheetLifts, func(_ int, h weld.Happening) { arc -= float64(h.Much * h.Share(weld.Length(l.x))) })
	return weld.Length(math.Max(arc, leastFace))
}

// soil lays the dirty spots out.
func (l *Live) soil() {
	l.dirt = make([]float64, len(l.r.bare))
	l.each(weld.DirtySpot, func(_ int, h weld.Happening) {
		for k := range l.dirt {
			if at := weld.Length(float64(float64(k) * stationEvery)); at >= h.At && at <= h.At+h.Over {
				l.dirt[k] = 1
			}
		}
	})
}

// pooled gives the stations from and up to which the pool stands; none when from > to.
func (l *Live) pooled(behind, ahead float64) (from, to int) {
	return max(int(math.Ceil((l.x-behind)/stationEvery)), 0), min(int(math.Floor((l.x+ahead)/stationEvery)), len(l.dirt)-1)
}

// befall lets a step's things happen: a draught comes where the torch gets there, and the
// oxide of a dirty spot swims out while a pool stands over it under the arc.
func (l *Live) befall() {
	if l.task.Happens == (weld.Happenings{}) || !l.lit {
		return
	}
	r, x := l.r, l.place()
	l.each(weld.GustComes, func(i int, h weld.Happening) {
		if l.came[i] == 0 && l.x >= float64(h.At) && l.moved >= 0 {
			l.came[i] = l.step
		}
	})
	behind, ahead := r.molten(x, r.melt)
	if behind+ahead == 0 {
		return
	}
	if gust := l.gust(); gust > 0 {
		reach := math.Max(math.Max(r.poolWidth(x)/2, ahead), float64(0.8*r.wall))
		r.b.Gusts = append(r.b.Gusts, Gust{l.x, float64(l.task.Draught) + gust, float64(r.a.ArcLength), reach})
	}
	from, to := l.pooled(behind, ahead)
	l.each(weld.DirtySpot, func(_ int, h weld.Happening) {
		for k := from; k <= to; k++ {
			if at := weld.Length(float64(float64(k) * stationEvery)); at >= h.At && at <= h.At+h.Over {
				l.dirt[k] = math.Max(0, l.dirt[k]-r.s.tau/h.Much)
			}
		}
	})
}

// gust gives the draught that has come, m/s.
func (l *Live) gust() float64 {
	sum := 0.0
	l.each(weld.GustComes, func(i int, h weld.Happening) {
		if l.came[i] == 0 {
			return
		}
		since := float64(float64(l.step+1-l.came[i]) * LiveStep)
		left := float64(h.Lasts) + 2*gustRises - since
		sum += float64(h.Much * math.Min(1, math.Max(0, math.Min(since/gustRises, left/gustRises))))
	})
	return sum
}

// dirtSeen gives the most oxide of a dirty spot in the pool, and on the joint ahead of it.
func (l *Live) dirtSeen(behind, ahead float64) (pool, spot float64) {
	from, to := l.pooled(behind, ahead)
	for k, left := range l.dirt {
		switch at := float64(float64(k) * stationEvery); {
		case behind+ahead > 0 && k >= from && k <= to:
			pool = math.Max(pool, left)
		case at > l.x+ahead && at <= l.x+ahead+looksAhead:
			spot = math.Max(spot, left)
		}
	}
	return pool, spot
}
