package precert

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/weld"
)

// Procedure is a written procedure to practise within. It is no WPS: nothing was
// welded, tested or signed for it.
type Procedure struct {
	ID        string // the file's name without .yaml
	Title     string
	Technique string
	Joints    []weld.Joint
	Positions []weld.Position
	Metals    []weld.Metal // each member is one of them
	Thickness Between[weld.Length]
	Diameter  Between[weld.Length] // outside, of tubes; zero where there is none
	Gap       Between[weld.Length]
	Part      Between[weld.Temperature] // preheat and interpass
	Settings  []Setting                 // in the order of weld.Fields
}

// Between is a range, both ends within.
type Between[T ~float64] struct{ From, To T }

func (b Between[T]) has(v T) bool { return v >= b.From && v <= b.To }

// Setting is what a procedure allows of one field of an answer: a range or some words.
type Setting struct {
	Field  weld.Field
	Words  []string
	lo, hi weld.Answer
}

// Allowed says what is, in the units of s.
func (s Setting) Allowed(sys weld.System) string {
	if s.Words != nil {
		return strings.Join(s.Words, ", ")
	}
	return s.Field.Show(s.lo, sys) + " to " + s.Field.Show(s.hi, sys)
}

func (s Setting) allows(a weld.Answer) bool {
	if s.Words != nil {
		return slices.Contains(s.Words, s.Field.Get(a))
	}
	lo, _ := s.Field.Value(s.lo)
	hi, _ := s.Field.Value(s.hi)
	v, _ := s.Field.Value(a)
	return v >= lo && v <= hi
}

// Result of one variable held against a procedure.
type Result string

// Results.
const (
	Allowed Result = "allowed"
	Outside Result = "outside"               // come back into the range, or have the paper revised
	NewOne  Result = "needs a new procedure" // an essential variable: a new test piece proves it
)

// Line is one variable held against a procedure.
type Line struct {
	Variable  string
	Have, May string
	Result    Result
	Source    string
}

// essential are the variables whose change asks for a new test (ASME IX QW-256 for
// GTAW, from memory: check against the book); the kind of current is one in ISO 15614-1
// (from memory) and not in ASME IX.
var essential = map[string]string{
	"metal": "ASME IX QW-256, from memory", "thickness": "ASME IX QW-256, from memory", "part": "ASME IX QW-256, from memory",
	"filler": "ASME IX QW-256, from memory", "gas": "ASME IX QW-256, from memory", "back": "ASME IX QW-256, from memory",
	"polarity": "ISO 15614-1, from memory; nonessential in ASME IX",
}

// Check holds a joint and an answer against the procedure, variable by variable.
func (p Procedure) Check(t weld.Task, a weld.Answer, sys weld.System) []Line {
	var out []Line
	add := func(key, variable, have, may string, ok bool) {
		l := Line{variable, have, may, Allowed, essential[key]}
		if !ok {
			l.Result = Outside
			if l.Source != "" {
				l.Result = NewOne
			}
		}
		if l.Source == "" {
			l.Source = "this procedure"
		}
		out = append(out, l)
	}
	add("joint", "joint", string(t.Joint), listed(p.Joints), slices.Contains(p.Joints, t.Joint))
	add("position", "position", string(t.Position), listed(p.Positions), slices.Contains(p.Positions, t.Position))
	for k, m := range []weld.Member{t.A, t.B} {
		if k == 1 && t.A == t.B {
			break
		}
		name := ""
		if t.A != t.B {
			a, b := t.Joint.Members()
			name = " of the " + []string{a, b}[k]
		}
		add("metal", "metal"+name, string(m.Metal), listed(p.Metals), slices.Contains(p.Metals, m.Metal))
		add("thickness", "wall"+name, m.Thickness.Show(sys), p.Thickness.From.Show(sys)+" to "+p.Thickness.To.Show(sys), p.Thickness.has(m.Thickness))
	}
	if t.Joint.Tube() {
		add("diameter", "diameter", t.Diameter.Show(sys), p.Diameter.From.Show(sys)+" to "+p.Diameter.To.Show(sys), p.Diameter.has(t.Diameter))
	}
	gap := max(t.Gap, t.GapEnd)
	add("gap", "gap", gap.Show(sys), p.Gap.From.Show(sys)+" to "+p.Gap.To.Show(sys), p.Gap.has(gap) && p.Gap.has(min(t.Gap, t.GapEnd)))
	add("part", "part before the arc", t.PartTemp.Show(sys), p.Part.From.Show(sys)+" to "+p.Part.To.Show(sys), p.Part.has(t.PartTemp))
	for _, s := range p.Settings {
		if idle(s.Field.Key, a) {
			continue
		}
		add(s.Field.Key, s.Field.Label, s.Field.Show(a, sys), s.Allowed(sys), s.allows(a))
	}
	return out
}

