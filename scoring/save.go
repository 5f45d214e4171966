package scoring

import (
	"cmp"
	"slices"
	"strings"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Change is one setting, moved.
type Change struct {
	Field    weld.Field
	From, To string // exact, as Field.Get prints them
}

// Rescue is the smallest change found that makes a rejected answer acceptable.
type Rescue struct {
	Changes []Change
	Answer  weld.Answer
	Verdict Verdict // of that answer, welded at the full grade
	Steps   float64 // size of the change, in shop steps
}

// shopStep is the smallest move of a setting that a shop would talk about, and how
// far to look, in steps. Round shop numbers: common practice, no source.
var shopStep = map[string]struct {
	text string
	most int
}{
	"amps":         {text: "5 A", most: 14},
	"amps_end":     {text: "5 A", most: 14},
	"travel":       {text: "10 mm/min", most: 16},
	"dab":          {text: "0.5 mm", most: 12},
	"dab_size":     {text: "0.5 mm", most: 10},
	"rod_tip":      {text: "1 mm", most: 14},
	"arc_length":   {text: "0.5 mm", most: 8},
	"stick_out":    {text: "1 mm", most: 16},
	"aim":          {text: "0.25 mm", most: 8},
	"work_angle":   {text: "5 deg", most: 6},
	"torch_angle":  {text: "5 deg", most: 8},
	"rod_angle":    {text: "5 deg", most: 10},
	"flow":         {text: "1 L/min", most: 14},
	"purge_flow":   {text: "1 L/min", most: 10},
	"purge_time":   {text: "10 s", most: 30},
	"postflow":     {text: "1 s", most: 14},
	"preflow":      {text: "0.5 s", most: 6},
	"slope_down":   {text: "0.5 s", most: 6},
	"ac_balance":   {text: "5 %", most: 8},
	"ac_frequency": {text: "10 Hz", most: 12},
	"tip_angle":    {text: "5 deg", most: 12},
	"tacks":        {text: "10 mm", most: 8},
}

// sizesSold are settings that come in sizes, smallest first (rods and tungstens
// sold, purge readings in decades).
var sizesSold = map[string][]string{
	"rod":               {"0.8 mm", "0.9 mm", "1.2 mm", "1.6 mm", "2.4 mm", "3.2 mm"},
	"tungsten_diameter": {"1 mm", "1.6 mm", "2.4 mm", "3.2 mm", "4 mm"},
	"cup":               {"4", "5", "6", "7", "8", "10", "12", "14", "16"},
	"purge_oxygen":      {"20 ppm", "50 ppm", "100 ppm", "200 ppm", "500 ppm", "1000 ppm", "5000 ppm", "20000 ppm"},
}

// helps says which way a setting is moved against a rule that the heat decides,
// the likeliest first: what an instructor would try.
var helps = map[string][]move{
	"keyhole":         {{"dab", -1}, {"amps", -1}, {"travel", 1}},
	"collapse":        {{"amps", -1}, {"travel", 1}, {"amps_end", -1}, {"dab", -1}},
	"far_side_melted": {{"amps", -1}, {"travel", 1}, {"aim", -1}, {"aim", 1}, {"amps_end", -1}, {"dab", -1}},
	"no_penetration":  {{"amps", 1}, {"travel", -1}, {"arc_length", -1}, {"amps_end", 1}},
	"root_not_fused":  {{"amps", 1}, {"travel", -1}, {"arc_length", -1}, {"aim", -1}, {"aim", 1}, {"dab", 1}},
	"cold_start":      {{"start", 1}, {"amps", 1}},
	"cold_lap":        {{"dab", -1}, {"amps", 1}, {"rod", -1}, {"travel", -1}, {"dab_size", -1}},
	"underfill":       {{"dab_size", 1}, {"dab", -1}},
	"root_concave":    {{"dab_size", 1}, {"amps", -1}, {"travel", 1}},
	"undersize_leg":   {{"dab_size", 1}, {"dab", -1}},
}

// move is a setting and the way it goes: 1 up, -1 down; for choices, any other one.
type move struct {
	key  string
	sign float64
}

// candidate is a changed answer, not yet proven.
type candidate struct {
	key    string
	answer weld.Answer
	steps  float64
	beyond []candidate // the next steps the same way, for when the full grade asks a little more
}

// Save looks for the smallest change of one setting, then of two, that the model
// accepts, and proves it by welding the changed answer at the full grade. fields
// names what may be moved; nil means everything. ok is false when the answer is
// accepted already, outside the model, or nothing within reach saves it.
func Save(task weld.Task, answer weld.Answer, fields []string, par Parallel) (Rescue, bool) {
	if outside(task, answer) != "" {
		return Rescue{}, false
	}
	if fields == nil {
		for _, f := range weld.Fields {
			fields = append(fields, f.Key)
		}
	}
	s := &saver{task: task, start: answer, fields: fields, par: par}
	exact, err := Judge(task, answer)
	if err != nil || exact.Outcome != Reject {
		return Rescue{}, false
	}
	if s.bead, err = puddle.WeldAt(task, answer, puddle.Coarse); err != nil {
		return Rescue{}, false
	}
	hot, cool := s.against(exact)
	base := candidate{answer: answer}
	if len(cool) > 0 {
		// What the heat does not decide is mended on the seam already welded.
		mends := s.mends()
		if len(hot) == 0 {
			return s.prove(mends)
		}
		if len(mends) == 0 {
			return Rescue{}, false
		}
		base = mends[0]
	}
	if r, ok := s.prove(s.lines(base, hot, hot)); ok || len(cool) > 0 {
		return r, ok
	}
	// Two settings of the heat: clear one rule first, then the rest from there.
	var pairs []candidate
	for _, first := range hot {
		for _, c := range s.lines(base, []string{first}, []string{first}) {
			rest := s.rejecting(c.answer)
			pairs = append(pairs, s.lines(c, rest, rest)...)
			if len(pairs) > 2 {
				break
			}
		}
	}
	return s.prove(pairs)
}

type saver struct {
	task   weld.Task
	start  weld.Answer
	bead   *puddle.Bead
	fields []string
	par    Parallel
}

// against sorts the rules that reject into those the heat decides and the others.
func (s *saver) against(v Verdict) (hot, cool []string) {
	for _, f := range v.Findings {
		if f.Severity != Defect {
			continue
		}
		if helps[f.Rule] != nil {
			hot = append(hot, f.Rule)
		} else {
			cool = append(cool, f.Rule)
		}
	}
	return hot, cool
}

// mends gives the moves after which nothing but the heat stands against the answer,
// smallest first: one setting, or where that is not enough, two.
func (s *saver) mends() []candidate {
	var partial, out []candidate
	before := s.coldFaults(s.start)
	for _, c := range s.coldMoves(s.start) {
		switch after := s.coldFaults(c.answer); {
		case after == 0:
			out = append(out, c)
		case after < before:
			partial = append(partial, c)
		}
	}
	if len(out) == 0 {
		for _, first := range partial {
			for _, c := range s.coldMoves(first.answer) {
				if c.key != first.key && s.coldFaults(c.answer) == 0 {
					c.steps += first.steps
					out = append(out, c)
				}
			}
		}
	}
	slices.SortStableFunc(out, bySteps)
	return out
}

// coldMoves gives, for every setting that can be judged on the seam already welded, its steps.
func (s *saver) coldMoves(from weld.Answer) []candidate {
	var out []candidate
	for _, key := range s.fields {
		if !TouchesHeat(key) || key == "filler" || key == "polarity" || key == "gas" {
			out = append(out, s.moves(from, key, 0)...)
		}
	}
	slices.SortStableFunc(out, bySteps)
	return out
}

// coldFaults counts the rules against the answer that the heat does not decide.
func (s *saver) coldFaults(a weld.Answer) int {
	n := 0
	for i, m := range margins(s.task, a, s.bead) {
		if m >= 1 && rules[i].over == Defect && helps[rules[i].id] == nil {
			n++
		}
	}
	return n
}

func bySteps(a, b candidate) int { return cmp.Compare(a.steps, b.steps) }

// rejecting welds the answer coarsely and names the rules that reject it.
func (s *saver) rejecting(a weld.Answer) []string {
	b, err := puddle.WeldAt(s.task, a, puddle.Coarse)
	if err != nil {
		return []string{"error"}
	}
	var out []string
	for i, m := range margins(s.task, a, b) {
		if m >= 1 && rules[i].over == Defect {
			out = append(out, rules[i].id)
		}
	}
	return out
}

// lines searches along every move that helps against the rules, all at once: for
// each the smallest number of steps that clears the rules named in clear. When
// clear is all that rejects, only moves that leave nothing else against count.
func (s *saver) lines(base candidate, against, clear []string) []candidate {
	var todo []move
	for _, rule := range against {
		for _, m := range helps[rule] {
			if slices.Contains(s.fields, m.key) && !slices.Contains(todo, m) && m.key != base.key {
				todo = append(todo, m)
			}
		}
	}
	found := make([]*candidate, len(todo))
	s.par(len(todo), func(i int) { found[i] = s.line(base, todo[i], clear) })
	var out []candidate
	for _, c := range found {
		if c != nil {
			out = append(out, *c)
		}
	}
	slices.SortStableFunc(out, bySteps)
	return out
}

// line doubles its step until the rules are clear, then halves back to the first
// step that clears them.
func (s *saver) line(base candidate, m move, clear []string) *candidate {
	all := s.moves(base.answer, m.key, m.sign)
	cleared := func(i int) bool {
		for _, r := range s.rejecting(all[i].answer) {
			if slices.Contains(clear, r) || r == "error" {
				return false
			}
		}
		return true
	}
	bad, good := -1, -1
	for i := 0; i < len(all); i = 2*i + 1 {
		if cleared(i) {
			good = i
			break
		}
		bad = i
	}
	if good < 0 {
		return nil
	}
	for good-bad > 1 {
		if mid := (good + bad) / 2; cleared(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	for i := range all {
		all[i].steps += base.steps
	}
	c := all[good]
	c.beyond = all[good+1 : min(good+3, len(all))]
	return &c
}

// moves lists every step of a setting from an answer, small to large: upwards for
// sign 1, downwards for -1, both for 0.
func (s *saver) moves(from weld.Answer, key string, sign float64) []candidate {
	f, ok := weld.FieldByKey(key)
	if !ok {
		return nil
	}
	var out []candidate
	keep := func(a weld.Answer, steps float64) {
		if a != from && outside(s.task, a) == "" {
			out = append(out, candidate{key: key, answer: a, steps: steps})
		}
	}
	v, _ := f.Value(from)
	if st, ok := shopStep[key]; ok {
		var unit weld.Answer
		if f.SetStrict(&unit, st.text) != nil {
			return nil
		}
		size, _ := f.Value(unit)
		if key == "amps" && v < 45 {
			size = 2 // thin sheet is set in smaller steps
		}
		if v == 0 && key != "aim" { // unset: nothing to move from
			return nil
		}
		for n := 1; n <= st.most; n++ {
			for _, way := range []float64{1, -1} {
				to := roundTo(v+float64(float64(way*float64(n))*size), size)
				if sign != 0 && way != sign || to < size && key != "aim" {
					continue
				}
				a := from
				f.SetValue(&a, to)
				if key == "amps" {
					easeWith(&a, from)
				}
				keep(a, float64(n))
			}
		}
		return out
	}
	if sizes, ok := sizesSold[key]; ok {
		here := s.nearestSize(f, from, sizes)
		for i, text := range sizes {
			a := from
			if f.SetStrict(&a, text) == nil && (sign == 0 || float64(i-here)*sign > 0) {
				keep(a, 1+abs(float64(i-here))) // a walk to the rack
			}
		}
	} else {
		for i, c := range f.Choices {
			a := from
			if c != string(weld.NoFiller) && f.SetStrict(&a, c) == nil { // leaving the rod away mends nothing
				keep(a, 3+float64(0.1*float64(i)))
			}
		}
	}
	slices.SortStableFunc(out, bySteps)
	return out
}

// roundTo brings v to the nearest multiple of step, so that what is proposed is a shop number.
func roundTo(v, step float64) float64 {
	n := v / step
	whole := float64(int(n + 0.5))
	if n < 0 {
		whole = float64(int(n - 0.5))
	}
	return float64(whole * step)
}

func (s *saver) nearestSize(f weld.Field, a weld.Answer, sizes []string) int {
	best, bestGap := 0, -1.0
	v, numeric := f.Value(a)
	for i, text := range sizes {
		var b weld.Answer
		if f.SetStrict(&b, text) != nil {
			continue
		}
		gap := 1.0
		if numeric {
			u, _ := f.Value(b)
			gap = abs(u - v)
		} else if f.Get(a) == f.Get(b) {
			gap = 0
		} else {
			gap = abs(float64(len(text)-len(f.Get(a)))) + 1
		}
		if bestGap < 0 || gap < bestGap {
			best, bestGap = i, gap
		}
	}
	return best
}

// prove welds the smallest candidates at the full grade and returns the first accepted.
func (s *saver) prove(cs []candidate) (Rescue, bool) {
	var all []candidate
	for _, c := range cs {
		all = append(all, c)
		all = append(all, c.beyond...)
	}
	slices.SortStableFunc(all, bySteps)
	for _, c := range all[:min(len(all), 8)] {
		v, err := Judge(s.task, c.answer)
		if err == nil && v.Outcome == Accept {
			return Rescue{Changes: changes(s.start, c.answer), Answer: c.answer, Verdict: v, Steps: c.steps}, true
		}
	}
	return Rescue{}, false
}

// changes lists what differs, field by field.
func changes(from, to weld.Answer) []Change {
	var out []Change
	for _, f := range weld.Fields {
		if a, b := f.Get(from), f.Get(to); a != b {
			out = append(out, Change{f, a, b})
		}
	}
	return out
}

// Words says the changes in the units of s: "dab every 3 mm -> 1.5 mm".
func (r Rescue) Words(s weld.System) string {
	var parts []string
	from := r.Answer
	for _, c := range r.Changes {
		if c.Field.SetStrict(&from, c.From) == nil {
			parts = append(parts, c.Field.Label+" "+c.Field.Show(from, s)+" -> "+c.Field.Show(r.Answer, s))
		}
	}
	return strings.Join(parts, "; ")
}
