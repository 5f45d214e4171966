package puddle

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/metal"
)

// Spec is the surroundings a run is stepped in. Temperatures in C, the rest SI.
type Spec struct {
	Start      float64 // of the whole part; 0 means metal.Ambient
	Around     float64 // what the faces lose heat to; 0 means metal.Ambient
	Convection float64 // W/m2K on every face to the air
	Emissivity float64
	Tau        float64 // time step, s; 0 chooses one
}

func (sp Spec) start() float64 {
	if sp.Start == 0 {
		return metal.Ambient
	}
	return sp.Start
}

// lossAt gives convection and radiation, W/m2, from a surface at t C.
func (sp Spec) lossAt(t float64) float64 {
	if sp.Around == 0 {
		return float64(sp.Convection*(t-metal.Ambient)) + metal.Radiation(sp.Emissivity, t)
	}
	return float64(sp.Convection*(t-sp.Around)) + metal.Radiation(sp.Emissivity, t) - metal.Radiation(sp.Emissivity, sp.Around)
}

// CaseKind is the shape of a reference case.
type CaseKind string

// Kinds of reference case.
const (
	PlateQuasiSteady CaseKind = "plate-quasi-steady" // infinite plate, all transients gone
	PlateTransient   CaseKind = "plate-transient"
	TeeTransient     CaseKind = "tee-transient"
)

// Case is a heat problem with a known answer: a Gaussian of given absorbed power
// and deviation runs along a plate or into a tee. SI units, temperatures in C.
type Case struct {
	Kind              CaseKind
	Table             *metal.Table
	Solidus, Liquidus float64
	Diffusivity       float64 // m2/s, for choosing the extent of an infinite plate
	Spec              Spec

	Length, Width, Thickness           float64 // plate; for a tee Width and Thickness are the base's
	WebHeight, WebThickness, FilletLeg float64
	Power, Sigma, Speed, StartX, EndX  float64
	WorkAngle                          float64 // rad, tee
	CoolFor                            float64 // s, followed after the arc is out; transient
	Cell                               float64 // m; 0 chooses one
}

// Quantity is what a probe reads.
type Quantity string

// Quantities. Temperatures come in C, lengths in m. An isotherm's width, depth
// and leg are those of all the metal that was ever hotter.
const (
	PeakTemperature Quantity = "peak temperature" // highest of the run; quasi-steady: the temperature
	Temperature     Quantity = "temperature"      // at a time
	Width           Quantity = "width"            // of an isotherm on a plate's face
	Depth           Quantity = "depth"            // below the middle of the seam
	Length          Quantity = "length"           // along the seam, while the arc is at X
	Leg             Quantity = "leg"              // from a tee's corner along a face
	BisectorDepth   Quantity = "bisector depth"   // below a tee's corner; negative inside a fillet
)

// Side is where on a section a probe reads.
type Side string

// Sides. A tee's faces are measured from the corner, where the base's top and
// the web's face meet, also when a fillet fills it; the base's back from the
// point below the corner, away from the web; the web's back from the base's top.
const (
	Top             Side = "top" // of a plate
	Back            Side = "back"
	Corner          Side = "corner"
	BaseTop         Side = "base top"
	BaseBack        Side = "base back"
	WebFace         Side = "web face"
	WebBack         Side = "web back"
	BaseBackHottest Side = "hottest of the base back"
	WebBackHottest  Side = "hottest of the web back"
)

// Probe asks a case for one number.
type Probe struct {
	Quantity Quantity
	Side     Side
	X        float64 // along the seam, m
	Y        float64 // on the side, m
	Ahead    float64 // quasi-steady: distance ahead of the arc, m
	Time     float64 // s
	Isotherm float64 // C
}

