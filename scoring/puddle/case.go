package puddle

import (
	"fmt"
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/metal"
)

// Spec is the surroundings a run is stepped in. Temperatures in C, the rest SI.
type Spec struct {
	Start      float64 // of the whole part
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
	return float64(sp.Convection*(t-metal.Ambient)) + metal.Radiation(sp.Emissivity, t)
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
	Cell                               float64 // m; 0 chooses one
}

// Probe asks a case for one number.
type Probe struct {
	Quantity string // peak_temperature, temperature, melt_width, pool_length, melt_depth, melt_leg, melt_depth_bisector
	Side     string // top, back; tee: corner, base_top, web_face, base_back, web_back, base_back_hottest, web_back_hottest, base, web
	X        float64
	Y        float64 // distance on the surface
	Ahead    float64 // quasi-steady: distance ahead of the arc
	Time     float64
	Isotherm float64
}

// StepFor chooses the time step, s, for an arc of deviation sigma at speed v on a
// metal of the given diffusivity. The scheme is of first order in time: its error
// acts like a conductivity along the seam that is too small by tau v^2/4, held
// here below about 2 %; and the arc must not jump over its own width.
func StepFor(sigma, v, diffusivity float64) float64 {
	tau := 0.06
	if v > 0 {
		tau = math.Min(tau, float64(0.055*diffusivity)/float64(v*v))
		tau = math.Min(tau, 0.3*sigma/v)
	}
	return math.Max(tau, 0.01)
}

// The grid is fine this far behind and before the arc, m; wider makes no difference.
const (
	fineBehind = 7e-3
	fineBefore = 3e-3
)

// fineBand gives how far from the seam the cells are fine, m.
func fineBand(t float64) float64 { return math.Max(1.5*t, 3e-3) }

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
	values = make([]float64, len(probes))
	if c.Kind == PlateQuasiSteady {
		c.runSteady(s, rec, at, probes, values)
	} else {
		c.runTransient(s, rec, at, probes, values)
	}
	closure = s.closure()
	if closure > maxClosure {
		return nil, closure, fmt.Errorf("energy does not close: %.3f %%, allowed is %.1f %%", 100*closure, 100*maxClosure)
	}
	for i, p := range probes {
		if math.IsNaN(values[i]) {
			return nil, closure, fmt.Errorf("nothing to read for %s at %q", p.Quantity, p.Side)
		}
	}
	return values, closure, nil
}

// runTransient welds from StartX to EndX and lets the part cool for 6 s more.
func (c *Case) runTransient(s *solver, rec *recorder, at *layout, probes []Probe, values []float64) {
	arcOn := (c.EndX - c.StartX) / c.Speed
	steps := int(math.Ceil(arcOn / c.tau()))
	s.setStep(arcOn / float64(steps)) // the arc goes out on a step
	end := arcOn + 6
	for i, p := range probes {
		values[i] = math.NaN()
		end = math.Max(end, p.Time+s.tau)
	}
	before := make([]float64, len(probes))
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
			var v, when float64
			switch p.Quantity {
			case "temperature":
				when = p.Time
			case "pool_length":
				when = (p.X - c.StartX) / c.Speed
			default:
				continue
			}
			if when <= t0 || when > t1+s.tau { // read at the step before and after only
				continue
			}
			if p.Quantity == "temperature" {
				v = rec.nowProfile(at.paths[p.Side], p.X).at(p.Y)
			} else {
				v = rec.lengthAbove(at.paths[at.line(p.Side)], p.Isotherm)
			}
			if when <= t1+1e-9 {
				values[i] = before[i] + float64((v-before[i])*((when-t0)/s.tau))
			}
			before[i] = v
		}
	}
	for i, p := range probes {
		if v, ok := c.readPeaks(rec, at, p); ok {
			values[i] = v
		}
	}
}

