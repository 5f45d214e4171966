package puddle

import (
	"math"

	"puddlewise/scoring/detmath"
)

// A tungsten that touches is fouled: metal on its tip blunts it, the arc spreads and
// wanders, and a speck of tungsten stays behind. That it does is common practice; by how
// much is assumed, no source. What a tremble of the hand adds is left out, and so is the
// bowing of a sheet: no shrinkage is computed.
const (
	fouledSpread = 1.3    // of the arc's radius, for the rest of the run
	dabStands    = 5      // steps, 0.2 s, that a dab takes to flow out
	touchesApart = 1.5e-3 // m; nearer ones are one
)

// touch notes when the tip meets what stands under it, once at a place.
func (l *Live) touch() {
	if !l.lit || float64(l.r.a.ArcLength) > l.stands() {
		return
	}
	b := l.r.b
	if n := len(b.Touched); n == 0 || math.Abs(b.Touched[n-1]-l.x) > touchesApart {
		b.Touched = append(b.Touched, l.x)
	}
	l.r.loose = fouledSpread
}

// stands gives how high the metal stands over the face under the tip, m: the pool's
// crown, shaped as a still pool is, or a dab that has not flowed out yet: a swell twice
// as high in its middle as spread over the pool, at most half the radius of its drop,
// which lies at the front, beside the tip.
func (l *Live) stands() float64 {
	r, x := l.r, l.place()
	behind, ahead := r.molten(x, r.melt)
	wide := r.poolWidth(x)
	if wide == 0 {
		return 0
	}
	st := Station{Gap: r.gapAt(l.x), Tilt: tilt(r.t, r.round, l.x), Between: r.between(l.x)}
	now := r.rec.nowAt(x + (ahead-behind)/2)
	st.FaceA, st.FaceB = now.profile(r.j.faceA).reach(r.melt), now.profile(r.j.faceB).reach(r.melt)
	if r.j.rootA == nil {
		st.BackA, st.BackB = now.profile(r.j.backA).reach(r.melt), now.profile(r.j.backB).reach(r.melt)
	}
	shape := newShaper(r.t, r.a, l.fillAt(l.station())).of(&st)
	h := math.Max(0, shape.Cap)
	if r.t.Joint.Fillet() {
		// The arc stands over the face that the drawing's leg would have.
		h = math.Max(0, shape.Throat+h-float64(float64(r.t.LegAsked())*detmath.Cos(st.Between/2)))
	}
	if l.step < l.wet {
		drop := r.b.DabVolume
		face := float64(math.Pi / 4 * float64(wide*(behind+ahead)))
		h = math.Max(h, math.Min(2*drop/face, detmath.Pow(float64(3*drop)/(4*math.Pi), 1.0/3)/2))
	}
	return h
}
