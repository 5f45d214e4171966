package verify

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/puddle"
)

// What the numbers of a case may be. The limits keep a mistyped or hostile file
// from asking for a weld that never ends; the model's own range is narrower.
const (
	maxLength      = 1000 // mm
	maxTemperature = 6000 // C
	maxTime        = 3600 // s
	maxProbes      = 2000
	coolFor        = 6 // s: how long the references follow a part after the arc is out
)

var kinds = []string{string(puddle.PlateQuasiSteady), string(puddle.PlateTransient), string(puddle.TeeTransient)}

// sides by the name a file gives them under side or at.
var sides = map[string]puddle.Side{
	"top": puddle.Top, "back": puddle.Back,
	"corner": puddle.Corner, "base_top": puddle.BaseTop, "base_back": puddle.BaseBack,
	"web_face": puddle.WebFace, "web_back": puddle.WebBack,
	"base_back_hottest": puddle.BaseBackHottest, "web_back_hottest": puddle.WebBackHottest,
}

// members by the name a file gives them: the face whose melted leg is meant.
var members = map[string]puddle.Side{"base": puddle.BaseTop, "web": puddle.WebFace}

// reader reads one case file.
type reader struct {
	fsys  fs.FS
	shown func(string) string
	c     *Case
}

// read reads one case; tables it names are taken from its own folder.
func read(fsys fs.FS, name string, shown func(string) string) (*Case, error) {
	doc, err := strict.ReadAs(fsys, name, shown(name))
	if err != nil {
		return nil, err
	}
	r := &reader{fsys: fsys, shown: shown, c: &Case{File: shown(name)}}
	tables := r.all(doc)
	if err := doc.Err(); err != nil || tables != nil {
		var own strict.Problems
		errors.As(err, &own)
		return nil, append(own, tables...)
	}
	return r.c, nil
}

// all reads the whole file. What is wrong with the file itself the document
// remembers; what is wrong with the tables beside it comes back.
func (r *reader) all(doc *strict.Doc) (tables strict.Problems) {
	m := doc.Root("id", "kind", "reference", "metal", "loss", "ambient_c", "plate", "tee", "source", "expect", "history", "cost")
	c := r.c
	c.ID, _ = m.Need("id", "a short name such as P1").Words(40)
	c.Reference, _ = m.Need("reference", "how the values under expect were found").Words(600)
	kind, known := m.Need("kind", "one of "+strings.Join(kinds, ", ")).OneOf(kinds)
	c.Kind = puddle.CaseKind(kind)
	c.heat.Kind = c.Kind
	c.heat.Spec.Start = number(m.Need("ambient_c", "ambient_c: 20"), metal.Ambient, 1000, "C")
	c.heat.Spec.Around = c.heat.Spec.Start
	collect := func(err error) {
		var ps strict.Problems
		if errors.As(err, &ps) {
			tables = append(tables, ps...)
		}
	}
	collect(r.readMetal(m.Need("metal", "conductivity_w_mk, density_kg_m3 and specific_heat_j_kgk, or a table under properties")))
	if !known {
		return tables
	}
	r.readShape(m)
	r.readSource(m.Need("source", "absorbed_w, sigma_mm, speed_mm_s and, unless the case is quasi-steady, start_x_mm and end_x_mm"))
	r.readLoss(m.Get("loss"))
	r.readExpect(m.Need("expect", "a list of values the reference gives"))
	if v := m.Get("history"); v.Given() {
		switch name, ok := tableName(v); {
		case !ok:
		case c.Kind == puddle.PlateQuasiSteady:
			v.Fail("a quasi-steady case has no history", "remove it")
		case c.heat.Length < historyX*1e-3:
			v.Fail(fmt.Sprintf("histories are taken at x = %d mm, which this part does not reach", historyX), "remove it")
		default:
			h, err := readHistory(r.fsys, name, r.shown(name), c.Kind)
			collect(err)
			c.History = h
		}
	}
	return tables
}