// runSteady welds until nothing that is asked changes any more, up to the end of the plate.
func (c *Case) runSteady(s *solver, rec *recorder, at *layout, probes []Probe, values []float64) {
	s.setStep(c.tau())
	every := math.Max(5e-3, c.Diffusivity/c.Speed)
	last := make([]float64, len(probes))
	next := c.StartX + 6*every
	for n := 0; ; n++ {
		x := c.StartX + float64(c.Speed*float64((float64(n)+0.5)*s.tau))
		arc := x + float64(c.Speed*s.tau)/2
		s.refine(x-at.behind, x+at.before)
		s.step(c.Power, x, c.Sigma)
		rec.update()
		done := arc >= c.EndX
		if arc < next && !done {
			continue
		}
		next += every
		settled := true
		for i, p := range probes {
			values[i] = c.readSteady(rec, at, p, arc)
			settled = settled && math.Abs(values[i]-last[i]) <= 5e-4*math.Abs(values[i])
			last[i] = values[i]
		}
		if settled || done {
			return
		}
	}
}

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
	paths          map[string]path
	mid            []int // cells below the seam, top to bottom (plates)
	diagonal       []int // cells on the bisector (tees)
	diagonalS      []float64
	behind, before float64
}

func (l *layout) line(side string) string {
	if side == "corner" {
		return "base_top"
	}
	return side
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
	if c.Kind == PlateQuasiSteady {
		// Far enough that the ends and edges do not matter: the field decays over alpha/v.
		decay := c.Diffusivity / c.Speed
		c.StartX = math.Max(15e-3, 6*decay)
		c.EndX = c.StartX + math.Max(150e-3, 30*decay)
		c.Length = c.EndX + math.Max(12e-3, 5*decay)
		c.Width = 2 * math.Max(40e-3, 8*decay)
		c.Spec.Convection, c.Spec.Emissivity = 0, 0
	}
	if c.Length <= 0 || c.Speed <= 0 || c.EndX <= c.StartX || c.Power <= 0 || t <= 0 || d <= 0 || c.Sigma <= 0 {
		return nil, nil, nil, fmt.Errorf("lengths, power, sigma and speed must be positive and the end after the start")
	}
	if c.Diffusivity == 0 {
		hot := 0.7 * c.Solidus
		c.Diffusivity = c.Table.ThetaAt(hot) / c.Table.Enthalpy(hot)
	}
	sec := &section{}
	lay := &layout{paths: map[string]path{}, behind: fineBehind, before: fineBefore}
	var axis torch
	if c.Kind == TeeTransient {
		tb := c.WebThickness
		n := math.Max(2, math.Round(tb/d))
		dw := tb / n // the base's cells under the web line up with the web's
		fine := math.Max(3*t, 4e-3)
		sec.strip(0, 0, 0, right, -1, c.Thickness, plateBands(c.Thickness, (c.Width-tb)/2, d, fine))
		under := append([]band{{tb, dw, max(2, int(math.Round(c.Thickness/d)))}}, shifted(plateBands(c.Thickness, (c.Width-tb)/2, d, 1.5e-3), tb)...)
		sec.strip(0, 0, 0, left, -1, c.Thickness, under)
		sec.strip(1, 0, 0, up, -1, tb, plateBands(tb, c.WebHeight, d, fine))
		for y := 0.0; y < c.FilletLeg-eps; y += d {
			for z := 0.0; y+z < c.FilletLeg-d/2; z += d {
				sec.cells = append(sec.cells, cell{y0: y, y1: y + d, z0: z, z1: z + d, member: 0})
			}
		}
		sec.connect(nil)
		sec.weldContacts()
		axis = newTorch(0, 0, c.WorkAngle)
		on := func(member int, sd side) func(f *face) bool {
			return func(f *face) bool { return sec.cells[f.cell].member == member && f.side == sd }
		}
		baseTop, baseBack, webFace, webBack := on(0, up), on(0, down), on(1, right), on(1, left)
		lay.paths["base_top"] = sec.newPath(false, func(f *face) (float64, bool) { return f.mid(), baseTop(f) && f.at < eps && f.mid() > 0 })
		lay.paths["base_back"] = sec.newPath(false, func(f *face) (float64, bool) { return f.mid(), baseBack(f) })
		lay.paths["web_face"] = sec.newPath(false, func(f *face) (float64, bool) { return f.mid(), webFace(f) })
		lay.paths["web_back"] = sec.newPath(false, func(f *face) (float64, bool) { return f.mid(), webBack(f) })
		if c.FilletLeg == 0 {
			for _, name := range []string{"base_top", "web_face"} {
				p := lay.paths[name]
				p.corner = true
				lay.paths[name] = p
			}
		}
		for i := range sec.cells {
			y, z := sec.cells[i].y(), sec.cells[i].z()
			if math.Abs(y-z) < 0.3*d && y > -math.Min(tb, c.Thickness) && y < c.FilletLeg+d {
				lay.diagonal = append(lay.diagonal, i)
				lay.diagonalS = append(lay.diagonalS, -float64((y+z)/2*math.Sqrt2))
			}
		}
		sortBy(lay.diagonalS, lay.diagonal)
	} else {
		fine := fineBand(t)
		sec.strip(0, 0, 0, right, -1, c.Thickness, plateBands(c.Thickness, c.Width/2, d, fine))
		sec.connect(func(f *face) bool { return f.side == left && f.at < eps })
		axis = newTorch(0, 0, math.Pi/2)
		lay.paths["top"] = sec.newPath(true, func(f *face) (float64, bool) { return f.mid(), f.side == up })
		lay.paths["back"] = sec.newPath(true, func(f *face) (float64, bool) { return f.mid(), f.side == down })
		for i := range sec.cells {
			if sec.cells[i].y0 < eps {
				lay.mid = append(lay.mid, i)
			}
		}
	}
	s := newSolver(sec, c.Length, d, []*metal.Table{c.Table, c.Table}, c.Spec)
	s.aim(axis, c.Sigma, d)
	faces := make([]int, len(sec.faces))
	for i := range faces {
		faces[i] = i
	}
	cells := append(append([]int{}, lay.diagonal...), lay.mid...)
	for _, i := range lay.mid {
		for _, nb := range sec.cells[i].nb {
			cells = append(cells, nb.cell)
		}
	}
	rec := newRecorder(s, faces, cells)
	rec.all = true
	return s, rec, lay, nil
}

