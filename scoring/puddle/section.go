package puddle

import (
	"math"
	"slices"
)

// A section is the joint's cross-section, cut into rectangles of metal. The
// seam runs along x, perpendicular to it; y is across, z is up from member A.
// The solver knows nothing of joints: only cells, the faces between them, the
// faces to the air, and the faces where two members touch.
type section struct {
	cells    []cell
	faces    []face    // to the air
	contacts []contact // between members
}

// cell is a rectangle of metal, or the half of one below its falling diagonal; lengths in m.
type cell struct {
	y0, y1, z0, z1 float64
	cut            bool // the triangle at (y0, z0): the face of a fillet runs from (y1, z0) to (y0, z1)
	member         int  // 0 for A, 1 for B
	nb             []neighbour
}

// y and z give the centre of gravity.
func (c *cell) y() float64 { return c.y0 + c.to(left) }
func (c *cell) z() float64 { return c.z0 + c.to(down) }

func (c *cell) area() float64 {
	a := float64((c.y1 - c.y0) * (c.z1 - c.z0))
	if c.cut {
		return a / 2
	}
	return a
}

// to gives the distance from the centre to a side.
func (c *cell) to(s side) float64 {
	w, h := c.y1-c.y0, c.z1-c.z0
	switch {
	case s == slope:
		return float64(w*h) / float64(6*math.Sqrt(float64(w*w)+float64(h*h)))
	case s == left || s == right:
		if c.cut {
			return w / 3
		}
		return w / 2
	case c.cut:
		return h / 3
	}
	return h / 2
}

// neighbour conducts with factor face length / centre distance.
type neighbour struct {
	cell   int
	factor float64
}

// side of a cell.
type side uint8

const (
	left side = iota // towards -y
	right
	down // towards -z
	up
	slope // of a cut cell, towards +y and +z
)

func (s side) normal() (ny, nz float64) {
	const d = math.Sqrt2 / 2 // fillets here have equal legs
	return [...]float64{-1, 1, 0, 0, d}[s], [...]float64{0, 0, -1, 1, d}[s]
}

// face is a stretch of a cell's side that meets air, from a to b along the side's axis.
type face struct {
	cell      int
	side      side
	a, b      float64 // along z for left and right, along y for the others
	at        float64 // the side's own coordinate; y + z of a slope
	depth     float64 // from the face to the cell's centre
	insulated bool    // a plane of symmetry
}

func (f *face) mid() float64 { return (f.a + f.b) / 2 }

func (f *face) length() float64 {
	if f.side == slope {
		return float64((f.b - f.a) * math.Sqrt2)
	}
	return f.b - f.a
}

// ends gives where the face begins and ends.
func (f *face) ends() (y0, z0, y1, z1 float64) {
	switch f.side {
	case left, right:
		return f.at, f.a, f.at, f.b
	case slope:
		return f.a, f.at - f.a, f.b, f.at - f.b
	}
	return f.a, f.at, f.b, f.at
}

// centre gives the middle of the face.
func (f *face) centre() (y, z float64) {
	y0, z0, y1, z1 := f.ends()
	return (y0 + y1) / 2, (z0 + z1) / 2
}

// contact is a stretch along which two members touch, or which filler bridges.
type contact struct {
	a, b   int     // cells
	length float64 // of the face, m
	da, db float64 // from the face to the cells' centres
	kind   contactKind
}

type contactKind uint8

const (
	faying contactKind = iota // the members touch: a poor contact until both sides have melted
	bridge                    // filler: nothing until a dab has put metal there
)

const eps = 1e-9 // m, below any cell

// band is a strip of a plate, cut into cells of one width with a number of layers through the wall.
type band struct {
	to     float64 // its end, along the plate
	width  float64 // of its cells
	layers int
}

// lines cuts from 0 through the bands: returns the cell edges and the layers of each cell.
func lines(bands []band) (edges []float64, layers []int) {
	edges = []float64{0}
	for _, b := range bands {
		from := edges[len(edges)-1]
		if b.to <= from+eps {
			continue
		}
		n := max(1, int(math.Round((b.to-from)/b.width)))
		for i := 1; i <= n; i++ {
			edges = append(edges, from+float64((b.to-from)*float64(i)/float64(n)))
			layers = append(layers, b.layers)
		}
	}
	return edges, layers
}

