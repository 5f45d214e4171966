// Package view puts joints, coupons and verdicts into words, numbers and shapes
// that any front end can show: the full-screen trainer draws them, the plain
// mode says them. It computes nothing about welding.
package view

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
)

// Fact is one line of the joint sheet.
type Fact struct{ Label, Text string }

// Sheet is the joint sheet: all a learner is told before deciding.
type Sheet struct {
	ID, Title string // the id with the number of the variation, if it is one
	Position  string // tee fillet, PB / 2F
	Level     int
	Job       string
	Facts     []Fact
	Given     []Fact // settings and technique that are not asked
	Cautions  []string
}

// JointSheet makes the sheet of a scenario.
func JointSheet(sc scenarios.Scenario, sys weld.System) Sheet {
	s := Sheet{
		ID: sc.Name(), Title: sc.Title, Level: sc.Level, Job: sc.Said(sc.Job, sys),
		Position: string(sc.Task.Joint) + ", " + Position(sc.Task),
		Facts:    facts(sc, sys), Given: given(sc, sys),
	}
	for _, h := range sc.Hazards {
		if c := h.Caution(); c != "" {
			s.Cautions = append(s.Cautions, c)
		}
	}
	return s
}

// Position names the position by ISO 6947 with the AWS name beside it: PB / 2F.
func Position(t weld.Task) string {
	if aws := t.Position.AWS(t.Joint); aws != "" {
		return string(t.Position) + " / " + aws
	}
	return string(t.Position)
}

// facts lists what the metal and the drawing say, what matters most first.
func facts(sc scenarios.Scenario, sys weld.System) []Fact {
	t := sc.Task
	var out []Fact
	add := func(label, text string) {
		if text != "" {
			out = append(out, Fact{label, text})
		}
	}
	if sc.Worked != nil {
		add("worked", "ask for a field's hint three times: what a good hand sets, and why")
	}
	add("metal", Metal(t, sys))
	add("gap", Gap(t, sys))
	add("seam", seam(t, sys))
	if t.Joint.Tube() {
		add("tube", tubes(t, sys))
	}
	if t.Overlap > 0 {
		add("overlap", t.Overlap.Show(sys))
	}
	add("drawing", drawing(t, sys))
	add("position", Position(t)+", "+t.Position.Words(t.Joint))
	add("held", string(t.Chill))
	if sc.MostAmps > 0 {
		add("power", "the machine on this bench gives "+sc.MostAmps.Show(sys)+" at most")
	}
	add("part", part(t, sys))
	add("air", air(t, sys))
	if t.Blocked {
		add("room", "something stands ahead of the seam: no way in there for a flat rod")
	}
	add("access", sc.Said(sc.Access, sys))
	add("bench", sc.Said(sc.Bench, sys))
	return out
}

// Metal says what the members are made of and how thick they are.
func Metal(t weld.Task, sys weld.System) string {
	if t.A.Metal == t.B.Metal && t.A.Thickness == t.B.Thickness {
		return fmt.Sprintf("%s, %s both members", t.A.Metal, t.A.Thickness.Show(sys))
	}
	a, b := t.Joint.Members()
	if a == b {
		a, b = a+" A", b+" B"
	}
	if t.A.Metal == t.B.Metal {
		return fmt.Sprintf("%s, %s %s, %s %s", t.A.Metal, a, t.A.Thickness.Show(sys), b, t.B.Thickness.Show(sys))
	}
	return fmt.Sprintf("%s %s %s, %s %s %s", a, t.A.Metal, t.A.Thickness.Show(sys), b, t.B.Metal, t.B.Thickness.Show(sys))
}

// Gap says how the members meet.
func Gap(t weld.Task, sys weld.System) string {
	switch {
	case t.Gap == 0 && t.GapEnd == 0:
		return "none, tight all along"
	case t.Gap == t.GapEnd:
		return t.Gap.Show(sys) + " all along"
	}
	return t.Gap.Show(sys) + " at the start, " + t.GapEnd.Show(sys) + " at the end"
}

func seam(t weld.Task, sys weld.System) string {
	if t.Joint.Tube() {
		return around(t, sys)
	}
	text := t.Seam.Show(sys) + " long"
	if t.RunOut > 0 {
		return text + ", the metal goes on " + t.RunOut.Show(sys) + " past each end"
	}
	return text + ", both ends at a free edge"
}