// StepFor chooses the time step, s, for an arc of deviation sigma at speed v on a
// metal of the given diffusivity. The scheme is of first order in time: its error
// acts like a conductivity along the seam that is too small by tau v^2/4, held
// here below about 2 %; and the arc must not jump over its own width.
func StepFor(sigma, v, diffusivity float64) float64 {
	tau := 0.08
	if v > 0 {
		tau = math.Min(tau, float64(0.055*diffusivity)/float64(v*v))
		tau = math.Min(tau, 0.3*sigma/v)
	}
	return math.Max(tau, 0.01)
}

// The grid is fine this far behind and before the arc, m; wider makes no difference.
const (
	fineBehind = 5e-3
	fineBefore = 2.5e-3
)

// fineUnder is how far past a tee's web the base is fine on the side away from the arc, m.
const fineUnder = 0.8e-3

// fineBand gives how far from the seam the cells are fine, m.
func fineBand(t float64) float64 { return math.Max(float64(1.2*t), 3e-3) }

// CellFor chooses the fine cell for a wall and an arc, m.
func CellFor(t, sigma float64) float64 {
	return math.Min(math.Min(t/4, sigma/3), 0.4e-3)
}

// Run welds the case and reads the probes. The relative error of the energy
// account comes with it; above 0.001 the run is refused.
func (c *Case) Run(probes []Probe) (values []float64, closure float64, err error) {
	s, rec, at, err := c.build()
	if err != nil {
		return nil, 0, err
	}
	for _, p := range probes {
		if !at.has(p) {
			return nil, 0, fmt.Errorf("there is no %s at the side %q of this part", p.Quantity, p.Side)
		}
	}
	values = make([]float64, len(probes))
	if c.Kind == PlateQuasiSteady {
		c.runSteady(s, rec, at, probes, values)
	} else {
		c.runTransient(s, rec, at, probes, values)
	}
	closure = s.closure()
	if !(closure <= maxClosure) {
		return nil, closure, fmt.Errorf("energy does not close: %.3f %%, allowed is %.1f %%", 100*closure, 100*maxClosure)
	}
	for i, p := range probes {
		if math.IsNaN(values[i]) {
			return nil, closure, fmt.Errorf("nothing to read for %s at %q", p.Quantity, p.Side)
		}
	}
	return values, closure, nil
}

// runTransient welds from StartX to EndX and lets the part cool.
func (c *Case) runTransient(s *solver, rec *recorder, at *layout, probes []Probe, values []float64) {
	arcOn := (c.EndX - c.StartX) / c.Speed
	steps := int(math.Ceil(arcOn / c.tau()))
	s.setStep(arcOn / float64(steps)) // the arc goes out on a step
	end := arcOn + c.CoolFor
	when := make([]float64, len(probes)) // read at this time; NaN: at the end
	for i, p := range probes {
		switch p.Quantity {
		case Temperature:
			when[i] = p.Time
		case Length:
			when[i] = (p.X - c.StartX) / c.Speed
		default:
			when[i] = math.NaN()
			continue
		}
		end = math.Max(end, when[i]+s.tau)
	}
	read := func(p Probe) float64 {
		if p.Quantity == Temperature {
			return at.temperature(rec.nowAt(p.X), p.Side, p.Y)
		}
		return rec.lengthAbove(at, p.Side, p.Isotherm)
	}
	before := make([]float64, len(probes))
	s.lookup(s.h, s.theta)
	for i, p := range probes {
		values[i] = math.NaN()
		if when[i] >= 0 && when[i] <= s.tau {
			before[i] = read(p)
		}
	}
	for n := 0; float64(float64(n)*s.tau) < end; n++ {
		t0 := float64(float64(n) * s.tau)
		t1 := t0 + s.tau
		x, power := c.StartX+float64(c.Speed*(t0+s.tau/2)), c.Power
		if n >= steps {
			x, power = c.EndX, 0
		}
		s.refine(x-at.behind, x+at.before)
		s.step(power, x, c.Sigma)
		rec.update()
		for i, p := range probes {
			if when[i] >= t0 && when[i] <= t1+s.tau { // on the step's end, or between the ends of two
				v := read(p)
				if when[i] <= t1 {
					values[i] = before[i] + float64((v-before[i])*((when[i]-t0)/s.tau))
				}
				before[i] = v
			}
		}
	}
	rec.take(true)
	for i, p := range probes {
		if math.IsNaN(when[i]) {
			values[i] = c.readPeaks(rec, at, p)
		}
	}
}