// readMetal reads constants or a property table.
func (r *reader) readMetal(v strict.Value) error {
	m := v.Map("name", "density_kg_m3", "conductivity_w_mk", "specific_heat_j_kgk", "properties", "solidus_c", "liquidus_c", "latent_heat_kj_kg")
	heat := &r.c.heat
	if name := m.Get("name"); name.Given() {
		name.Words(80)
	}
	density := number(m.Need("density_kg_m3", "density_kg_m3: 7850"), 500, 25000, "kg/m3")
	solidus, liquidus := m.Get("solidus_c"), m.Get("liquidus_c")
	if solidus.Given() || liquidus.Given() {
		heat.Solidus = number(m.Need("solidus_c", "give both or none"), 30, 4000, "C")
		heat.Liquidus = number(m.Need("liquidus_c", "give both or none"), 30, 4000, "C")
		if heat.Solidus != 0 && heat.Liquidus != 0 && heat.Solidus >= heat.Liquidus {
			liquidus.Fail("is not above the solidus", "")
		}
	}
	latent := 0.0
	if l := m.Get("latent_heat_kj_kg"); l.Given() {
		latent = number(l, 0, 2000, "kJ/kg") * 1e3
		if latent > 0 && !liquidus.Given() {
			l.Fail("latent heat needs a melting range", "give solidus_c and liquidus_c")
		}
	}
	if p := m.Get("properties"); p.Given() {
		for _, key := range []string{"conductivity_w_mk", "specific_heat_j_kgk"} {
			if v := m.Get(key); v.Given() {
				v.Fail("is given beside a property table, which holds it", "remove one of them")
			}
		}
		name, ok := tableName(p)
		if !ok {
			return nil
		}
		curve, err := readProperties(r.fsys, name, r.shown(name))
		if err != nil {
			return err
		}
		heat.Table = metal.NewTable(curve, nil)
		if heat.Solidus == 0 {
			last := len(curve.T) - 1
			heat.Diffusivity = curve.Theta[last] / curve.H[last]
		}
		return nil
	}
	const or = ", or a table under properties"
	k := number(m.Need("conductivity_w_mk", "conductivity_w_mk: 30"+or), 0.1, 5000, "W/mK")
	cp := number(m.Need("specific_heat_j_kgk", "specific_heat_j_kgk: 690"+or), 50, 10000, "J/kgK")
	if k == 0 || cp == 0 || density == 0 || heat.Solidus >= heat.Liquidus && liquidus.Given() {
		return nil // told already
	}
	heat.Diffusivity = k / (density * cp)
	heat.Table = metal.NewTable(constant(k, density*cp, density*latent, heat.Solidus, heat.Liquidus), nil)
	return nil
}

// constant gives the curve of a metal of one conductivity, W/mK, and heat
// capacity, J/m3K, with the latent heat, J/m3, spread evenly over its melting range.
func constant(k, capacity, latent, solidus, liquidus float64) metal.Curve {
	at := []float64{metal.Ambient}
	if latent > 0 {
		at = append(at, solidus, liquidus)
	}
	at = append(at, maxTemperature)
	var c metal.Curve
	for _, t := range at {
		rise := t - metal.Ambient
		h := capacity * rise
		if latent > 0 && t >= liquidus {
			h += latent
		}
		c.T, c.H, c.Theta = append(c.T, t), append(c.H, h), append(c.Theta, k*rise)
	}
	return c
}

// readShape reads the plate or the tee.
func (r *reader) readShape(m strict.Map) {
	heat := &r.c.heat
	if r.c.Kind == puddle.TeeTransient {
		if v := m.Get("plate"); v.Given() {
			v.Fail("a tee has no plate", "describe it under tee")
		}
		t := m.Need("tee", "length_mm, base_width_mm, base_thickness_mm, web_height_mm, web_thickness_mm, fillet_leg_mm").
			Map("length_mm", "base_width_mm", "base_thickness_mm", "web_height_mm", "web_thickness_mm", "fillet_leg_mm")
		heat.Length = millimetres(t.Need("length_mm", "length_mm: 60"), 5, maxLength)
		heat.Width = millimetres(t.Need("base_width_mm", "base_width_mm: 50"), 5, maxLength)
		heat.Thickness = millimetres(t.Need("base_thickness_mm", "base_thickness_mm: 2"), 0.3, 25)
		heat.WebHeight = millimetres(t.Need("web_height_mm", "web_height_mm: 25"), 3, maxLength)
		heat.WebThickness = millimetres(t.Need("web_thickness_mm", "web_thickness_mm: 2"), 0.3, 25)
		if leg := t.Get("fillet_leg_mm"); leg.Given() {
			heat.FilletLeg = millimetres(leg, 0, 20)
			if heat.FilletLeg > math.Min((heat.Width-heat.WebThickness)/2, heat.WebHeight)/2 {
				leg.Fail("is more than half of what the members have room for", "")
			}
		}
		if width := t.Get("base_width_mm"); width.Given() && heat.Width < 3*heat.WebThickness {
			width.Fail("is less than three times the web's thickness", "")
		}
		return
	}
	if v := m.Get("tee"); v.Given() {
		v.Fail("a plate case has no tee", "describe it under plate")
	}
	keys := []string{"thickness_mm"}
	if r.c.Kind == puddle.PlateTransient {
		keys = []string{"length_mm", "width_mm", "thickness_mm"}
	}
	p := m.Need("plate", strings.Join(keys, ", ")).Map(keys...)
	heat.Thickness = millimetres(p.Need("thickness_mm", "thickness_mm: 1.4"), 0.3, 25)
	if r.c.Kind == puddle.PlateTransient {
		heat.Length = millimetres(p.Need("length_mm", "length_mm: 60"), 5, maxLength)
		heat.Width = millimetres(p.Need("width_mm", "width_mm: 50"), 5, maxLength)
	}
}