func shifted(b []band, by float64) []band {
	for i := range b {
		b[i].to += by
	}
	return b
}

// readPeaks takes the probes that the record of highest temperatures answers.
func (c *Case) readPeaks(rec *recorder, lay *layout, p Probe) (float64, bool) {
	switch p.Quantity {
	case "peak_temperature":
		switch p.Side {
		case "corner":
			return rec.cornerPeak(lay, p.X), true
		case "base_back_hottest", "web_back_hottest":
			v, _ := rec.peakProfile(lay.paths[p.Side[:len(p.Side)-len("_hottest")]], p.X).max()
			return v, true
		}
		return rec.peakProfile(lay.paths[p.Side], p.X).at(p.Y), true
	case "melt_width":
		return 2 * rec.peakProfile(lay.paths[p.Side], p.X).reach(p.Isotherm), true
	case "melt_leg":
		return rec.peakProfile(lay.paths[map[string]string{"base": "base_top", "web": "web_face"}[p.Side]], p.X).reach(p.Isotherm), true
	case "melt_depth":
		return rec.depth(lay, p.X, p.Isotherm), true
	case "melt_depth_bisector":
		return rec.bisector(lay, p.X, p.Isotherm), true
	}
	return 0, false
}

// readSteady reads the field around the arc, and the widths some way behind it, where all has peaked.
func (c *Case) readSteady(rec *recorder, lay *layout, p Probe, arc float64) float64 {
	behind := arc - float64(0.4*(arc-c.StartX))
	switch p.Quantity {
	case "temperature", "peak_temperature":
		return rec.nowProfile(lay.paths[p.Side], arc+p.Ahead).at(p.Y)
	case "melt_width":
		return 2 * rec.peakProfile(lay.paths[p.Side], behind).reach(p.Isotherm)
	case "melt_depth":
		return rec.depth(lay, behind, p.Isotherm)
	case "pool_length":
		return rec.lengthAbove(lay.paths[p.Side], p.Isotherm)
	}
	return math.NaN()
}

