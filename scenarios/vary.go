package scenarios

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/bits"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/weld"
)

// Span is one thing that differs from one variation of a joint to the next, and what
// it may be: texts as the file would have them, so that a drawn joint is one that
// could have been written.
type Span struct {
	Key    string // thickness, gap, draught, part_temp, earlier_run, most_amps, chill, position, or a field the sheet gives
	Values []string
}

// grids says in which steps the numbers are drawn: those a shop speaks of. Common
// practice, no source.
var grids = []struct {
	key  string
	unit string
	step float64
	of   func(si float64) float64 // in the unit
}{
	{"gap", "mm", 0.1, func(v float64) float64 { return v / 1e-3 }},
	{"draught", "m/s", 0.1, func(v float64) float64 { return v }},
	{"part_temp", "C", 10, func(v float64) float64 { return v - 273.15 }},
	{"earlier_run", "s", 10, func(v float64) float64 { return v }},
	{"most_amps", "A", 5, func(v float64) float64 { return v }},
	{"amps", "A", 1, func(v float64) float64 { return v }},
	{"travel", "mm/min", 10, func(v float64) float64 { return v * 60e3 }},
	{"stick_out", "mm", 1, func(v float64) float64 { return v / 1e-3 }},
	{"arc_length", "mm", 0.5, func(v float64) float64 { return v / 1e-3 }},
	{"dab", "mm", 0.5, func(v float64) float64 { return v / 1e-3 }},
	{"rod_tip", "mm", 1, func(v float64) float64 { return v / 1e-3 }},
	{"flow", "L/min", 1, func(v float64) float64 { return v * 60e3 }},
	{"torch_angle", "deg", 5, func(v float64) float64 { return v / float64(weld.Degree) }},
}

// maxSpans keeps the number of a joint's variations within what is counted.
const maxSpans = 6

// varyKeys lists what may vary, in the order it is written.
func varyKeys() []string {
	keys := []string{"thickness"}
	for _, g := range grids {
		keys = append(keys, g.key)
	}
	return append(keys, "chill", "position")
}

// sold gives the walls a shop can buy, mm. Metric sheet, and the inch gauges in which
// aircraft tube and light metal come; common practice, no source.
func sold(m weld.Metal) []string {
	if f := m.Family(); m == weld.Steel4130 || f == weld.Aluminium || f == weld.TitaniumMF {
		return []string{"0.8 mm", "0.9 mm", "1 mm", "1.2 mm", "1.6 mm", "2 mm", "2.5 mm", "3.2 mm", "4 mm"}
	}
	return []string{"0.8 mm", "0.9 mm", "1 mm", "1.2 mm", "1.5 mm", "2 mm", "2.5 mm", "3 mm", "4 mm"}
}

// vary reads what may differ from one variation to the next.
func (r *reader) vary(v strict.Value) {
	m := v.Map(varyKeys()...)
	if v.Given() && len(m.Keys()) == 0 {
		v.Fail("names nothing that varies", "write it such as {thickness: {from: 1.2 mm, to: 2 mm}}")
	}
	if len(m.Keys()) > maxSpans {
		v.Fail(fmt.Sprintf("%d things vary, allowed are %d", len(m.Keys()), maxSpans), "")
	}
	if r.s.Task.Joint == "" || r.s.Task.A.Thickness == 0 || r.s.Task.B.Thickness == 0 { // wrong already
		return
	}
	for _, key := range varyKeys() { // in their own order, so that the file's does not matter
		at := m.Get(key)
		if !at.Given() {
			continue
		}
		span := Span{Key: key}
		switch {
		case slices.Contains(r.s.Ask, key):
			at.Fail("is asked: the learner decides it", "vary what the sheet gives")
			continue
		case key == "most_amps" && !slices.Contains(r.s.Ask, "amps"):
			at.Fail("amps are not asked, so nobody can ask too much of the machine", "vary amps instead")
			continue
		case key == "chill":
			span.Values = someOf(at, weld.Chills)
		case key == "position":
			span.Values = someOf(at, suiting(r.s.Task.Joint))
		default:
			span.Values = r.numbers(at, key)
		}
		if span.Values == nil {
			continue
		}
		for _, text := range span.Values {
			s := r.s
			if err := s.take(key, text); err != nil {
				at.FailErr(err)
				break
			}
		}
		r.s.Vary = append(r.s.Vary, span)
		r.unsaid(at, key)
	}
}

