package puddle

import (
	"math"

	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
)

// joint is a task's cross-section with the names of its parts. New joints are
// added here: a section, where the torch points, and which surfaces are which.
type joint struct {
	sec          *section
	half         bool // one side of a plane of symmetry
	torch        torch
	d            float64
	faceA, faceB path // the weld's face, on each member, from the joint outwards
	backA, backB path // the far side of each member; for butts the back of the weld
	depth        []depthCell
	depthWhole   float64 // how deep a full weld is, m
	rootA, rootB []share // the corner of each member of a fillet; nil else
	fill         func(area float64) []target
	leg          float64 // up to where filler reaches, m
	mats         []*metal.Table
	gapArc       int // cell that catches the arc through the gap once bridged, -1 without
}

// share is a cell and its part of a whole.
type share struct {
	cell int
	part float64
}

// within gives the cells of a member that a rectangle covers, each with its part of the rectangle.
func (s *section) within(member int, y0, z0, y1, z1 float64) []share {
	var out []share
	for i := range s.cells {
		c := &s.cells[i]
		dy, dz := math.Min(c.y1, y1)-math.Max(c.y0, y0), math.Min(c.z1, z1)-math.Max(c.z0, z0)
		if c.member == member && dy > eps && dz > eps {
			out = append(out, share{i, float64(dy*dz) / float64((y1-y0)*(z1-z0))})
		}
	}
	return out
}

// rootDepth is how far from the corner, in thinner walls, on both coordinates, a root
// counts as fused. It is read as the mean of the square around that point, which a
// finer grid changes less than the temperature of the point.
const rootDepth = 1.0 / 8

// depthCell is a step of the way from the face to the back along the joint.
type depthCell struct {
	a, b int
	s    float64
}

// cellNear gives the cell that holds (y, z), or -1.
func (s *section) cellNear(y, z float64) int {
	for i := range s.cells {
		if c := &s.cells[i]; c.y0 <= y && y < c.y1 && c.z0 <= z && z < c.z1 {
			return i
		}
	}
	return -1
}

func (s *section) member(f *face) int { return s.cells[f.cell].member }

// newJoint lays out the task's section with fine cells of d for an arc of deviation sigma.
func newJoint(t weld.Task, a weld.Answer, sigma, coarser float64) *joint {
	ta, tb := float64(t.A.Thickness), float64(t.B.Thickness)
	wa, wb := math.Max(float64(t.A.Width), 4*ta), math.Max(float64(t.B.Width), 4*tb)
	gap := float64(max(t.Gap, t.GapEnd)+min(t.Gap, t.GapEnd)) / 2
	thin := math.Min(ta, tb)
	j := &joint{sec: &section{}, d: float64(coarser * CellFor(thin, sigma)), gapArc: -1}
	j.mats = []*metal.Table{metal.TableOf(t.A.Metal), metal.TableOf(t.B.Metal)}
	j.leg = math.Max(float64(t.LegAsked()), float64(1.2*thin))
	angle := float64(a.WorkAngle)
	switch t.Joint {
	case weld.TeeFillet:
		j.tee(ta, tb, wa, wa, wb, gap)
		j.torch = newTorch(float64(a.Aim), 0, angle)
	case weld.TubeSaddle:
		// Under the branch lies a disc of the through tube's wall: as much of it for each
		// length of the seam as the disc has.
		inner := float64(t.Diameter)/2 - tb
		j.tee(ta, tb, wa, math.Max(float64(inner*inner)/float64(t.Diameter), ta), wb, gap)
		j.torch = newTorch(float64(a.Aim), 0, angle)
	case weld.LapFillet:
		j.lap(ta, tb, wa, wb, gap, math.Max(float64(t.Overlap), 4*thin))
		j.torch = newTorch(float64(a.Aim), 0, angle)
	case weld.OutsideCorner:
		j.corner(ta, tb, wa, wb)
		j.torch = newTorch(0, ta/2, math.Pi/4)
	case weld.EdgeWeld:
		j.edge(ta, tb, wa, wb)
		j.torch = newTorch(0, 0, math.Pi/2)
	default:
		j.butt(t, ta, tb, wa, wb, gap)
		j.torch = newTorch(0, 0, math.Pi/2)
	}
	return j
}