// idle says whether a field is not in play with this answer.
func idle(key string, a weld.Answer) bool {
	switch key {
	case "rod", "dab", "dab_size", "rod_tip", "rod_angle", "rod_from":
		return a.Filler == weld.NoFiller
	case "ac_balance", "ac_frequency":
		return a.Polarity != weld.AC
	case "purge_flow", "purge_time", "purge_oxygen":
		return a.Back != weld.Purged
	}
	return false
}

// Worst gives the lines that are not allowed, those that need a new procedure first.
func Worst(lines []Line) []Line {
	out := slices.DeleteFunc(slices.Clone(lines), func(l Line) bool { return l.Result == Allowed })
	slices.SortStableFunc(out, func(a, b Line) int { return cmp.Compare(b2i(a.Result == Outside), b2i(b.Result == Outside)) })
	return out
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func listed[T ~string](all []T) string {
	out := make([]string, len(all))
	for i, w := range all {
		out[i] = string(w)
	}
	return strings.Join(out, ", ")
}

//go:embed procedures/*.yaml
var shipped embed.FS

// Procedures gives those that ship, in the order of their ids. The slice is the caller's;
// what they point at is shared and stays as it is.
func Procedures() ([]Procedure, error) {
	all, err := procedures()
	return slices.Clone(all), err
}

var procedures = sync.OnceValues(readProcedures)

func readProcedures() ([]Procedure, error) {
	var out []Procedure
	names, err := fs.Glob(shipped, "procedures/*.yaml")
	if err != nil {
		return nil, err
	}
	var problems strict.Problems
	for _, name := range names {
		doc, err := strict.Read(shipped, name)
		var p Procedure
		if err == nil {
			p, err = readProcedure(doc, idOf(name))
		}
		var ps strict.Problems
		if errors.As(err, &ps) {
			problems = append(problems, ps...)
			continue
		}
		out = append(out, p)
	}
	if problems != nil {
		return nil, problems
	}
	return out, nil
}

// LoadProcedure reads a procedure from a file of the system. The error is of type
// strict.Problems and tells everything that is wrong.
func LoadProcedure(name string) (Procedure, error) {
	doc, err := strict.ReadFile(name)
	if err != nil {
		return Procedure{}, err
	}
	return readProcedure(doc, idOf(name))
}

// ParseProcedure is LoadProcedure for a file's bytes.
func ParseProcedure(name string, data []byte) (Procedure, error) {
	doc, err := strict.Parse(name, data)
	if err != nil {
		return Procedure{}, err
	}
	return readProcedure(doc, idOf(name))
}

func idOf(name string) string {
	return strings.TrimSuffix(path.Base(strings.ReplaceAll(name, "\\", "/")), ".yaml")
}

func readProcedure(doc *strict.Doc, id string) (Procedure, error) {
	p := Procedure{ID: id}
	m := doc.Root("title", "technique", "joints", "positions", "metals", "thickness", "diameter", "gap", "part", "settings")
	p.Title, _ = m.Need("title", "title: Thin carbon steel, butts").Words(80)
	p.Technique, _ = m.Need("technique", "one or two sentences on how it is run").Words(600)
	p.Joints = some(m.Need("joints", "a list such as [square butt]"), weld.Joints)
	p.Positions = some(m.Need("positions", "a list such as [PA, PF]"), weld.Positions)
	p.Metals = some(m.Need("metals", "a list such as [carbon steel]"), weld.Metals)
	mm := weld.Millimetre
	p.Thickness = between(m.Need("thickness", "thickness: {from: 1 mm, to: 2 mm}"), weld.ParseLength, 0.1*mm, 50*mm)
	tube := slices.ContainsFunc(p.Joints, weld.Joint.Tube)
	switch d := m.Get("diameter"); {
	case d.Given() && !tube:
		d.Fail("none of the joints is a tube", "remove it")
	case d.Given():
		p.Diameter = between(d, weld.ParseLength, 1*mm, 2000*mm)
	case tube:
		m.Need("diameter", "diameter: {from: 25 mm, to: 60 mm}")
	}
	if gap := m.Get("gap"); gap.Given() {
		p.Gap = between(gap, weld.ParseLength, 0, 10*mm)
	}
	p.Part = between(m.Need("part", "part: {from: 5 C, to: 150 C}"), weld.ParseTemperature, weld.Celsius(-50), weld.Celsius(400))
	readSettings(m.Need("settings", "what is allowed of each setting, such as amps: {from: 30 A, to: 60 A}"), &p)
	return p, doc.Err()
}

// some reads a list of known words.
func some[T ~string](v strict.Value, all []T) []T {
	var out []T
	list, _ := v.List(len(all))
	names := make([]string, len(all))
	for i, a := range all {
		names[i] = string(a)
	}
	for _, w := range list {
		if s, ok := w.OneOf(names); ok {
			out = append(out, T(s))
		}
	}
	if len(list) == 0 && v.Given() {
		v.Fail("names none", "allowed are "+strings.Join(names, ", "))
	}
	return out
}

// between reads {from: , to: }; from may be left out.
func between[T interface {
	~float64
	Show(weld.System) string
}](v strict.Value, parse func(string) (T, error), lo, hi T) Between[T] {
	b := Between[T]{From: lo}
	m := v.Map("from", "to")
	if from := m.Get("from"); from.Given() {
		b.From, _ = strict.Quantity(from, parse, lo, hi)
	}
	to, ok := strict.Quantity(m.Need("to", "the upper end"), parse, lo, hi)
	b.To = to
	if ok && b.From > b.To {
		v.Fail(b.From.Show(weld.Metric)+" is more than "+b.To.Show(weld.Metric), "from is the lower end")
	}
	return b
}

// need are the settings without which a procedure says nothing.
var need = []string{"polarity", "amps", "travel", "filler", "gas", "flow", "back"}

func readSettings(v strict.Value, p *Procedure) {
	keys := make([]string, len(weld.Fields))
	for i, f := range weld.Fields {
		keys[i] = f.Key
	}
	m := v.Map(keys...)
	for _, key := range need {
		m.Need(key, "a procedure says what is allowed of it")
	}
	for _, f := range weld.Fields {
		s := m.Get(f.Key)
		if !s.Given() {
			continue
		}
		out := Setting{Field: f}
		if f.Numeric() {
			r, ends := s.Map("from", "to"), 0
			for _, end := range []struct {
				key string
				a   *weld.Answer
			}{{"from", &out.lo}, {"to", &out.hi}} {
				if text, ok := r.Need(end.key, "both ends, such as from: "+f.Min).Text(); ok {
					if err := f.SetStrict(end.a, text); err != nil {
						r.Get(end.key).FailErr(err)
						continue
					}
					ends++
				}
			}
			lo, _ := f.Value(out.lo)
			if hi, _ := f.Value(out.hi); ends == 2 && lo > hi {
				s.Fail("from is more than to", "")
			}
		} else {
			list, _ := s.List(40)
			out.Words = []string{}
			for _, w := range list {
				var a weld.Answer
				if text, ok := w.Text(); ok {
					if err := f.SetStrict(&a, text); err != nil {
						w.FailErr(err)
						continue
					}
					out.Words = append(out.Words, f.Get(a))
				}
			}
			if len(list) == 0 {
				s.Fail("names none", fmt.Sprintf("such as [%s]", f.Get(weld.Defaults())))
			}
		}
		p.Settings = append(p.Settings, out)
	}
}