// runSteady welds until all that changes has died away, the last stretch with
// steps small enough not to matter, and reads the mean over one block of the grid,
// which the field rides along.
func (c *Case) runSteady(s *solver, rec *recorder, at *layout, probes []Probe, values []float64) {
	s.setStep(c.tau())
	last, block := c.EndX-c.lastStretch(), float64(blockFine*s.col.dx)
	reads := 0
	for arc := c.StartX; arc < c.EndX; {
		if arc >= last {
			s.setStep(float64(0.4 * c.tau()))
			last = math.Inf(1)
		}
		move := float64(c.Speed * s.tau)
		x := arc + move/2
		arc += move
		s.refine(x-at.behind, x+at.before)
		s.step(c.Power, x, c.Sigma)
		rec.update()
		if arc < c.EndX-block {
			continue
		}
		reads++
		for i, p := range probes {
			values[i] += c.readSteady(rec, at, p, arc)
		}
	}
	for i := range values {
		values[i] /= float64(reads)
	}
}

// lastStretch is how far a quasi-steady arc goes with small steps: far enough to
// read widths that are reached long after it has passed, m.
func (c *Case) lastStretch() float64 { return math.Max(40e-3, float64(6*c.Diffusivity)/c.Speed) }

func (c *Case) tau() float64 {
	if c.Spec.Tau > 0 {
		return c.Spec.Tau
	}
	return StepFor(c.Sigma, c.Speed, c.Diffusivity)
}

// maxClosure is the largest share of the heat an accepted run may lose track of.
const maxClosure = 1e-3

// closure gives what the energy account misses, as a share of the heat put in.
func (s *solver) closure() float64 {
	in := s.absorbed
	if in == 0 {
		return 0
	}
	return math.Abs(s.energy()-s.stored0+s.lost+s.vapour-in) / in
}

// layout of a case: its surfaces and how far around the arc the grid is fine.
type layout struct {
	paths          map[Side]path
	mid            []int            // cells below the seam, top to bottom (plates)
	inner          map[Side][]point // the faces' start where a fillet covers it
	bisector       []point          // below a tee's corner, inwards
	far            float64          // where the bisector leaves the base, m
	crown          int              // the middle of a fillet's face, -1 without one
	behind, before float64
}

// point lies between the centres of two cells.
type point struct {
	s    float64 // along the line it belongs to
	a, b int
	w    float64 // of b
}

// has says whether the part has what the probe reads.
func (l *layout) has(p Probe) bool {
	switch p.Quantity {
	case Depth:
		return len(l.mid) > 0
	case BisectorDepth:
		return len(l.bisector) > 0
	}
	side := p.Side
	switch side {
	case Corner:
		return len(l.bisector) > 0
	case BaseBackHottest:
		side = BaseBack
	case WebBackHottest:
		side = WebBack
	}
	return len(l.paths[side].faces) > 0
}

// profile reads a side, also where a fillet covers it.
func (l *layout) profile(r reading, sd Side) profile {
	p := r.profile(l.paths[sd])
	if in := l.inner[sd]; len(in) > 0 {
		q := r.along(in)
		p.s, p.t = append(q.s, p.s...), append(q.t, p.t...)
	}
	return p
}