// butt: two sheets edge to edge; half of it when they are alike.
func (j *joint) butt(t weld.Task, ta, tb, wa, wb, gap float64) {
	s := j.sec
	j.half = ta == tb && t.A.Metal == t.B.Metal && t.A.Width == t.B.Width
	s.strip(1, gap/2, 0, right, -1, tb, plateBands(tb, wb, j.d, fineBand(tb)))
	if !j.half {
		s.strip(0, -gap/2, 0, left, -1, ta, plateBands(ta, wa, j.d, fineBand(ta)))
	}
	s.connect(func(f *face) bool {
		return (j.half || gap > 0) && math.Abs(math.Abs(f.at)-gap/2) < eps && (f.side == left || f.side == right)
	})
	if !j.half && gap > 0 {
		j.bridgeEdges(gap)
	}
	side := func(member int, sd side, sign float64) path {
		return s.newPath(j.half, func(f *face) (float64, bool) { return float64(sign * f.mid()), f.side == sd && s.member(f) == member })
	}
	j.faceB, j.backB = side(1, up, 1), side(1, down, 1)
	if j.half {
		j.faceA, j.backA = j.faceB, j.backB
	} else {
		j.faceA, j.backA = side(0, up, -1), side(0, down, -1)
	}
	for i := range s.cells {
		if c := &s.cells[i]; c.member == 1 && c.y0 < gap/2+eps {
			b := i
			if !j.half {
				if o := s.cellNear(-gap/2-eps*10, c.z()); o >= 0 {
					b = o
				}
			}
			j.depth = append(j.depth, depthCell{i, b, -c.z()})
		}
	}
	j.sortDepth()
	j.depthWhole = math.Min(ta, tb)
	if gap > 0 {
		j.gapArc = j.depth[0].a
	}
	capHalf := float64(1.25 * math.Min(ta, tb)) // the bead's half width
	j.fill = func(area float64) []target {
		var out []target
		inGap := math.Min(area, float64(gap*math.Min(ta, tb)))
		sides := 2.0
		for i := range s.cells {
			c := &s.cells[i]
			u := math.Abs(c.y())
			if gap > 0 && math.Min(math.Abs(c.y0), math.Abs(c.y1)) < gap/2+eps {
				out = append(out, target{i, inGap / sides * (c.z1 - c.z0) / j.thickness(c, ta, tb)})
			}
			if c.z1 > -eps && u < gap/2+capHalf {
				v := (u - gap/2) / capHalf
				out = append(out, target{i, float64((area - inGap) / sides * 1.5 * (1 - float64(v*v)) * (math.Abs(c.y1-c.y0) / capHalf))})
			}
		}
		return out
	}
	j.leg = capHalf
}

func (j *joint) thickness(c *cell, ta, tb float64) float64 {
	if c.member == 0 {
		return ta
	}
	return tb
}

// bridgeEdges joins the two edges of a butt across its gap, once filler is there.
func (j *joint) bridgeEdges(gap float64) {
	s := j.sec
	for i := range s.cells {
		for k := range s.cells {
			p, q := &s.cells[i], &s.cells[k]
			if p.member != 0 || q.member != 1 || math.Abs(p.y1+gap/2) > eps || math.Abs(q.y0-gap/2) > eps {
				continue
			}
			if l := math.Min(p.z1, q.z1) - math.Max(p.z0, q.z0); l > eps {
				s.contacts = append(s.contacts, contact{a: i, b: k, length: l,
					da: (p.y1 - p.y0 + gap) / 2, db: (q.y1 - q.y0 + gap) / 2, kind: bridge})
			}
		}
	}
}

// tee: B stands on A, its face at y = 0; the weld is in the corner at the origin. A
// goes on for wa to the weld's side and for beyond behind B.
func (j *joint) tee(ta, tb, wa, beyond, wb, gap float64) {
	s := j.sec
	thin := math.Min(ta, tb)
	fine := math.Max(fineBand(thin), j.leg+thin)
	n := float64(layersOf(tb, j.d))
	s.strip(0, 0, 0, right, -1, ta, plateBands(ta, wa, j.d, fine))
	under := append([]band{{tb, tb / n, layersOf(ta, j.d)}}, shifted(plateBands(ta, beyond, j.d, fineUnder), tb)...)
	s.strip(0, 0, 0, left, -1, ta, under)
	s.strip(1, 0, gap, up, -1, tb, plateBands(tb, wb, j.d, fine))
	s.connect(nil)
	j.fillet(gap, thin, func(f *face) (float64, bool) {
		return f.mid() - gap, s.member(f) == 1 && f.side == right && math.Abs(f.at) < eps
	})
	j.backB = s.newPath(false, func(f *face) (float64, bool) {
		return f.mid() - gap, s.member(f) == 1 && f.side == left && math.Abs(f.at+tb) < eps
	})
	j.depthWhole = thin
}