func (r *reader) readSource(v strict.Value) {
	keys := []string{"absorbed_w", "sigma_mm", "speed_mm_s"}
	switch r.c.Kind {
	case puddle.PlateTransient:
		keys = append(keys, "start_x_mm", "end_x_mm")
	case puddle.TeeTransient:
		keys = append(keys, "start_x_mm", "end_x_mm", "work_angle_deg", "aim")
	}
	m := v.Map(keys...)
	heat := &r.c.heat
	heat.Power = number(m.Need("absorbed_w", "absorbed_w: 480"), 1, 20000, "W")
	heat.Sigma = millimetres(m.Need("sigma_mm", "sigma_mm: 1.8"), 0.3, 20)
	heat.Speed = millimetres(m.Need("speed_mm_s", "speed_mm_s: 3"), 0.2, 50)
	if r.c.Kind == puddle.PlateQuasiSteady {
		return
	}
	heat.CoolFor = coolFor
	heat.StartX = millimetres(m.Need("start_x_mm", "start_x_mm: 5"), 0, maxLength)
	end := m.Need("end_x_mm", "end_x_mm: 55")
	heat.EndX = millimetres(end, 0, maxLength)
	if heat.EndX > heat.Length && heat.Length > 0 {
		end.Fail("is beyond the part's end", "")
	}
	if heat.EndX <= heat.StartX {
		end.Fail("is not after start_x_mm", "")
	}
	if r.c.Kind == puddle.TeeTransient {
		// Steeper or flatter, one member hides behind the other.
		heat.WorkAngle = number(m.Need("work_angle_deg", "work_angle_deg: 45"), 5, 85, "degrees") * math.Pi / 180
		m.Need("aim", "aim: corner").OneOf([]string{"corner"})
	}
}

func (r *reader) readLoss(v strict.Value) {
	if !v.Given() {
		return
	}
	m := v.Map("convection_w_m2k", "emissivity")
	spec := &r.c.heat.Spec
	spec.Convection = number(m.Need("convection_w_m2k", "convection_w_m2k: 15"), 0, 10000, "W/m2K")
	spec.Emissivity = number(m.Need("emissivity", "emissivity: 0.8"), 0, 1, "")
	if r.c.Kind == puddle.PlateQuasiSteady && (spec.Convection != 0 || spec.Emissivity != 0) {
		v.Fail("a quasi-steady plate is insulated", "remove it, or make the case plate-transient")
	}
}

// asked is a quantity of a file: what is read, and the keys that say where.
type asked struct {
	name        string
	quantity    puddle.Quantity
	steady      string // keys for a quasi-steady plate, a plate, a tee; empty: not asked of it
	plate       string
	tee         string
	temperature bool
}