// someOf reads a list of two or more words out of all.
func someOf[T ~string](v strict.Value, all []T) (out []string) {
	list, ok := v.List(len(all))
	for _, one := range list {
		w, good := word(one, all)
		switch {
		case !good:
			ok = false
		case slices.Contains(out, string(w)):
			one.Fail(string(w)+" is listed twice", "")
			ok = false
		default:
			out = append(out, string(w))
		}
	}
	if ok && len(out) < 2 {
		v.Fail("lists fewer than two", "allowed are "+listed(all))
	}
	if !ok || len(out) < 2 {
		return nil
	}
	return out
}

// numbers reads a range and gives what can be drawn of it; nil when it is wrong.
func (r *reader) numbers(v strict.Value, key string) []string {
	m := v.Map("from", "to")
	from := m.Need("from", "write a range as {from: 1 mm, to: 2 mm}")
	to := m.Need("to", "write a range as {from: 1 mm, to: 2 mm}")
	lo, ok := r.number(from, key)
	hi, ok2 := r.number(to, key)
	if !ok || !ok2 {
		return nil
	}
	var out []string
	what := "walls sold: " + strings.Join(sold(r.s.Task.A.Metal), ", ")
	if key == "thickness" {
		for _, text := range sold(r.s.Task.A.Metal) {
			if wall, err := weld.ParseLength(text); err == nil && float64(wall) >= lo && float64(wall) <= hi {
				out = append(out, text)
			}
		}
	} else {
		for _, g := range grids {
			if g.key != key {
				continue
			}
			what = "steps of " + strconv.FormatFloat(g.step, 'f', -1, 64) + " " + g.unit
			out = texts(g.of(lo), g.of(hi), g.step, g.unit)
		}
	}
	if len(out) < 2 {
		v.Fail("holds fewer than two "+what, "from is the least, to the most")
		return nil
	}
	return out
}

// number reads one end of a range, in SI, within what the joint or the field takes.
func (r *reader) number(v strict.Value, key string) (si float64, ok bool) {
	switch key {
	case "thickness":
		q, ok := strict.Quantity(v, weld.ParseLength, minWall, maxWall)
		return float64(q), ok
	case "gap":
		q, ok := strict.Quantity(v, weld.ParseLength, 0, maxGap)
		return float64(q), ok
	case "draught":
		q, ok := strict.Quantity(v, weld.ParseSpeed, 0, maxDraught)
		return float64(q), ok
	case "part_temp":
		q, ok := strict.Quantity(v, weld.ParseTemperature, minPart, maxPart)
		return float64(q), ok
	case "earlier_run":
		q, ok := strict.Quantity(v, weld.ParseDuration, minEarlier, maxEarlier)
		return float64(q), ok
	case "most_amps":
		q, ok := strict.Quantity(v, weld.ParseCurrent, minAmps, maxAmps)
		return float64(q), ok
	}
	var a weld.Answer
	if ok = setField(v, key, &a); ok {
		f, _ := weld.FieldByKey(key)
		si, _ = f.Value(a)
	}
	return si, ok
}

// unsaid refuses a text that states what varies: it would be wrong in a variation.
func (r *reader) unsaid(v strict.Value, key string) {
	s := &r.s
	t := s.Task
	var stated []string
	switch key {
	case "thickness":
		stated = []string{t.A.Thickness.Show(weld.Metric), t.B.Thickness.Show(weld.Metric), t.LegAsked().Show(weld.Metric)}
	case "gap":
		stated = []string{t.Gap.Show(weld.Metric), t.GapEnd.Show(weld.Metric)}
	case "part_temp":
		stated = []string{t.PartTemp.Show(weld.Metric)}
	case "earlier_run":
		stated = []string{t.Earlier.Show(weld.Metric)}
	case "draught", "chill", "position", "most_amps":
	default:
		f, _ := weld.FieldByKey(key)
		stated = []string{f.Show(s.Given, weld.Metric)}
	}
	for _, text := range []string{s.Title, s.Job, s.Access, s.Coaching.Look, s.Coaching.Why, s.Coaching.Try} {
		for _, number := range stated {
			if regexp.MustCompile(`(^|[^\d.])` + regexp.QuoteMeta(number) + `\b`).MatchString(text) {
				v.Fail(fmt.Sprintf("varies, and a text states %s: %.50q", number, text), "write {"+key+"} there, or {leg}, or say it without a number")
				return
			}
		}
	}
}