// layersOf gives the layers of cells near d through a wall of thickness t: at least
// four, for with fewer a root's temperature is a tenth off; and an even number, so
// that half as many fit them edge to edge farther out.
func layersOf(t, d float64) int { return max(4, 2*int(math.Round(t/float64(2*d)))) }

// plateBands grades a wall of thickness t from fine cells d near the seam to 4 mm at its far edge w.
func plateBands(t, w, d, fine float64) []band {
	n := layersOf(t, d)
	fine = math.Min(w, fine)
	bands := []band{{fine, d, n}}
	at, width := fine, d
	for at < w-eps {
		width = math.Min(float64(1.15*width), 4e-3)
		layers := n
		switch {
		case at > 2*t && at > fine+t/2:
			layers = 1
		case at > fine:
			layers = n / 2
		}
		to := at + width
		if w-to < width/2 { // do not leave a sliver
			to = w
		}
		bands = append(bands, band{to, 2 * (to - at), layers}) // one cell
		at = to
	}
	return bands
}

// strip adds a wall that starts at the origin point (y, z) and runs along +y or
// -y (horizontal) or +z or -z, its thickness growing from the origin's other
// coordinate in the direction thick (+1 or -1).
func (s *section) strip(member int, y, z float64, along side, thick, t float64, bands []band) {
	edges, layers := lines(bands)
	for i, n := range layers {
		for k := range n {
			u0, u1 := edges[i], edges[i+1]
			v0 := float64(thick * float64(t*float64(k)/float64(n)))
			v1 := float64(thick * float64(t*float64(k+1)/float64(n)))
			var c cell
			switch along {
			case right:
				c = cell{y0: y + u0, y1: y + u1, z0: z + v0, z1: z + v1}
			case left:
				c = cell{y0: y - u1, y1: y - u0, z0: z + v0, z1: z + v1}
			case up:
				c = cell{y0: y + v0, y1: y + v1, z0: z + u0, z1: z + u1}
			case down:
				c = cell{y0: y + v0, y1: y + v1, z0: z - u1, z1: z - u0}
			}
			if c.y0 > c.y1 {
				c.y0, c.y1 = c.y1, c.y0
			}
			if c.z0 > c.z1 {
				c.z0, c.z1 = c.z1, c.z0
			}
			c.member = member
			s.cells = append(s.cells, c)
		}
	}
}

// connect finds which cells touch, what faces the air, and where members meet.
// insulated says which air faces are planes of symmetry.
func (s *section) connect(insulated func(f *face) bool) {
	covered := make([][4][][2]float64, len(s.cells)) // by cell and side
	for i := range s.cells {
		for j := i + 1; j < len(s.cells); j++ {
			p, q := &s.cells[i], &s.cells[j]
			var sd side
			var a, b, dp, dq float64
			overlapZ, overlapY := math.Min(p.z1, q.z1)-math.Max(p.z0, q.z0), math.Min(p.y1, q.y1)-math.Max(p.y0, q.y0)
			switch {
			case math.Abs(p.y1-q.y0) < eps && overlapZ > eps:
				sd = right
			case math.Abs(q.y1-p.y0) < eps && overlapZ > eps:
				sd = left
			case math.Abs(p.z1-q.z0) < eps && overlapY > eps:
				sd = up
			case math.Abs(q.z1-p.z0) < eps && overlapY > eps:
				sd = down
			default:
				continue
			}
			if sd == left || sd == right {
				a, b = math.Max(p.z0, q.z0), math.Min(p.z1, q.z1)
			} else {
				a, b = math.Max(p.y0, q.y0), math.Min(p.y1, q.y1)
			}
			dp, dq = p.to(sd), q.to(sd^1)
			covered[i][sd] = append(covered[i][sd], [2]float64{a, b})
			covered[j][sd^1] = append(covered[j][sd^1], [2]float64{a, b})
			if p.member != q.member {
				s.contacts = append(s.contacts, contact{a: i, b: j, length: b - a, da: dp, db: dq})
				continue
			}
			f := (b - a) / (dp + dq)
			p.nb = append(p.nb, neighbour{j, f})
			q.nb = append(q.nb, neighbour{i, f})
		}
	}
	for i := range s.cells {
		c := &s.cells[i]
		sides := []side{left, right, down, up}
		if c.cut {
			sides = []side{left, down}
			s.faces = append(s.faces, face{cell: i, side: slope, a: c.y0, b: c.y1, at: c.y1 + c.z0, depth: c.to(slope)})
		}
		for _, sd := range sides {
			f := face{cell: i, side: sd, depth: c.to(sd)}
			switch sd {
			case left, right:
				f.a, f.b, f.at = c.z0, c.z1, c.y0
				if sd == right {
					f.at = c.y1
				}
			default:
				f.a, f.b, f.at = c.y0, c.y1, c.z0
				if sd == up {
					f.at = c.z1
				}
			}
			spans := covered[i][sd]
			slices.SortFunc(spans, func(p, q [2]float64) int {
				if p[0] < q[0] {
					return -1
				}
				return 1
			})
			from, to := f.a, f.b
			emit := func(a, b float64) {
				if b-a > eps {
					g := f
					g.a, g.b = a, b
					g.insulated = insulated != nil && insulated(&g)
					s.faces = append(s.faces, g)
				}
			}
			for _, sp := range spans {
				emit(from, sp[0])
				from = math.Max(from, sp[1])
			}
			emit(from, to)
		}
	}
}