// quantities a file may ask for. An isotherm is named (isotherm: solidus) or a temperature (isotherm_c: 800).
var quantities = []asked{
	{name: "peak_temperature_c", quantity: puddle.PeakTemperature, temperature: true, steady: "side ahead_mm y_mm", plate: "side x_mm y_mm", tee: "at x_mm distance_mm"},
	{name: "temperature_c", quantity: puddle.Temperature, temperature: true, steady: "side ahead_mm y_mm", plate: "side x_mm y_mm time_s", tee: "at x_mm distance_mm time_s"},
	{name: "melt_width_mm", quantity: puddle.Width, steady: "side isotherm", plate: "side x_mm isotherm"},
	{name: "isotherm_width_mm", quantity: puddle.Width, steady: "side isotherm", plate: "side x_mm isotherm"},
	{name: "melt_depth_mm", quantity: puddle.Depth, steady: "isotherm", plate: "x_mm isotherm"},
	{name: "isotherm_depth_mm", quantity: puddle.Depth, steady: "isotherm", plate: "x_mm isotherm"},
	{name: "pool_length_mm", quantity: puddle.Length, steady: "side isotherm", plate: "side arc_x_mm isotherm", tee: "at arc_x_mm isotherm"},
	{name: "isotherm_length_mm", quantity: puddle.Length, steady: "side isotherm", plate: "side arc_x_mm isotherm", tee: "at arc_x_mm isotherm"},
	{name: "melt_leg_mm", quantity: puddle.Leg, tee: "member x_mm isotherm"},
	{name: "isotherm_leg_mm", quantity: puddle.Leg, tee: "member x_mm isotherm"},
	{name: "melt_depth_bisector_mm", quantity: puddle.BisectorDepth, tee: "x_mm isotherm"},
	{name: "isotherm_depth_bisector_mm", quantity: puddle.BisectorDepth, tee: "x_mm isotherm"},
}

func (a asked) keys(kind puddle.CaseKind) string {
	switch kind {
	case puddle.PlateQuasiSteady:
		return a.steady
	case puddle.PlateTransient:
		return a.plate
	}
	return a.tee
}

func (r *reader) readExpect(v strict.Value) {
	list, ok := v.List(maxProbes)
	if !ok {
		return
	}
	if len(list) == 0 {
		v.Fail("nothing is expected", "a case without expected values shows nothing")
	}
	var names []string
	for _, q := range quantities {
		if q.keys(r.c.Kind) != "" {
			names = append(names, q.name)
		}
	}
	for _, row := range list {
		m := row.Map("quantity", "side", "at", "member", "x_mm", "y_mm", "distance_mm", "ahead_mm", "arc_x_mm", "time_s", "isotherm", "isotherm_c", "value", "uncertainty")
		name, ok := m.Need("quantity", "one of "+strings.Join(names, ", ")).OneOf(names)
		if !ok {
			continue
		}
		q := quantities[slices.IndexFunc(quantities, func(a asked) bool { return a.name == name })]
		p := Probe{Quantity: name, Temperature: q.temperature, Line: row.Line}
		p.probe.Quantity = q.quantity
		where := r.readPlace(m, strings.Fields(q.keys(r.c.Kind)), &p.probe)
		unit, lo, hi := "mm", -100.0, float64(maxLength)
		if q.temperature {
			unit, lo, hi = "C", -273.15, maxTemperature
		}
		p.Value = number(m.Need("value", "what the reference gives"), lo, hi, unit)
		if u := m.Get("uncertainty"); u.Given() {
			p.Uncertainty = number(u, 0, hi, unit)
		}
		p.Where = strings.Join(where, ", ")
		r.c.Probes = append(r.c.Probes, p)
	}
}