func drawing(t weld.Task, sys weld.System) string {
	var parts []string
	if t.Joint.Fillet() {
		parts = append(parts, "leg "+t.LegAsked().Show(sys)+" at least", "root fused", "far sides not melted through")
	} else if t.Drawing.FullPenetration || t.Joint == weld.SquareButt || t.Joint == weld.TubeButt {
		parts = append(parts, "full penetration")
	}
	if t.Drawing.BrightRoot {
		parts = append(parts, "root bright, no oxide")
	}
	if t.Drawing.FillerFixed != "" {
		parts = append(parts, "the WPS names "+string(t.Drawing.FillerFixed))
	}
	return strings.Join(parts, ", ")
}

func part(t weld.Task, sys weld.System) string {
	const handWarm = 40 // C; above it the part has been welded or preheated
	heat := "cold"
	if t.PartTemp.Celsius() > handWarm {
		heat = "already at " + t.PartTemp.Show(sys)
	}
	if t.Earlier > 0 {
		where := "on this seam"
		if t.Level() {
			where = "up the other half"
			if t.Position == weld.PJ {
				where = "down the other half"
			}
		}
		heat = fmt.Sprintf("warm: a run as yours ended %s %s ago", where, t.Earlier.Show(sys))
	}
	if t.Surface == "" {
		return heat
	}
	return heat + ", " + string(t.Surface)
}

func air(t weld.Task, sys weld.System) string {
	var parts []string
	if t.Draught > 0 {
		parts = append(parts, "draught of "+wind(float64(t.Draught), sys)+" across the joint")
	}
	if t.Throat {
		parts = append(parts, "a tight throat the cup cannot enter")
	}
	if t.ClosedVolume {
		parts = append(parts, "the weld closes a hollow")
	}
	return strings.Join(parts, ", ")
}

// given groups what is not asked the way a welder would read it off the bench.
func given(sc scenarios.Scenario, sys weld.System) []Fact {
	groups := []struct {
		label string
		keys  []string
	}{
		{"machine", []string{"polarity", "amps", "amps_end", "ac_balance", "ac_frequency", "start", "slope_down"}},
		{"tungsten", []string{"tungsten", "tungsten_diameter", "tip_angle", "stick_out", "arc_length"}},
		{"gas", []string{"cup", "lens", "gas", "flow", "preflow", "postflow"}},
		{"back", []string{"back", "purge_flow", "purge_time", "purge_oxygen"}},
		{"rod", []string{"filler", "rod", "dab", "dab_size", "rod_tip", "rod_angle", "rod_from"}},
		{"torch", []string{"torch_angle", "work_angle", "aim", "travel", "direction"}},
		{"around", []string{"cleaned", "solvent", "brush", "dam", "vent", "tacks", "sequence"}},
	}
	var out []Fact
	for _, g := range groups {
		var parts []string
		for _, key := range g.keys {
			if f, ok := weld.FieldByKey(key); ok && !slices.Contains(sc.Ask, key) && matters(key, sc) {
				parts = append(parts, phrase(f, sc.Given, sys))
			}
		}
		if parts == nil {
			continue
		}
		if g.label == "back" && slices.Contains(sc.Ask, "back") {
			parts[0] = "if purged: " + parts[0] // whether it is, is the question
		}
		out = append(out, Fact{g.label, strings.Join(parts, ", ")})
	}
	return out
}

// matters says whether a given field has any meaning at this joint: nobody
// reads an AC balance beside direct current. Where the learner decides the
// field it hangs on, it matters.
func matters(key string, sc scenarios.Scenario) bool {
	asked := func(k string) bool { return slices.Contains(sc.Ask, k) }
	t, a := sc.Task, sc.Given
	switch key {
	case "ac_balance", "ac_frequency":
		return a.Polarity == weld.AC || asked("polarity") && t.A.Metal.Family() == weld.Aluminium
	case "amps_end":
		return a.AmpsEnd != 0
	case "rod", "dab", "rod_tip", "rod_angle":
		return a.Filler != weld.NoFiller || asked("filler")
	case "rod_from": // said where it is a question
		return t.Blocked || a.RodFrom != weld.Ahead
	case "dab_size":
		return a.DabSize != 0 && (a.Filler != weld.NoFiller || asked("filler"))
	case "purge_flow", "purge_oxygen":
		return a.Back == weld.Purged || asked("back")
	case "aim", "work_angle":
		return t.Joint.Fillet()
	case "purge_time", "solvent", "brush", "sequence": // said where they are not as usual
		f, ok := weld.FieldByKey(key)
		return ok && f.Get(a) != f.Get(weld.Defaults())
	case "dam":
		return t.Throat
	case "vent":
		return t.ClosedVolume
	}
	return true
}