// torch is the arc's axis in the section: it points from (y, z) of the aim
// towards the tip, at angle from the horizontal +y axis.
type torch struct {
	y, z  float64
	angle float64 // rad from +y: pi/2 is straight down onto a flat plate
	cos   float64
	sin   float64
}

// shares gives for each face the share of a Gaussian of deviation sigma it
// catches across the seam: exact by the error function on the part of its
// projection that no other face hides, so the shares of all faces add up to what
// does not miss the metal.
func (s *section) shares(t torch, sigma float64, normalShare func(a, b, sigma float64) float64) []float64 {
	project := func(y, z float64) (across, along float64) {
		dy, dz := y-t.y, z-t.z
		return float64(dz*t.cos) - float64(dy*t.sin), float64(dy*t.cos) + float64(dz*t.sin)
	}
	lit := make([]shadow, 0, len(s.faces))
	for i := range s.faces {
		f := &s.faces[i]
		ny, nz := f.side.normal()
		if f.insulated || float64(ny*t.cos)+float64(nz*t.sin) < 1e-6 {
			continue
		}
		y0, z0, y1, z1 := f.ends()
		a, da := project(y0, z0)
		b, db := project(y1, z1)
		if a > b {
			a, b, da, db = b, a, db, da
		}
		if b-a > eps {
			lit = append(lit, shadow{i, a, b, da, db})
		}
	}
	out := make([]float64, len(s.faces))
	var seen, rest [][2]float64
	for _, p := range lit {
		seen = append(seen[:0], [2]float64{p.from, p.to})
		for _, q := range lit {
			lo, hi := math.Max(p.from, q.from), math.Min(p.to, q.to)
			if m := (lo + hi) / 2; hi-lo < eps || q.height(m) < p.height(m)+1e-5 {
				continue
			}
			rest = rest[:0]
			for _, v := range seen {
				if lo > v[0]+eps {
					rest = append(rest, [2]float64{v[0], math.Min(v[1], lo)})
				}
				if hi < v[1]-eps {
					rest = append(rest, [2]float64{math.Max(v[0], hi), v[1]})
				}
			}
			seen, rest = rest, seen
		}
		for _, v := range seen {
			out[p.face] += normalShare(v[0], v[1], sigma)
		}
	}
	return out
}

// shadow is a face as the arc sees it: where it lies across the torch's axis, and
// how far towards the tip at its two ends.
type shadow struct {
	face         int
	from, to     float64
	atFrom, atTo float64
}

func (s shadow) height(across float64) float64 {
	return s.atFrom + float64((s.atTo-s.atFrom)*((across-s.from)/(s.to-s.from)))
}
