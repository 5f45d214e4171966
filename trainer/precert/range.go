package precert

import (
	"fmt"
	"math"
	"strings"
)

// Cover is what a test qualifies for in one variable.
type Cover struct {
	Variable string
	Covers   string // as it is read: "3 to 6 mm", "PA PE PF"
	Source   string // standard and table or clause
	Note     string // a condition, or where sources disagree
}

// Range gives what passing the test would qualify for, variable by variable. What is
// not confirmed by a source is not guessed: it says "not checked here".
func (t Test) Range() []Cover {
	switch t.Code {
	case ISO2:
		return t.iso2()
	case ASME:
		return t.asme()
	case D11:
		return t.d11()
	}
	return t.iso1()
}

// span is a range of mm; to is +Inf where there is no upper end.
type span struct{ from, to float64 }

func (s span) String() string {
	switch {
	case math.IsInf(s.to, 1):
		return number(s.from) + " mm and up"
	case s.from == 0:
		return "up to " + number(s.to) + " mm"
	}
	return number(s.from) + " to " + number(s.to) + " mm"
}

// list writes words with blanks.
func list(s []string) string { return strings.Join(s, " ") }

// What a position qualifies, ISO 9606-1:2012 tables 9 (butts) and 10 (fillets).
var (
	isoButts = map[string][]string{
		"PA": {"PA"}, "PC": {"PA", "PC"}, "PE": {"PA", "PC", "PE"}, "PF": {"PA", "PF"}, "PH": {"PA", "PE", "PF"}, "PG": {"PG"},
		"PJ": {"PA", "PE", "PG"}, "H-L045": {"PA", "PC", "PE", "PF"}, "J-L045": {"PA", "PC", "PE", "PG"},
	}
	isoFillets = map[string][]string{
		"PA": {"PA"}, "PB": {"PA", "PB"}, "PC": {"PA", "PB", "PC"}, "PD": {"PA", "PB", "PC", "PD", "PE"}, "PE": {"PA", "PB", "PC", "PD", "PE"},
		"PF": {"PA", "PB", "PF"}, "PH": {"PA", "PB", "PC", "PD", "PE", "PF"}, "PG": {"PG"}, "PJ": {"PA", "PB", "PD", "PE", "PG"},
	}
	// Table 3 and, for backing, table 11.
	isoFillers = map[string][]string{
		"FM1": {"FM1", "FM2"}, "FM2": {"FM1", "FM2"}, "FM3": {"FM1", "FM2", "FM3"}, "FM4": {"FM1", "FM2", "FM3", "FM4"}, "FM5": {"FM5"}, "FM6": {"FM5", "FM6"},
	}
	isoBackings = map[string][]string{
		"nb": {"nb", "mb", "bs", "gb", "fb"}, "mb": {"mb", "bs"}, "bs": {"mb", "bs"}, "gb": {"mb", "bs", "gb"}, "ci": {"mb", "bs", "ci"}, "fb": {"mb", "bs", "fb"},
	}
	// Aluminium, ISO 9606-2:2004. A plate's vertical up is told from a tube's.
	iso2Places = map[string][]string{
		"PA": {"PA", "PB"}, "PB": {"PA", "PB"}, "PC": {"PA", "PB", "PC"},
		"PD": {"PA", "PB", "PC", "PD", "PE", "PF (plate)"}, "PE": {"PA", "PB", "PC", "PD", "PE", "PF (plate)"}, "PF": {"PA", "PB", "PF (plate)"},
	}
)

const notChecked = "not checked here"

func known(m map[string][]string, key string) string {
	if v, ok := m[key]; ok {
		return list(v)
	}
	return notChecked
}