// phrase says a field's value so that it can stand in a list without a label of its own.
func phrase(f weld.Field, a weld.Answer, sys weld.System) string {
	v := f.Show(a, sys)
	switch f.Key {
	case "polarity", "gas", "filler", "tungsten", "amps", "tungsten_diameter", "back", "direction":
		return v
	case "start":
		return v + " at the start"
	case "flow":
		return "flow " + v
	case "rod":
		return v + " thick"
	case "cup":
		return "cup number " + v
	case "lens":
		return with(a.Lens, "gas lens")
	case "dam":
		return with(a.Dam, "dam")
	case "vent":
		return with(a.Vent, "vent")
	case "cleaned":
		if a.Cleaned {
			return "cleaned to bright metal"
		}
		return "not cleaned"
	}
	return f.Label + " " + v
}

func with(yes bool, what string) string {
	if yes {
		return "with " + what
	}
	return "no " + what
}

// Allowed says what a field takes: the range in the learner's units, or the choices.
func Allowed(f weld.Field, sys weld.System) string {
	if f.Choices != nil {
		return strings.Join(f.Choices, ", ")
	}
	var lo, hi weld.Answer
	if f.SetStrict(&lo, f.Min) != nil || f.SetStrict(&hi, f.Max) != nil {
		return f.Min + " to " + f.Max
	}
	return f.Bare(lo, sys) + " to " + f.Show(hi, sys)
}

// Row is a joint in a list.
type Row struct {
	ID, Title, Joint, Metal, Thickness, Gap, Position string
	Level                                             int
}

// JointRow makes the list line of a scenario.
func JointRow(sc scenarios.Scenario, sys weld.System) Row {
	t := sc.Task
	r := Row{
		ID: sc.ID, Title: sc.Title, Joint: string(t.Joint), Metal: string(t.A.Metal),
		Thickness: t.A.Thickness.Show(sys), Gap: max(t.Gap, t.GapEnd).Show(sys),
		Position: Position(t), Level: sc.Level,
	}
	if t.A.Metal != t.B.Metal {
		r.Metal += " on " + string(t.B.Metal)
	}
	if t.A.Thickness != t.B.Thickness {
		_, unit, _ := strings.Cut(r.Thickness, " ")
		bare := func(l weld.Length) string { n, _, _ := strings.Cut(l.Show(sys), " "); return n }
		r.Thickness = bare(t.A.Thickness) + "/" + bare(t.B.Thickness) + " " + unit
	}
	if t.Gap == 0 && t.GapEnd == 0 {
		r.Gap = "tight"
	}
	return r
}

// Matches says whether every word of the query occurs somewhere in the row.
func (r Row) Matches(query string) bool {
	hay := strings.ToLower(strings.Join([]string{r.ID, r.Title, r.Joint, r.Metal, r.Thickness, r.Gap, r.Position, "level " + strconv.Itoa(r.Level)}, " "))
	for _, word := range strings.Fields(strings.ToLower(query)) {
		if !strings.Contains(hay, word) {
			return false
		}
	}
	return true
}

// Find gives the scenarios whose list line matches the query, in their order;
// the one whose id is the query stands alone.
func Find(bank []scenarios.Scenario, query string, sys weld.System) []scenarios.Scenario {
	var out []scenarios.Scenario
	for _, sc := range bank {
		if strings.EqualFold(sc.ID, strings.TrimSpace(query)) {
			return []scenarios.Scenario{sc}
		}
		if JointRow(sc, sys).Matches(query) {
			out = append(out, sc)
		}
	}
	return out
}