// temperature reads the side at y from the joint.
func (l *layout) temperature(r reading, sd Side, y float64) float64 {
	switch sd {
	case Corner:
		if l.crown >= 0 {
			return r.along(l.bisector).at(0)
		}
		return r.corner()
	case BaseBackHottest:
		t, _ := l.profile(r, BaseBack).max()
		return t
	case WebBackHottest:
		t, _ := l.profile(r, WebBack).max()
		return t
	}
	return l.profile(r, sd).at(y)
}

func (c *Case) build() (*solver, *recorder, *layout, error) {
	t := c.Thickness
	if c.Kind == TeeTransient {
		t = math.Min(t, c.WebThickness)
	}
	d := c.Cell
	if d == 0 {
		d = CellFor(t, c.Sigma)
	}
	if c.Diffusivity == 0 {
		hot := float64(0.7 * c.Solidus)
		c.Diffusivity = c.Table.ThetaAt(hot) / c.Table.Enthalpy(hot)
	}
	around := 1.0
	if c.Kind == PlateQuasiSteady {
		// Far enough that the ends and edges do not matter: the field decays over alpha/v.
		decay := c.Diffusivity / c.Speed
		c.StartX = math.Max(15e-3, float64(6*decay))
		c.EndX = c.StartX + math.Max(120e-3, float64(24*decay)) + c.lastStretch()
		c.Length = c.EndX + math.Max(12e-3, float64(5*decay))
		c.Width = 2 * math.Max(40e-3, 8*decay)
		c.Spec.Convection, c.Spec.Emissivity = 0, 0
		around = 2
	}
	if !(c.Length > 0 && c.Width > 0 && c.Speed > 0 && c.EndX > c.StartX && c.Power > 0 && t > 0 && d > 0 && c.Sigma > 0) {
		return nil, nil, nil, errors.New("lengths, power, sigma and speed must be positive and the end after the start")
	}
	sec := &section{}
	tooFine := func() error {
		if n := float64(len(sec.cells)) * c.Length / d; len(sec.cells) > maxSection || n > maxCells {
			return fmt.Errorf("the grid would have %.0f cells, %d across the seam; the most are %.0f and %d: the part is too large for its thickness or the arc's sigma", n, len(sec.cells), float64(maxCells), maxSection)
		}
		return nil
	}
	lay := &layout{paths: map[Side]path{}, inner: map[Side][]point{}, crown: -1, behind: float64(around * fineBehind), before: float64(around * fineBefore)}
	var axis torch
	if c.Kind == TeeTransient {
		c.teeCells(sec, t, d)
		if err := tooFine(); err != nil {
			return nil, nil, nil, err
		}
		c.layTee(sec, lay)
		axis = newTorch(0, 0, c.WorkAngle)
	} else {
		fine := fineBand(t)
		sec.strip(0, 0, 0, right, -1, c.Thickness, plateBands(c.Thickness, c.Width/2, d, fine))
		if err := tooFine(); err != nil {
			return nil, nil, nil, err
		}
		sec.connect(func(f *face) bool { return f.side == left && f.at < eps })
		axis = newTorch(0, 0, math.Pi/2)
		lay.paths[Top] = sec.newPath(true, func(f *face) (float64, bool) { return f.mid(), f.side == up })
		lay.paths[Back] = sec.newPath(true, func(f *face) (float64, bool) { return f.mid(), f.side == down })
		for i := range sec.cells {
			if sec.cells[i].y0 < eps {
				lay.mid = append(lay.mid, i)
			}
		}
	}
	s := newSolver(sec, c.Length, d, []*metal.Table{c.Table, c.Table}, c.Spec)
	s.aim(axis, c.Sigma, d)
	s.stored0 = s.energy()
	faces := make([]int, len(sec.faces))
	for i := range faces {
		faces[i] = i
	}
	cells := append([]int{}, lay.mid...)
	for _, i := range lay.mid {
		for _, nb := range sec.cells[i].nb {
			cells = append(cells, nb.cell)
		}
	}
	for _, line := range [][]point{lay.bisector, lay.inner[BaseTop], lay.inner[WebFace]} {
		for _, p := range line {
			cells = append(cells, p.a, p.b)
		}
	}
	rec := newRecorder(s, faces, cells)
	rec.all = true
	if c.Kind == TeeTransient && lay.crown < 0 {
		rec.watchCorner(lay.paths[BaseTop], lay.paths[WebFace])
	}
	return s, rec, lay, nil
}