// blanks gives what stands in braces in a scenario's texts, in the units of sys: all
// that may vary, so that a text says what the sheet says.
func (s Scenario) blanks(sys weld.System) map[string]string {
	t := s.Task
	out := map[string]string{
		"thickness": t.A.Thickness.Show(sys), "thickness_b": t.B.Thickness.Show(sys), "leg": t.LegAsked().Show(sys),
		"gap": max(t.Gap, t.GapEnd).Show(sys), "gap_start": t.Gap.Show(sys),
		"part_temp": t.PartTemp.Show(sys), "earlier_run": t.Earlier.Show(sys), "chill": string(t.Chill),
	}
	for _, f := range weld.Fields {
		if !slices.Contains(s.Ask, f.Key) {
			out[f.Key] = f.Show(s.Given, sys)
		}
	}
	return out
}

var blankRE = regexp.MustCompile(`\{[^{}]*\}`)

// Said is a text of the scenario with its blanks, such as {gap}, filled in from the
// numbers, in the units of sys.
func (s Scenario) Said(text string, sys weld.System) string {
	if !strings.Contains(text, "{") {
		return text
	}
	blanks := s.blanks(sys)
	return blankRE.ReplaceAllStringFunc(text, func(b string) string {
		if said, ok := blanks[b[1:len(b)-1]]; ok {
			return said
		}
		return b
	})
}

// filled refuses a text with a blank that cannot be filled in.
func (r *reader) filled(v strict.Value, text string) {
	blanks := r.s.blanks(weld.Metric)
	for _, b := range blankRE.FindAllString(text, -1) {
		if _, ok := blanks[b[1:len(b)-1]]; ok {
			continue
		}
		v.Fail(fmt.Sprintf("there is nothing to write for %.40q", b),
			"allowed are {thickness}, {thickness_b}, {leg}, {gap}, {gap_start}, {part_temp}, {earlier_run}, {chill}, and fields that are not asked")
	}
}

// Name is what a joint is called: its id, and the number of the variation.
func (s Scenario) Name() string { return Name(s.ID, s.Seed) }

// Name names a joint by its id and seed: T-07, or T-07, variation 3.
func Name(id string, seed int64) string {
	if seed == 0 {
		return id
	}
	return fmt.Sprintf("%s, variation %d", id, seed)
}

// Varies says whether the joint has variations.
func (s Scenario) Varies() bool { return len(s.Vary) > 0 }

// Variations counts the different joints that the ranges hold.
func (s Scenario) Variations() uint64 {
	n := uint64(1)
	for _, v := range s.Vary {
		n *= uint64(len(v.Values))
	}
	return n
}

// Draw makes the joint of a seed: the scenario with numbers from its ranges. Draws from
// 0 on of one seed are the joints to try in turn. They are pure whole-number arithmetic
// over scenario, seed and draw, and so the same everywhere: all joints that the ranges
// hold stand in one row, and a seed is a place on a walk through them whose step has no
// factor in common with their number, so that no joint comes twice before each has come
// once. What the joint's own answers hold is scaled to the numbers drawn; Model is then
// where to begin to look, not an answer that is known to hold, and the mistakes are no
// longer sure to raise their findings.
func (s Scenario) Draw(seed int64, draw int) Scenario {
	n := s.Variations()
	h := fnv.New64a()
	h.Write([]byte(s.ID))
	at := uint64(seed)%n + mulMod(uint64(draw)%n, coprime(n, 0.382), n)
	at = (h.Sum64()%n + mulMod(at%n, coprime(n, 0.618), n)) % n

	out := s
	out.Seed = seed
	out.ModelWhy, out.Worked = "", nil // they speak of the numbers as they are written
	for _, span := range s.Vary {      // the first in the greatest strides, so that neighbours differ in it
		n /= uint64(len(span.Values))
		_ = out.take(span.Key, span.Values[at/n]) // every value was taken when the file was read
		at %= n
	}
	out.rescale(s)
	return out
}

// mulMod gives a*b mod n for a and b below n.
func mulMod(a, b, n uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	return bits.Rem64(hi, lo, n)
}