// lengthAbove gives the length along the seam that is above t at the path's start.
func (r *recorder) lengthAbove(p path, t float64) float64 {
	c := r.s.col
	temp := func(j int) float64 {
		return r.profileOf(p.first(2), func(f int) float64 { return r.surface(f, j) }).at(0)
	}
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

func (p path) first(n int) path {
	n = min(n, len(p.s))
	return path{p.faces[:n], p.s[:n], p.half[:n], p.mirror, p.corner}
}

// depth gives how far below the top face the middle of the seam passed t.
func (r *recorder) depth(lay *layout, x, t float64) float64 {
	i, k, w := r.s.col.fineAt(x)
	sec := r.s.sec
	z := []float64{0}
	temps := []float64{r.peakProfile(lay.paths["top"], x).at(0)}
	bottom := 0.0
	for _, c := range lay.mid {
		v := r.cellPeak[r.cellAt[c]]
		th := v[i] + float64(w*(v[k]-v[i]))
		for _, nb := range sec.cells[c].nb { // even about the middle
			if o := &sec.cells[nb.cell]; o.y() > sec.cells[c].y()+eps {
				u := r.cellPeak[r.cellAt[nb.cell]]
				tn := u[i] + float64(w*(u[k]-u[i]))
				th -= (tn - th) / 8
				break
			}
		}
		z = append(z, -sec.cells[c].z())
		temps = append(temps, r.s.rows[c].table.TemperatureAt(th))
		bottom = math.Max(bottom, -sec.cells[c].z0)
	}
	z = append(z, bottom)
	temps = append(temps, r.peakProfile(lay.paths["back"], x).at(0))
	return crossing(z, temps, t)
}

// crossing gives where temps first falls below t along rising z; the last z when it never does.
func crossing(z, temps []float64, t float64) float64 {
	if temps[0] < t {
		return 0
	}
	for i := 1; i < len(z); i++ {
		if temps[i] < t {
			return z[i-1] + float64((z[i]-z[i-1])*((temps[i-1]-t)/(temps[i-1]-temps[i])))
		}
	}
	return z[len(z)-1]
}

// bisector gives how far below the corner, on the bisector, the metal passed t; negative inside a fillet.
func (r *recorder) bisector(lay *layout, x, t float64) float64 {
	i, k, w := r.s.col.fineAt(x)
	var z, temps []float64
	for n, c := range lay.diagonal {
		v := r.cellPeak[r.cellAt[c]]
		z = append(z, lay.diagonalS[n])
		temps = append(temps, r.s.rows[c].table.TemperatureAt(v[i]+float64(w*(v[k]-v[i]))))
	}
	if len(z) == 0 {
		return math.NaN()
	}
	if z[0] > 0 { // no fillet: the corner itself is on the surface
		z, temps = append([]float64{0}, z...), append([]float64{r.cornerPeak(lay, x)}, temps...)
	}
	return crossing(z, temps, t)
}

// cornerPeak reads the corner: inside a fillet between the cells on the bisector, else from both faces.
func (r *recorder) cornerPeak(lay *layout, x float64) float64 {
	if len(lay.diagonalS) == 0 || lay.diagonalS[0] > 0 {
		return (r.peakProfile(lay.paths["base_top"], x).at(0) + r.peakProfile(lay.paths["web_face"], x).at(0)) / 2
	}
	i, k, w := r.s.col.fineAt(x)
	p := profile{}
	for n, c := range lay.diagonal {
		v := r.cellPeak[r.cellAt[c]]
		p.s = append(p.s, lay.diagonalS[n])
		p.t = append(p.t, r.s.rows[c].table.TemperatureAt(v[i]+float64(w*(v[k]-v[i]))))
	}
	return p.at(0)
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