// readPlace reads the keys that say where a probe reads, refuses those that do
// not belong to it, and gives the place in words.
func (r *reader) readPlace(m strict.Map, keys []string, p *puddle.Probe) (where []string) {
	say := func(format string, args ...any) { where = append(where, fmt.Sprintf(format, args...)) }
	for _, key := range m.Keys() {
		if key != "quantity" && key != "value" && key != "uncertainty" && !slices.Contains(keys, strings.TrimSuffix(key, "_c")) {
			m.Get(key).Fail("does not belong to this quantity", "it is placed by "+strings.Join(keys, ", ")+"; an isotherm may be isotherm: liquidus or isotherm_c: 800")
		}
	}
	inside := func(v strict.Value, word string) {
		x := number(v, 0, r.c.heat.Length*1e3, "mm")
		p.X = x / 1e3
		say("%s %g", word, x)
	}
	for _, key := range keys {
		v := m.Get(key)
		if !v.Given() && key != "isotherm" {
			if key == "distance_mm" && (p.Side == puddle.Corner || p.Side == puddle.BaseBackHottest || p.Side == puddle.WebBackHottest) {
				continue
			}
			v.Fail("is missing", "this quantity is placed by "+strings.Join(keys, ", "))
			continue
		}
		switch key {
		case "side":
			name, _ := v.OneOf([]string{"top", "back"})
			p.Side = sides[name]
			say("%s", name)
		case "at":
			names := []string{"corner", "base_top", "web_face", "base_back", "web_back"}
			if p.Quantity != puddle.Length {
				names = append(names, "base_back_hottest", "web_back_hottest")
			}
			name, _ := v.OneOf(names)
			p.Side = sides[name]
			say("%s", p.Side)
		case "member":
			name, _ := v.OneOf([]string{"base", "web"})
			p.Side = members[name]
			say("%s", name)
		case "x_mm":
			inside(v, "x")
		case "arc_x_mm":
			inside(v, "arc at")
			if p.X < r.c.heat.StartX || p.X > r.c.heat.EndX {
				v.Fail("is not where the arc passes", "it runs from start_x_mm to end_x_mm")
			}
		case "y_mm":
			y := number(v, 0, maxLength, "mm")
			p.Y = y / 1e3
			if r.c.heat.Width > 0 && p.Y > r.c.heat.Width/2 {
				v.Fail("is outside the plate", "")
			}
			say("y %g", y)
		case "distance_mm":
			d := number(v, -maxLength, maxLength, "mm")
			p.Y = d / 1e3
			if lo, hi := r.reach(p.Side); p.Y < lo || p.Y > hi {
				v.Fail(fmt.Sprintf("is outside the part: %g to %g mm here", lo*1e3, hi*1e3), "")
			}
			say("at %g", d)
		case "ahead_mm":
			ahead := number(v, -100, 100, "mm")
			p.Ahead = ahead / 1e3
			say("%g ahead", ahead)
		case "time_s":
			p.Time = number(v, 0, maxTime, "s")
			say("%g s", p.Time)
		case "isotherm":
			name, ok := r.readIsotherm(m, p)
			if ok {
				where = append([]string{name}, where...)
			}
		}
	}
	return where
}

// reach gives from where to where a tee's side can be read, m.
func (r *reader) reach(s puddle.Side) (lo, hi float64) {
	heat := &r.c.heat
	side := (heat.Width - heat.WebThickness) / 2
	switch s {
	case puddle.WebFace, puddle.WebBack:
		return 0, heat.WebHeight
	case puddle.BaseBack:
		return -heat.WebThickness - side, side
	}
	return 0, side
}

func (r *reader) readIsotherm(m strict.Map, p *puddle.Probe) (name string, ok bool) {
	named, given := m.Get("isotherm"), m.Get("isotherm_c")
	switch {
	case named.Given() && given.Given():
		given.Fail("is given beside isotherm", "keep one of them")
		return "", false
	case given.Given():
		p.Isotherm = number(given, r.c.heat.Spec.Start+1, maxTemperature, "C")
		return fmt.Sprintf("%g C", p.Isotherm), true
	case !named.Given():
		named.Fail("is missing", "write isotherm: liquidus, isotherm: solidus, or isotherm_c: 800")
		return "", false
	}
	name, ok = named.OneOf([]string{"liquidus", "solidus"})
	if !ok {
		return "", false
	}
	p.Isotherm = r.c.heat.Liquidus
	if name == "solidus" {
		p.Isotherm = r.c.heat.Solidus
	}
	if p.Isotherm == 0 {
		named.Fail("the metal has no melting range", "give its solidus_c and liquidus_c, or use isotherm_c")
		return "", false
	}
	return name, true
}

// number reads a number from lo to hi; 0 when it is missing or wrong.
func number(v strict.Value, lo, hi float64, unit string) float64 {
	text, ok := v.Text()
	if !ok {
		return 0
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !(x >= lo && x <= hi) {
		v.Fail(strings.TrimSpace(fmt.Sprintf("%.40q is not a number from %g to %g %s", text, lo, hi, unit)), "")
		return 0
	}
	return x
}

// millimetres reads a length in mm and gives m.
func millimetres(v strict.Value, lo, hi float64) float64 { return number(v, lo, hi, "mm") / 1e3 }

// tableName reads the name of a table, which must lie beside the case.
func tableName(v strict.Value) (string, bool) {
	name, ok := v.Text()
	if !ok {
		return "", false
	}
	if name != filepath.Base(name) || strings.ContainsAny(name, `/\`) || !fs.ValidPath(name) || !strings.EqualFold(filepath.Ext(name), ".csv") {
		v.Fail(fmt.Sprintf("%.60q is not the plain name of a .csv file", name), "the table lies in the same folder as the case")
		return "", false
	}
	return name, true
}