// coprime gives the number nearest to a share of n, from there upwards, that has no
// factor in common with n.
func coprime(n uint64, share float64) uint64 {
	k := max(1, uint64(share*float64(n)))
	for {
		a, b := k, n
		for b != 0 {
			a, b = b, a%b
		}
		if a == 1 {
			return k % max(n, 2)
		}
		k++
	}
}

// take sets one thing that varies.
func (s *Scenario) take(key, text string) error {
	t := &s.Task
	var err error
	switch key {
	case "thickness":
		return s.takeWall(text)
	case "gap": // of the wider end; the other keeps its share
		was, other := max(t.Gap, t.GapEnd), min(t.Gap, t.GapEnd)
		var gap weld.Length
		if gap, err = weld.ParseLength(text); err != nil {
			return err
		}
		narrow := gap
		if was > 0 {
			tenths := math.Round(float64(gap) / float64(was) * float64(other) / 1e-4)
			if narrow, err = weld.ParseLength(strconv.FormatFloat(tenths/10, 'f', -1, 64) + " mm"); err != nil {
				return err
			}
		}
		if t.Gap > t.GapEnd {
			t.Gap, t.GapEnd = gap, narrow
		} else {
			t.Gap, t.GapEnd = narrow, gap
		}
	case "draught":
		t.Draught, err = weld.ParseSpeed(text)
	case "part_temp":
		t.PartTemp, err = weld.ParseTemperature(text)
	case "earlier_run":
		t.Earlier, err = weld.ParseDuration(text)
	case "most_amps":
		s.MostAmps, err = weld.ParseCurrent(text)
	case "chill":
		t.Chill = weld.Chill(text)
	case "position":
		named := slices.DeleteFunc(slices.Clone(s.Hazards), func(h Hazard) bool { return slices.Contains(implied(*t), h) })
		t.Position = weld.Position(text)
		s.Hazards = inOrder(append(named, implied(*t)...))
	default:
		f, _ := weld.FieldByKey(key)
		if err = f.SetStrict(&s.Given, text); err == nil {
			err = f.SetStrict(&s.Model, text)
		}
	}
	return err
}

// takeWall sets the wall of A. The wall of B keeps its share of it, in what is sold,
// and is not A's where the file has two different ones. The leg that the drawing asks
// for follows in half millimetres.
func (s *Scenario) takeWall(text string) error {
	t := &s.Task
	was := *t
	wall, err := weld.ParseLength(text)
	if err != nil {
		return err
	}
	t.A.Thickness, t.B.Thickness = wall, wall
	if was.A.Thickness != was.B.Thickness {
		want := float64(wall) / float64(was.A.Thickness) * float64(was.B.Thickness)
		best := math.Inf(1)
		for _, one := range sold(t.B.Metal) {
			w, err := weld.ParseLength(one)
			if err != nil {
				return err
			}
			if off := math.Abs(float64(w) - want); off < best && (w < wall) == (was.B.Thickness < was.A.Thickness) && w != wall {
				best, t.B.Thickness = off, w
			}
		}
		if t.B.Thickness == wall {
			return fmt.Errorf("beside %s no wall sold is %s", text, map[bool]string{true: "thinner", false: "thicker"}[was.B.Thickness < was.A.Thickness])
		}
	}
	for i, outside := range []weld.Length{t.Diameter, t.Diameter} {
		if t.Joint == weld.TubeSaddle && i == 0 {
			outside = t.Through
		}
		if w := []weld.Length{t.A.Thickness, t.B.Thickness}[i]; t.Joint.Tube() && w > mostWallOfTube*outside {
			return fmt.Errorf("a wall of %s is more than a fifth of the tube's %s", w.Show(weld.Metric), outside.Show(weld.Metric))
		}
	}
	if leg := was.Drawing.Leg; leg > 0 {
		halves := max(1, math.Round(float64(leg)/float64(was.Thinner())*float64(t.Thinner())/0.5e-3))
		if t.Drawing.Leg, err = weld.ParseLength(strconv.FormatFloat(halves/2, 'f', -1, 64) + " mm"); err != nil {
			return err
		}
	}
	return nil
}