// A case may not ask for a grid that fills the memory.
const (
	maxSection = 8000 // cells across the seam
	maxCells   = 8e6
)

// teeCells cuts the section of a tee: the corner at y = z = 0, the base below
// z = 0, the web from y = 0 to minus its thickness.
func (c *Case) teeCells(sec *section, t, d float64) {
	tb, leg := c.WebThickness, c.FilletLeg
	flank := (c.Width - tb) / 2
	fine := fineBand(t)
	dw := tb / float64(layersOf(tb, d)) // the base's cells under the web line up with the web's
	var start []band
	if leg > 0 {
		// An odd number of cells along the leg puts one of the fillet's face on the bisector.
		m := 1 + 2*int(math.Ceil((leg/d-1)/2-eps))
		df := leg / float64(m)
		start = []band{{leg, df, 0}}
		for i := range m {
			for k := range m - i {
				y, z := float64(df*float64(i)), float64(df*float64(k))
				sec.cells = append(sec.cells, cell{y0: y, y1: y + df, z0: z, z1: z + df, cut: i+k == m-1})
			}
		}
	}
	from := func(thickness, length float64) []band {
		bands := plateBands(thickness, length-leg, d, math.Max(fine-leg, 1.5e-3))
		for i := range start {
			start[i].layers = bands[0].layers
		}
		return append(append([]band{}, start...), shifted(bands, leg)...)
	}
	sec.strip(0, 0, 0, right, -1, c.Thickness, from(c.Thickness, flank))
	under := append([]band{{tb, dw, layersOf(c.Thickness, d)}}, shifted(plateBands(c.Thickness, flank, d, fineUnder), tb)...)
	sec.strip(0, 0, 0, left, -1, c.Thickness, under)
	sec.strip(1, 0, 0, up, -1, tb, from(tb, c.WebHeight))
}