// lap: B lies on A, its edge at y = 0; A goes on to +y.
func (j *joint) lap(ta, tb, wa, wb, gap, overlap float64) {
	s := j.sec
	thin := math.Min(ta, tb)
	fine := math.Max(fineBand(thin), j.leg+thin)
	s.strip(0, 0, 0, right, -1, ta, plateBands(ta, wa, j.d, fine))
	inner := plateBands(ta, overlap, j.d, math.Min(overlap, float64(1.5*thin)))
	s.strip(0, 0, 0, left, -1, ta, inner)
	// The upper sheet keeps the lower one's cuts over the overlap, so that the contact lines up.
	over := inner
	if wb > overlap {
		over = append(append([]band{}, inner...), shifted(plateBands(tb, wb-overlap, 2*j.d, 2*j.d), overlap)...)
	}
	s.strip(1, 0, gap, left, 1, tb, over)
	s.connect(nil)
	j.fillet(gap, thin, func(f *face) (float64, bool) {
		if s.member(f) != 1 {
			return 0, false
		}
		if f.side == right && math.Abs(f.at) < eps {
			return f.mid() - gap, true
		}
		return tb - f.mid(), f.side == up && f.mid() < 0
	})
	j.backB = path{}
	j.depthWhole = thin
	j.leg = math.Min(j.leg, tb)
}

// fillet names the parts that tee and lap share.
func (j *joint) fillet(gap, thin float64, faceB func(f *face) (float64, bool)) {
	s := j.sec
	j.faceA = s.newPath(false, func(f *face) (float64, bool) {
		return f.mid(), s.member(f) == 0 && f.side == up && f.mid() > 0
	})
	j.faceB = s.newPath(false, faceB)
	if gap == 0 {
		j.faceA.corner, j.faceB.corner = true, true
	}
	j.backA = s.newPath(false, func(f *face) (float64, bool) { return f.mid(), s.member(f) == 0 && f.side == down })
	side := 2 * rootDepth * thin
	j.rootA = s.within(0, -side, -side, 0, 0)
	j.rootB = s.within(1, -side, gap, 0, gap+side)
	if gap == 0 {
		s.easeCorner(0, 0)
	}
	// The bead conducts from one member to the other in shells around the root.
	for i, fa := range j.faceA.faces {
		r := j.faceA.s[i] + gap/2
		for k, fb := range j.faceB.faces {
			if math.Abs(j.faceB.s[k]-j.faceA.s[i]) < 0.6*j.d && j.faceA.s[i] < j.leg {
				quarter := float64(math.Pi / 4 * r)
				s.contacts = append(s.contacts, contact{a: s.faces[fa].cell, b: s.faces[fb].cell,
					length: s.faces[fa].length(), da: quarter, db: quarter, kind: bridge})
				break
			}
		}
	}
	j.fill = j.wedge
}

// corner: A lies on B's edge, flush with its outer face; the seam is on the outside at the origin.
func (j *joint) corner(ta, tb, wa, wb float64) {
	s := j.sec
	n := float64(layersOf(tb, j.d))
	thin := math.Min(ta, tb)
	top := append([]band{{tb, tb / n, layersOf(ta, j.d)}}, shifted(plateBands(ta, math.Max(wa-tb, float64(3*ta)), j.d, thin), tb)...)
	s.strip(0, 0, 0, left, 1, ta, top)
	s.strip(1, 0, 0, down, -1, tb, plateBands(tb, wb, j.d, fineBand(thin)))
	s.connect(nil)
	s.easeCorner(-tb, 0)
	j.faceA = s.newPath(false, func(f *face) (float64, bool) {
		if s.member(f) != 0 {
			return 0, false
		}
		if f.side == right && math.Abs(f.at) < eps {
			return f.mid(), true
		}
		return ta - f.mid(), f.side == up
	})
	j.faceB = s.newPath(false, func(f *face) (float64, bool) { return -f.mid(), s.member(f) == 1 && f.side == right })
	j.backA = s.newPath(false, func(f *face) (float64, bool) { return -f.mid() - tb, s.member(f) == 0 && f.side == down })
	j.backB = s.newPath(false, func(f *face) (float64, bool) { return -f.mid(), s.member(f) == 1 && f.side == left })
	for i := range s.contacts {
		c := &s.contacts[i]
		j.depth = append(j.depth, depthCell{c.a, c.b, -s.cells[c.b].y()})
	}
	j.sortDepth()
	j.depthWhole = tb
	j.capOver(float64(1.2 * thin))
}