// heatsAs says how much more current a chill asks for than free air. A guess to begin
// with; the model says what holds.
var heatsAs = map[weld.Chill]float64{weld.OnBench: 1.03, weld.ClampBars: 1.03, weld.CopperChill: 1.12, weld.BackingBar: 1.15}

// rescale brings the answers from the numbers of the file to those drawn: amps go with
// the walls and the chill, dabs come closer over a wider gap. What varies by itself stays
// as drawn.
func (s *Scenario) rescale(from Scenario) {
	t, was := s.Task, from.Task
	chill := func(c weld.Chill) float64 { return max(1, heatsAs[c]) }
	amps := float64(t.A.Thickness+t.B.Thickness) / float64(was.A.Thickness+was.B.Thickness) * chill(t.Chill) / chill(was.Chill)
	const melts = 1500.0 // C; a warm part needs that much less to get there
	amps *= (melts - t.PartTemp.Celsius()) / (melts - was.PartTemp.Celsius())
	const least = 1e-3 // m; a dab bridges that much of any gap
	dab := (float64(max(was.Gap, was.GapEnd)) + least) / (float64(max(t.Gap, t.GapEnd)) + least)
	fit := func(a *weld.Answer) {
		for _, one := range []struct {
			key  string
			by   float64
			unit float64 // SI, to which it is rounded
		}{{"amps", amps, 1}, {"amps_end", amps, 1}, {"dab", dab, 1e-4}} {
			if slices.ContainsFunc(s.Vary, func(v Span) bool { return v.Key == one.key }) {
				continue
			}
			f, _ := weld.FieldByKey(one.key)
			if v, _ := f.Value(*a); one.by != 1 && v != 0 {
				_ = f.SetStrict(a, shopText(f, math.Max(1, math.Round(v*one.by/one.unit))*one.unit))
			}
		}
	}
	mistakes := s.Mistakes
	s.Mistakes = nil
	for _, m := range mistakes {
		for _, span := range s.Vary {
			if f, ok := weld.FieldByKey(span.Key); ok {
				_ = f.SetStrict(&m.Answer, f.Get(s.Given))
			}
		}
		fit(&m.Answer)
		s.Mistakes = append(s.Mistakes, m)
	}
	fit(&s.Given)
	fit(&s.Model)
	// A field that is asked holds its plain value on the sheet, whatever the joint.
	for _, key := range s.Ask {
		f, _ := weld.FieldByKey(key)
		_ = f.SetStrict(&s.Given, f.Get(from.Given))
	}
}

// shopText writes a current or a length as a hand would: 62 A, 1.8 mm.
func shopText(f weld.Field, si float64) string {
	if f.Unit(weld.Metric) == "A" {
		return strconv.FormatFloat(math.Round(si), 'f', -1, 64) + " A"
	}
	return strconv.FormatFloat(math.Round(si*1e4)/10, 'f', -1, 64) + " mm"
}

// Capped is the answer with no more amps than the machine gives.
func (s Scenario) Capped(a weld.Answer) weld.Answer {
	if s.MostAmps > 0 {
		a.Amps, a.AmpsEnd = min(a.Amps, s.MostAmps), min(a.AmpsEnd, s.MostAmps)
	}
	return a
}

// Within says whether the answer asks more of the machine than it gives. The error is a
// weld.FieldError.
func (s Scenario) Within(a weld.Answer) error {
	for _, key := range []string{"amps", "amps_end"} {
		f, _ := weld.FieldByKey(key)
		if v, _ := f.Value(a); s.MostAmps > 0 && v > float64(s.MostAmps) {
			text := f.Show(a, weld.Metric)
			return &weld.FieldError{Key: key, Text: text, Problem: text + " is more than the machine on this bench gives: at most " + s.MostAmps.Show(weld.Metric)}
		}
	}
	return nil
}

// Guess is what a hand answers that goes by rules of thumb alone: an amp for each
// thousandth of an inch of the thicker wall, and the usual set-up for the rest.
func (s Scenario) Guess() weld.Answer {
	usual, a := Usual(s.Task), s.Given
	usual.Amps = weld.Current(math.Round(float64(s.Task.Thicker()) / float64(weld.Inch) * 1000))
	for _, key := range s.Ask {
		f, _ := weld.FieldByKey(key)
		_ = f.SetStrict(&a, f.Get(usual))
	}
	return s.Capped(a)
}