// layTee joins the members into one and finds the tee's sides and its bisector.
func (c *Case) layTee(sec *section, lay *layout) {
	leg := c.FilletLeg
	sec.connect(nil)
	sec.weldContacts()

	line := func(name Side, member int, sd side, upTo float64) {
		lay.paths[name] = sec.newPath(false, func(f *face) (float64, bool) {
			return f.mid(), sec.cells[f.cell].member == member && f.side == sd && f.at < upTo && (sd == down || f.mid() > 0)
		})
	}
	line(BaseTop, 0, up, eps)
	line(BaseBack, 0, down, eps)
	line(WebFace, 1, right, eps)
	line(WebBack, 1, left, eps)
	if leg > 0 {
		for i := range sec.faces {
			if f := &sec.faces[i]; f.side == slope && math.Abs(f.mid()-leg/2) < eps {
				lay.crown = i
			}
		}
		for i := range sec.cells {
			p := &sec.cells[i]
			for _, nb := range p.nb {
				q := &sec.cells[nb.cell]
				if p.y0 > -eps && p.z0 > -eps || q.y0 < -eps || q.z0 < -eps {
					continue // p in a member, q in the fillet
				}
				if q.z0 < eps && p.z1 < eps && p.y0 > -eps {
					lay.inner[BaseTop] = append(lay.inner[BaseTop], point{p.y(), i, nb.cell, p.to(up) / (p.to(up) + q.to(down))})
				}
				if q.y0 < eps && p.y1 < eps && p.z0 > -eps {
					lay.inner[WebFace] = append(lay.inner[WebFace], point{p.z(), i, nb.cell, p.to(right) / (p.to(right) + q.to(left))})
				}
			}
		}
	} else {
		sec.easeCorner(0, 0)
		for _, name := range []Side{BaseTop, WebFace} {
			p := lay.paths[name]
			p.corner = true
			lay.paths[name] = p
		}
	}
	for i := range sec.cells {
		q := &sec.cells[i]
		if q.y0 > -eps && q.z0 > -eps && math.Abs(q.y()-q.z()) < eps {
			lay.bisector = append(lay.bisector, point{-float64(q.y() * math.Sqrt2), i, i, 0})
		}
	}
	lay.far = float64(c.Thickness * math.Sqrt2)
	// Below the corner the bisector meets each column of the base's cells at its middle, between two cells.
	seen := 0.0
	for i := len(sec.cells) - 1; i >= 0; i-- {
		y := sec.cells[i].y()
		if sec.cells[i].member != 0 || y > -eps || y < -c.Thickness || math.Abs(y-seen) < eps {
			continue
		}
		seen = y
		above, below := -1, -1
		for k := range sec.cells {
			q := &sec.cells[k]
			if math.Abs(q.y()-y) > eps {
				continue
			}
			if q.z() > y-eps && (above < 0 || q.z() < sec.cells[above].z()) {
				above = k
			}
			if q.z() < y+eps && (below < 0 || q.z() > sec.cells[below].z()) {
				below = k
			}
		}
		if above < 0 || below < 0 {
			continue // between the last cell's middle and the back
		}
		w := 0.0
		if span := sec.cells[above].z() - sec.cells[below].z(); span > eps {
			w = (sec.cells[above].z() - y) / span
		}
		lay.bisector = append(lay.bisector, point{-float64(y * math.Sqrt2), above, below, w})
	}
	slices.SortFunc(lay.bisector, func(a, b point) int { return cmp.Compare(a.s, b.s) })
	for _, in := range lay.inner {
		slices.SortFunc(in, func(a, b point) int { return cmp.Compare(a.s, b.s) })
	}
}

func shifted(b []band, by float64) []band {
	for i := range b {
		b[i].to += by
	}
	return b
}

// readPeaks takes the probes that the record of highest temperatures answers.
func (c *Case) readPeaks(rec *recorder, lay *layout, p Probe) float64 {
	r := rec.peaksAt(p.X)
	switch p.Quantity {
	case PeakTemperature:
		return lay.temperature(r, p.Side, p.Y)
	case Width:
		return 2 * lay.profile(r, p.Side).reach(p.Isotherm)
	case Leg:
		return lay.profile(r, p.Side).reach(p.Isotherm)
	case Depth:
		return lay.depth(r, p.Isotherm)
	case BisectorDepth:
		return lay.below(r, p.Isotherm)
	}
	return math.NaN()
}

// readSteady reads the field around the arc, and the widths some way behind it, where all has peaked.
func (c *Case) readSteady(rec *recorder, lay *layout, p Probe, arc float64) float64 {
	switch p.Quantity {
	case Temperature, PeakTemperature:
		return lay.temperature(rec.nowAt(arc+p.Ahead), p.Side, p.Y)
	case Length:
		return rec.lengthAbove(lay, p.Side, p.Isotherm)
	}
	p.X = arc - float64(0.7*c.lastStretch())
	return c.readPeaks(rec, lay, p)
}

// lengthAbove gives the length along the seam that is now above t on the side, next to the joint.
func (r *recorder) lengthAbove(lay *layout, sd Side, t float64) float64 {
	c := r.s.col
	temp := func(j int) float64 { return lay.temperature(r.nowIn(j), sd, 0) }
	first, last := -1, -1
	for j := range c.n {
		if temp(j) >= t {
			if first < 0 {
				first = j
			}
			last = j
		}
	}
	if first < 0 {
		return 0
	}
	cross := func(in, out int) float64 {
		if out < 0 || out >= c.n {
			return c.x[in]
		}
		a, b := temp(in), temp(out)
		return c.x[in] + float64((c.x[out]-c.x[in])*((a-t)/(a-b)))
	}
	return cross(last, last+1) - cross(first, first-1)
}

