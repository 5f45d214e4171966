package puddle

import (
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
)

// Shape is the bead at one place as a gauge reads it, m. It is the shape of liquid
// that hangs between its melted edges, still, under surface tension and its own
// weight, with all the metal accounted for: what the rod brought, less the gap, stands
// on the face, sinks out of the back, or is missing. It leaves out the arc's push,
// which is gone when the metal freezes, flow, and contraction on freezing, which
// the crater has.
type Shape struct {
	Cap      float64 // the bead's crest above the face, on a fillet beyond the straight line between its toes; negative is sunk or hollow
	Root     float64 // butts, corners: how far the melted back stands out; negative is drawn in
	LegA     float64 // fillets: from the corner to the toe on each member
	LegB     float64
	Throat   float64 // fillets: from the corner to the face, without what bulges out
	Undercut float64 // the deeper groove along a toe
	Toe      float64 // rad between the bead's face and the plate, inside the metal's outline: pi is flush
}

const gravity = 9.81

// shaper holds what the shapes along a seam have in common.
type shaper struct {
	joint     weld.Joint
	wall      float64 // thinner
	edge      float64 // of a lap: the upper sheet, beyond which there is no leg
	fill      float64 // m2 of filler
	tension   float64 // N/m
	weight    float64 // N/m3
	sideways  bool    // the seam lies level on a face that does not: weight pulls across it
	supported bool    // the back lies on something
}

func newShaper(t weld.Task, a weld.Answer, fill float64) shaper {
	p := metal.Of(t.A.Metal)
	return shaper{
		joint: t.Joint, wall: float64(t.Thinner()), edge: float64(t.B.Thickness), fill: fill,
		tension: p.SurfaceTension, weight: float64(p.LiquidDensity * gravity),
		sideways:  t.Position == weld.PB || t.Position == weld.PC || t.Position == weld.PD,
		supported: a.Back == weld.BackTape || t.Chill == weld.BackingBar,
	}
}

// across is the weight that pulls the pool across the seam, N/m3.
func (sh shaper) across(tilt float64) float64 {
	if !sh.sideways {
		return 0
	}
	return float64(sh.weight * detmath.Sin(tilt))
}

// of gives the shape at a station.
func (sh shaper) of(s *Station) Shape {
	if sh.joint.Fillet() {
		return sh.fillet(s)
	}
	return sh.through(s)
}

// through is the shape of a bead with a face and a back: two shallow arcs. The
// pressure under the face's arc, 8 gamma cap / face^2, and the weight of the wall
// under it have to be held by the back's arc, 8 gamma root / back^2; and the metal in
// both, 2/3 of height times width, is what the rod brought less what the gap took.
func (sh shaper) through(s *Station) Shape {
	face, back := math.Max(s.FaceA+s.FaceB, sh.wall), s.BackA+s.BackB
	left := sh.fill - float64(s.Gap*sh.wall)
	var out Shape
	if back > 0 && !sh.supported && sh.joint != weld.EdgeWeld {
		head := float64(float64(sh.weight*sh.wall) * detmath.Cos(s.Tilt))
		face3 := float64(face * float64(face*face))
		push := head + float64(12*float64(sh.tension*left))/face3
		stiff := float64(8*sh.tension)/float64(back*back) + float64(8*float64(sh.tension*back))/face3
		out.Root = push / stiff
	}
	out.Cap = (float64(1.5*left) - float64(out.Root*back)) / face
	slope := float64(4*out.Cap) / face
	if pull := sh.across(s.Tilt) / float64(6*sh.tension); pull > 0 {
		// Weight across the seam adds pull y (face^2/4 - y^2) to the arc: a swelling below,
		// a hollow above, which at the upper toe may lie under the face.
		bend := float64(8*out.Cap) / float64(face*face)
		y := -(bend + math.Sqrt(float64(bend*bend)+float64(3*float64(float64(pull*face)*float64(pull*face))))) / float64(6*pull)
		if y > -face/2 {
			room := float64(face*face)/4 - float64(y*y)
			out.Undercut = math.Max(0, -float64((bend/2+float64(pull*y))*room))
		}
		slope += float64(float64(pull*float64(face*face)) / 2)
	}
	out.Toe = math.Pi - detmath.Atan(math.Max(slope, 0))
	return out
}

// fillet is the shape of a bead in a corner: an arc from toe to toe that has the
// rod's metal between itself and the corner.
func (sh shaper) fillet(s *Station) Shape {
	// z^2/2 + gap z = metal: the leg that it would build flat.
	flat := math.Sqrt(float64(s.Gap*s.Gap)+float64(2*sh.fill)) - s.Gap
	least := math.Max(flat/2, 0.1e-3) // a toe that did not melt: the bead lies there cold
	out := Shape{LegA: math.Max(s.FaceA, least), LegB: math.Max(s.FaceB, least)}
	if sh.joint == weld.LapFillet {
		out.LegB = math.Min(out.LegB, sh.edge)
	}
	sin, cos := 1.0, 0.0 // of the angle between the members
	if s.Between != math.Pi/2 {
		sin, cos = detmath.Sin(s.Between), detmath.Cos(s.Between)
	}
	product := float64(out.LegA * out.LegB)
	chord := math.Sqrt(float64(out.LegA*out.LegA) + float64(out.LegB*out.LegB) - float64(2*float64(product*cos)))
	full := float64(product*sin) / 2
	spare := float64(flat*flat)/2 - full
	half := segmentAngle(math.Abs(spare) / float64(chord*chord))
	bulge := float64(chord / 2 * detmath.Sin(half/2) / detmath.Cos(half/2))
	if spare < 0 {
		half, bulge = -half, -bulge
	}
	out.Cap = bulge
	out.Throat = math.Max(0, float64(2*full)/chord+math.Min(bulge, 0))
	// The arc leaves a toe at the chord's angle and half its own opening; weight across
	// the seam steepens the upper toe and eases the lower. Below the plate it is a groove.
	toeA := detmath.Atan(float64(out.LegB*sin) / math.Max(out.LegA-float64(out.LegB*cos), 1e-6))
	upperIsB := s.Tilt <= math.Pi/2 // in a level corner; overhead the standing plate hangs down
	for _, toe := range []struct {
		chordAt float64
		upper   bool
	}{{toeA, !upperIsB}, {math.Pi - s.Between - toeA, upperIsB}} {
		turn := sh.across(s.Tilt) * float64(chord*chord) / float64(12*sh.tension)
		if !toe.upper {
			turn = -turn
		}
		at := toe.chordAt + half - turn // of the bead's face over the plate
		if at < 0 && half < 0 {
			radius := chord / float64(2*detmath.Sin(-half))
			out.Undercut = math.Max(out.Undercut, float64(radius*(1-detmath.Cos(at))))
		}
		if angle := math.Pi - math.Max(at, 0); out.Toe == 0 || angle < out.Toe {
			out.Toe = angle
		}
	}
	return out
}

// segmentAngle gives half the opening, rad, of the arc that has this area between
// itself and its chord, in squares of the chord: none is straight, pi/8 a half circle.
// Held at 2.5 rad.
func segmentAngle(area float64) float64 {
	lo, hi := 0.0, 2.5
	for range 30 {
		mid := (lo + hi) / 2
		sin := detmath.Sin(mid)
		if (mid-float64(sin*detmath.Cos(mid)))/float64(4*float64(sin*sin)) < area {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}