func (t Test) iso1() []Cover {
	out := []Cover{{"process", t.Process, "ISO 9606-1:2012, 5.2", ""}}
	switch t.Process {
	case "141", "143", "145":
		out[0].Covers = "141 142 143 145"
	case "142":
	default:
		out[0].Covers = notChecked
	}
	if t.Butt {
		note := ""
		if t.Thickness >= 12 {
			note = "with three layers at least"
		}
		out = append(out, Cover{"weld", "butts", "ISO 9606-1:2012, 5.4", "with the extra fillet test, fillets in PA and PB"},
			Cover{"deposited thickness", t.isoButt().String(), "ISO 9606-1:2012, table 6", note})
	} else {
		out = append(out, Cover{"weld", "fillets", "ISO 9606-1:2012, 5.4", "no butts"},
			Cover{"material thickness", isoFillet(t.Thickness).String(), "ISO 9606-1:2012, table 8", ""})
	}
	out = append(out, t.isoDiameter("ISO 9606-1:2012, table 7", true))
	places := isoFillets
	table := "table 10"
	if t.Butt {
		places, table = isoButts, "table 9"
	}
	out = append(out, Cover{"position", known(places, t.Positions[0]), "ISO 9606-1:2012, " + table, ""})
	if t.Filler != "" {
		out = append(out, Cover{"filler group", known(isoFillers, t.Filler), "ISO 9606-1:2012, table 3", ""})
	}
	if t.Kind == "S" || t.Kind == "M" {
		out = append(out, Cover{"filler", "S M", "ISO 9606-1:2012, table 5", ""})
	} else if t.Kind != "" {
		out = append(out, Cover{"filler", notChecked, "ISO 9606-1:2012, table 5", ""})
	}
	if t.Butt && t.backing() != "" {
		out = append(out, Cover{"backing", known(isoBackings, t.backing()), "ISO 9606-1:2012, table 11", ""})
	}
	switch t.Layers {
	case "sl":
		out = append(out, Cover{"layers", "sl", "ISO 9606-1:2012, table 12", ""})
	case "ml":
		out = append(out, Cover{"layers", "sl ml", "ISO 9606-1:2012, table 12", ""})
	}
	return out
}

// backing is what held the root: welded from both sides, or what is told.
func (t Test) backing() string {
	if t.Backing == "" && t.Sides == "bs" {
		return "bs"
	}
	return t.Backing
}

// isoButt is the range of deposited thickness, ISO 9606-1:2012 table 6. At 12 mm and
// more in fewer than three layers no source at hand gives an upper end: it is held to twice.
func (t Test) isoButt() span {
	switch s := t.Thickness; {
	case s < 3:
		return span{s, math.Max(3, 2*s)}
	case s >= 12 && (t.Runs == 0 || t.Runs >= 3):
		return span{3, math.Inf(1)}
	default:
		return span{3, 2 * s}
	}
}

func isoFillet(t float64) span {
	if t < 3 {
		return span{t, math.Max(3, 2*t)}
	}
	return span{3, math.Inf(1)}
}

// isoDiameter is the range of outside diameters; steel says what a tube does for plate.
func (t Test) isoDiameter(source string, steel bool) Cover {
	if !t.Tube {
		if steel {
			return Cover{"product", "plate; fixed tube of 500 mm and up", source, "turned tube of 75 mm and up in PA, PB, PC and PD"}
		}
		least := "tube of 500 mm and up"
		if p := t.Positions[0]; p == "PA" || p == "PB" || p == "PC" {
			least = "tube of 150 mm and up"
		}
		return Cover{"product", "plate; " + least, source, ""}
	}
	over := span{t.Diameter, 2 * t.Diameter}
	plate := "no plate: the tube is not over 25 mm"
	if t.Diameter > 25 {
		over, plate = span{math.Max(t.Diameter/2, 25), math.Inf(1)}, "plate as well"
	}
	return Cover{"outside diameter", over.String(), source, plate}
}

func (t Test) iso2() []Cover {
	out := []Cover{{"process", t.Process, "ISO 9606-2:2004", ""}}
	if t.Process != "141" {
		out[0].Covers = notChecked
	}
	if t.Butt {
		over := span{t.Thickness / 2, 2 * t.Thickness}
		if t.Thickness > 6 {
			over = span{6, math.Inf(1)}
		}
		out = append(out, Cover{"weld", "butts", "ISO 9606-2:2004", ""}, Cover{"thickness", over.String(), "ISO 9606-2:2004", "steel starts at the test's own wall, aluminium at half of it"})
	} else {
		over := span{t.Thickness, 3}
		if t.Thickness >= 3 {
			over = span{3, math.Inf(1)}
		}
		out = append(out, Cover{"weld", "fillets", "ISO 9606-2:2004", ""}, Cover{"thickness", over.String(), "ISO 9606-2:2004", ""})
	}
	out = append(out, t.isoDiameter("ISO 9606-2:2004", false))
	place := known(iso2Places, t.Positions[0])
	switch p := t.Positions[0]; {
	case p == "H-L045":
		place = "all but PG"
	case p == "PF" && t.Tube:
		place = "PA PB PD PE PF"
	}
	out = append(out, Cover{"position", place, "ISO 9606-2:2004", ""})
	if t.Filler != "" {
		out = append(out, Cover{"metal group", notChecked, "ISO 9606-2:2004", ""})
	}
	return out
}