// depth gives how far below the top face the middle of the seam is above t.
func (l *layout) depth(r reading, t float64) float64 {
	sec := r.rec.s.sec
	z := []float64{0}
	temps := []float64{r.profile(l.paths[Top]).at(0)}
	bottom := 0.0
	for _, c := range l.mid {
		th := r.theta(c)
		for _, nb := range sec.cells[c].nb { // even about the middle
			if o := &sec.cells[nb.cell]; o.y() > sec.cells[c].y()+eps {
				th -= (r.theta(nb.cell) - th) / 8
				break
			}
		}
		z = append(z, -sec.cells[c].z())
		temps = append(temps, r.rec.s.rows[c].table.TemperatureAt(th))
		bottom = math.Max(bottom, -sec.cells[c].z0)
	}
	z = append(z, bottom)
	temps = append(temps, r.profile(l.paths[Back]).at(0))
	return crossing(z, temps, t)
}

// crossing gives where temps first falls below t along rising z: the first z when
// it never reaches it, the last when it never falls.
func crossing(z, temps []float64, t float64) float64 {
	if temps[0] < t {
		return z[0]
	}
	for i := 1; i < len(z); i++ {
		if temps[i] < t {
			return z[i-1] + float64((z[i]-z[i-1])*((temps[i-1]-t)/(temps[i-1]-temps[i])))
		}
	}
	return z[len(z)-1]
}

// below gives how far below the corner, on the bisector, the metal is above t; negative inside a fillet.
func (l *layout) below(r reading, t float64) float64 {
	p := r.along(l.bisector)
	s, top := 0.0, 0.0
	if l.crown >= 0 {
		f := &r.rec.s.sec.faces[l.crown]
		s, top = -f.at/math.Sqrt2, r.temperature(f.cell, r.surface(l.crown))
	} else {
		top = r.corner()
	}
	p.s, p.t = append([]float64{s}, p.s...), append([]float64{top}, p.t...)
	return crossing(append(p.s, l.far), append(p.t, p.t[len(p.t)-1]), t)
}

// newTorch points at (y, z) from the direction angle above +y.
func newTorch(y, z, angle float64) torch {
	return torch{y: y, z: z, angle: angle, cos: detmath.Cos(angle), sin: detmath.Sin(angle)}
}

// aim spreads the arc over the faces it sees.
func (s *solver) aim(t torch, sigma, d float64) {
	s.faceShare = s.sec.shares(t, widened(sigma, d), detmath.NormalShare)
	for i := range s.rows {
		s.rows[i].arc, s.rows[i].evapLen, s.rows[i].litDepth = 0, 0, 0
	}
	for i, share := range s.faceShare {
		f := &s.sec.faces[i]
		r := &s.rows[f.cell]
		r.arc += share / r.area
		if share > 1e-6 {
			r.evapLen += f.length() / r.area
			r.litDepth = f.depth / r.evapLen
		}
	}
}

// widened gives the deviation that makes up for what central differences on cells
// of d miss of a Gaussian's curvature: the scheme's error is d^2/12 times the
// fourth derivative, and widening by d^2/6 of variance cancels it in the source.
func widened(sigma, d float64) float64 {
	return math.Sqrt(float64(sigma*sigma) + float64(d*d)/6)
}

// weldContacts turns the contacts into plain metal: members fully bonded.
func (s *section) weldContacts() {
	for _, c := range s.contacts {
		f := c.length / (c.da + c.db)
		s.cells[c.a].nb = append(s.cells[c.a].nb, neighbour{c.b, f})
		s.cells[c.b].nb = append(s.cells[c.b].nb, neighbour{c.a, f})
	}
	s.contacts = nil
}