// edge: two sheets back to back, welded along their edges, which lie at z = 0.
func (j *joint) edge(ta, tb, wa, wb float64) {
	s := j.sec
	s.strip(0, 0, 0, down, -1, ta, plateBands(ta, wa, j.d, fineBand(ta)))
	s.strip(1, 0, 0, down, 1, tb, plateBands(tb, wb, j.d, fineBand(tb)))
	s.connect(nil)
	up0 := func(member int, sign float64) path {
		return s.newPath(false, func(f *face) (float64, bool) { return float64(sign * f.mid()), s.member(f) == member && f.side == up })
	}
	j.faceA, j.faceB = up0(0, -1), up0(1, 1)
	for i := range s.contacts {
		c := &s.contacts[i]
		j.depth = append(j.depth, depthCell{c.a, c.b, -s.cells[c.a].z()})
	}
	j.sortDepth()
	j.depthWhole = math.Min(ta, tb)
	for len(j.depth) > 1 && j.depth[len(j.depth)-1].s > 2*(ta+tb) { // deeper the nose has run off long since
		j.depth = j.depth[:len(j.depth)-1]
	}
	j.capOver(math.Min(ta, tb))
}

// capOver spreads filler over both faces near the joint.
func (j *joint) capOver(reach float64) {
	j.leg = reach
	j.fill = j.wedge
}

// reentrant is how much more passes through the two faces that end in a re-entrant
// right angle than the difference of the cells beside them says. Around the corner
// theta goes with r^(2/3) cos(2 phi/3) (the insulated wedge of 270 degrees; Carslaw
// and Jaeger's wedge solutions, from memory): through a face of length d from the
// corner flows sin(pi/3) d^(2/3), between the middles of the cells lie
// (d/sqrt 2)^(2/3) cos(pi/6).
const reentrant = 1.26

// easeCorner conducts better through the faces that end in the corner at (y, z).
func (s *section) easeCorner(y, z float64) {
	touches := func(c *cell) bool {
		return math.Min(math.Abs(c.y0-y), math.Abs(c.y1-y)) < eps && math.Min(math.Abs(c.z0-z), math.Abs(c.z1-z)) < eps
	}
	for i := range s.cells {
		if !touches(&s.cells[i]) {
			continue
		}
		for k := range s.cells[i].nb {
			if n := &s.cells[i].nb[k]; touches(&s.cells[n.cell]) {
				n.factor = float64(n.factor * reentrant)
			}
		}
	}
	for k := range s.contacts {
		if c := &s.contacts[k]; touches(&s.cells[c.a]) && touches(&s.cells[c.b]) {
			c.da, c.db = c.da/reentrant, c.db/reentrant
		}
	}
}

// wedge spreads filler over both faces, thickest at the joint and nothing at the leg's end.
func (j *joint) wedge(area float64) []target {
	var out []target
	for _, p := range []path{j.faceA, j.faceB} {
		sum := 0.0
		for i, v := range p.s {
			sum += float64(math.Max(0, 1-v/j.leg) * 2 * p.half[i])
		}
		for i, v := range p.s {
			if w := float64(math.Max(0, 1-v/j.leg) * 2 * p.half[i]); w > 0 {
				out = append(out, target{j.sec.faces[p.faces[i]].cell, area / 2 * w / sum})
			}
		}
	}
	return out
}

func (j *joint) sortDepth() {
	for i := 1; i < len(j.depth); i++ {
		for k := i; k > 0 && j.depth[k].s < j.depth[k-1].s; k-- {
			j.depth[k], j.depth[k-1] = j.depth[k-1], j.depth[k]
		}
	}
}

// BenchConductance is what a steel bench draws from a sheet that rests on it, mostly air
// between, W/m2K. Assumed.
const BenchConductance = 150.0

// chill gives the conduction, W/m2K, that the fixture draws from a face. Assumed
// contact values; common practice, no source.
func (j *joint) chill(c weld.Chill, f *face) float64 {
	y, z := f.centre()
	r := math.Max(math.Abs(y), math.Abs(z))
	switch c {
	case weld.OnBench:
		if f.side == down && math.Abs(y) > 6e-3 {
			return BenchConductance
		}
	case weld.ClampBars:
		if r > 15e-3 && r < 27e-3 {
			return 800
		}
	case weld.CopperChill:
		if r > 5e-3 && r < 20e-3 {
			return 3000
		}
	case weld.BackingBar:
		if f.side == down && r < 8e-3 {
			return 1500
		}
	}
	return 0
}