// QW-461.9, groove tests. Positions of fillets follow in the standard's own row.
var asmeGrooves = map[string]struct{ wide, small, fillet string }{ // plate or tube over 610 mm; smaller tube; fillets
	"1G": {"F", "F", "F"}, "2G": {"F H", "F H", "F H"}, "3G": {"F V", "F", "F H V"}, "4G": {"F O", "F", "F H O"},
	"3G+4G": {"F V O", "F", "all"}, "2G+3G+4G": {"all", "F H", "all"}, "5G": {"F V O", "F V O", "all"}, "6G": {"F H V O", "F H V O", "all"}, "2G+5G": {"F H V O", "F H V O", "all"},
}

func (t Test) asme() []Cover {
	if !t.Butt {
		return []Cover{{"weld", notChecked, "ASME IX", "only groove tests are encoded here"}}
	}
	deposit := span{0, 2 * t.Thickness}
	note := ""
	if t.Thickness >= 13 {
		if t.Runs >= 3 {
			deposit = span{0, math.Inf(1)}
		} else {
			note = "13 mm and up in three layers or more has no upper end"
		}
	}
	covers := deposit.String()
	if math.IsInf(deposit.to, 1) {
		covers = "unlimited"
	}
	out := []Cover{
		{"weld", "grooves; fillets of any size and diameter", "ASME IX QW-452.6", ""},
		{"deposited thickness", covers, "ASME IX QW-452.1(b)", note},
	}
	if t.Tube {
		over, n := span{73, math.Inf(1)}, ""
		switch d := t.Diameter; {
		case d < 25.4:
			over.from = d
		case d < 73:
			over.from, n = 25.4, "1 in; the metric edition says 25 mm"
		}
		out = append(out, Cover{"outside diameter", over.String(), "ASME IX QW-452.3", n})
	} else {
		out = append(out, Cover{"outside diameter", "73 mm and up", "ASME IX QW-461.9", "in the positions of smaller tube below"})
	}
	row, ok := asmeGrooves[strings.Join(t.Positions, "+")]
	if !ok {
		return append(out, Cover{"position", notChecked, "ASME IX QW-461.9", ""})
	}
	place, where := row.wide, ""
	if t.Tube && t.Diameter <= 610 {
		place = row.small
	} else if row.wide != row.small {
		where = "plate and tube over 610 mm; smaller tube: " + row.small
	}
	if t.Positions[0] == "3G" && len(t.Positions) == 1 {
		where += pick(where == "", "", "; ") + "AWS D1.1 gives F H V for the same test"
	}
	out = append(out, Cover{"position, grooves", place, "ASME IX QW-461.9", where},
		Cover{"position, fillets", row.fillet, "ASME IX QW-461.9", "from memory: check against the book"})
	switch t.backing() {
	case "nb":
		out = append(out, Cover{"backing", "with and without", "ASME IX QW-402.4", ""})
	case "":
	default:
		out = append(out, Cover{"backing", "with backing only", "ASME IX QW-402.4", ""})
	}
	return out
}

// AWS D1.1:2020 tables 6.10 and 6.11.
var d11Grooves = map[string]string{"1G": "F", "2G": "F H", "3G": "F H V", "4G": "F O", "3G+4G": "all", "6G": "all"}

func (t Test) d11() []Cover {
	if t.Thickness < 3 {
		return []Cover{{"thickness", "nothing", "AWS D1.1:2020", fmt.Sprintf("D1.1 begins at 3 mm; sheet of %s mm belongs to AWS D1.3", number(t.Thickness))}}
	}
	if !t.Butt || t.Tube && t.Positions[0] != "6G" {
		return []Cover{{"weld", notChecked, "AWS D1.1:2020", "only plate grooves and 6G are encoded here"}}
	}
	out := []Cover{}
	over := Cover{"thickness", notChecked, "AWS D1.1:2020, table 6.11", "only test plates of 9.5 mm and up are encoded here"}
	switch s := t.Thickness; {
	case s >= 25:
		over.Covers, over.Note = "3 mm and up", ""
	case s >= 9.5:
		over.Covers, over.Note = span{3, 2 * s}.String(), ""
	}
	out = append(out, over)
	key := strings.Join(t.Positions, "+")
	place := Cover{"position", d11Grooves[key], "AWS D1.1:2020, table 6.10", ""}
	switch key {
	case "3G":
		place.Note = "ASME IX gives F V for the same test"
	case "4G":
		place.Note = "one source at hand gives H as well: check against the book"
	case "":
		place.Covers = notChecked
	}
	if place.Covers == "" {
		place.Covers = notChecked
	}
	return append(out, place)
}
