package precert

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scoring/weld"
)

// Code is the standard a test is made to.
type Code string

// Codes.
const (
	ISO1 Code = "ISO 9606-1" // steel
	ISO2 Code = "ISO 9606-2" // aluminium
	ASME Code = "ASME IX"
	D11  Code = "AWS D1.1"
)

// Codes lists them as they are written in front of a designation.
var Codes = []Code{ISO1, ISO2, ASME, D11}

// iso says whether the test is designated as ISO 9606 does.
func (c Code) iso() bool { return c == ISO1 || c == ISO2 }

// Test is a welder's test as its designation tells it. Empty and zero: not told.
type Test struct {
	Code      Code
	Process   string   // ISO 4063 number
	Tube      bool     // T; else P, plate
	Butt      bool     // BW; else FW, fillet
	Filler    string   // FM1 to FM6; aluminium: parent metal group 21 to 23
	Kind      string   // of filler: S solid rod, nm none...
	Thickness float64  // mm: deposited on a butt, of the material on a fillet
	Diameter  float64  // mm outside; 0 for plate
	Positions []string // more than one where a test piece is welded in several
	Sides     string   // ss single, bs both
	Backing   string   // nb, mb, bs, gb, ci, fb
	Layers    string   // fillets: sl, ml
	Runs      int      // layers of a butt; 0 where not told
}

// slot is one kind of word in a designation. Its words must come in the order of slots.
type slot struct {
	name    string
	example string
	words   []string // allowed; nil where read
	number  string   // prefix of a number
	take    func(t *Test, word string, n float64)
	write   func(t Test) string
}

var (
	processes = []string{"111", "114", "121", "125", "131", "135", "136", "138", "141", "142", "143", "145", "15", "311"}
	positions = []string{"PA", "PB", "PC", "PD", "PE", "PF", "PG", "PH", "PJ", "H-L045", "J-L045"}
	awsPlaces = []string{"1G", "2G", "3G", "4G", "5G", "6G", "1F", "2F", "3F", "4F", "5F"}
	backings  = []string{"nb", "mb", "bs", "gb", "ci", "fb"}
)

var slots = []slot{
	{name: "process", example: "141", words: processes, take: func(t *Test, w string, _ float64) { t.Process = w }, write: func(t Test) string { return t.Process }},
	{name: "product", example: "P or T", words: []string{"P", "T"}, take: func(t *Test, w string, _ float64) { t.Tube = w == "T" }, write: func(t Test) string { return pick(t.Tube, "T", "P") }},
	{name: "weld", example: "BW or FW", words: []string{"BW", "FW"}, take: func(t *Test, w string, _ float64) { t.Butt = w == "BW" }, write: func(t Test) string { return pick(t.Butt, "BW", "FW") }},
	{name: "filler group", example: "FM1", words: []string{"FM1", "FM2", "FM3", "FM4", "FM5", "FM6", "21", "22", "23"}, take: func(t *Test, w string, _ float64) { t.Filler = w }, write: func(t Test) string { return t.Filler }},
	{name: "filler", example: "S", words: []string{"S", "M", "B", "C", "R", "P", "V", "W", "Y", "Z", "nm"}, take: func(t *Test, w string, _ float64) { t.Kind = w }, write: func(t Test) string { return t.Kind }},
	{name: "thickness", example: "s3 (butt) or t3 (fillet), mm", number: "st", take: func(t *Test, _ string, n float64) { t.Thickness = n }, write: func(t Test) string { return pick(t.Butt && t.Code != ISO2, "s", "t") + number(t.Thickness) }},
	{name: "diameter", example: "D60.3, mm", number: "D", take: func(t *Test, _ string, n float64) { t.Diameter = n }, write: func(t Test) string {
		if t.Diameter == 0 {
			return ""
		}
		return "D" + number(t.Diameter)
	}},
	{name: "position", example: "PA, PH, 6G, 2G+5G", words: nil, take: func(t *Test, w string, _ float64) { t.Positions = strings.Split(w, "+") }, write: func(t Test) string { return strings.Join(t.Positions, "+") }},
	{name: "sides", example: "ss or bs", words: []string{"ss", "bs"}, take: func(t *Test, w string, _ float64) { t.Sides = w }, write: func(t Test) string { return t.Sides }},
	{name: "backing", example: "nb", words: backings, take: func(t *Test, w string, _ float64) { t.Backing = w }, write: func(t Test) string { return t.Backing }},
	{name: "layers", example: "sl or ml (fillet), 3l for three layers of a butt", words: nil, take: takeLayers, write: writeLayers},
}

func pick(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}

func takeLayers(t *Test, w string, _ float64) {
	if w == "sl" || w == "ml" {
		t.Layers = w
		return
	}
	t.Runs, _ = strconv.Atoi(strings.TrimSuffix(w, "l"))
}

func writeLayers(t Test) string {
	if t.Runs > 0 {
		return strconv.Itoa(t.Runs) + "l"
	}
	return t.Layers
}

// takes says whether the slot takes the word, and the number in it.
func (s slot) takes(word string) (n float64, ok bool) {
	switch {
	case s.words != nil:
		return 0, slices.Contains(s.words, word)
	case s.number != "":
		if word == "" || !strings.ContainsRune(s.number, rune(word[0])) {
			return 0, false
		}
		n, err := strconv.ParseFloat(word[1:], 64)
		return n, err == nil && n > 0 && n <= 10000 && strings.Trim(word[1:], "0123456789.") == ""
	case s.name == "position":
		for _, p := range strings.Split(word, "+") {
			if !slices.Contains(positions, p) && !slices.Contains(awsPlaces, p) {
				return 0, false
			}
		}
		return 0, true
	}
	if word == "sl" || word == "ml" {
		return 0, true
	}
	runs, err := strconv.Atoi(strings.TrimSuffix(word, "l"))
	return 0, strings.HasSuffix(word, "l") && err == nil && runs >= 1 && runs <= 50
}

// ParseTest reads a designation such as "141 T BW FM1 S s3 D60.3 PH ss nb", with the
// code in front of it when it is not ISO 9606-1. The error says which word is wrong
// and what may stand there.
func ParseTest(s string) (Test, error) {
	t := Test{Code: ISO1}
	rest := strings.Join(strings.Fields(s), " ")
	rest = strings.TrimPrefix(rest, "EN ")
	for _, c := range Codes {
		if after, ok := cutFold(rest, string(c)); ok {
			t.Code, rest = c, strings.TrimSpace(after)
			break
		}
	}
	words := strings.Fields(rest)
	if len(words) == 0 {
		return Test{}, fmt.Errorf("a designation is missing\nsuch as: 141 T BW FM1 S s3 D60.3 PH ss nb")
	}
	at, seen := 0, map[string]bool{}
	for _, word := range words {
		k := at
		for k < len(slots) {
			if n, ok := slots[k].takes(word); ok {
				slots[k].take(&t, word, n)
				seen[slots[k].name] = true
				break
			}
			k++
		}
		if k == len(slots) {
			return Test{}, unread(word, at)
		}
		at = k + 1
	}
	return t, t.check(seen)
}

func cutFold(s, prefix string) (string, bool) {
	if len(s) < len(prefix) || !strings.EqualFold(s[:len(prefix)], prefix) {
		return s, false
	}
	return s[len(prefix):], true
}

// unread says of a word what could stand in its place.
func unread(word string, at int) error {
	var known []string
	for _, s := range slots {
		known = append(known, s.words...)
	}
	known = append(append(known, positions...), awsPlaces...)
	for _, s := range slots[:at] {
		if _, ok := s.takes(word); ok {
			return fmt.Errorf("%.20q stands too late or twice: the %s comes before\nthe order is: %s", word, s.name, order())
		}
	}
	hint := ""
	if n := weld.Nearest(word, known); n != "" {
		hint = "did you mean " + n + "? "
	}
	return fmt.Errorf("%.20q is no word of a designation\n%sthe order is: %s", word, hint, order())
}

func order() string {
	var out []string
	for _, s := range slots {
		out = append(out, s.name)
	}
	return strings.Join(out, ", ")
}

// check says what is missing or does not go together.
func (t Test) check(seen map[string]bool) error {
	need := []string{"product", "weld", "thickness", "position"}
	if t.Code.iso() {
		need = append([]string{"process"}, need...)
	}
	for _, name := range need {
		if !seen[name] {
			k := slices.IndexFunc(slots, func(s slot) bool { return s.name == name })
			return fmt.Errorf("the %s is missing\nwrite %s", name, slots[k].example)
		}
	}
	for _, p := range t.Positions {
		if known := pick2(t.Code.iso(), positions, awsPlaces); !slices.Contains(known, p) {
			return fmt.Errorf("%s is not how %s writes a position\nallowed are %s", p, t.Code, strings.Join(known, ", "))
		}
	}
	switch {
	case t.Code.iso() && len(t.Positions) > 1:
		return fmt.Errorf("%s gives one position to a test piece\nask for each by itself", t.Code)
	case t.Tube && t.Diameter == 0:
		return fmt.Errorf("a tube's diameter is missing\nwrite its outside, such as D60.3")
	case !t.Tube && t.Diameter > 0:
		return fmt.Errorf("plate has no diameter\nwrite T for a tube, or leave D%s out", number(t.Diameter))
	case t.Butt && t.Layers != "":
		return fmt.Errorf("%s is said of fillets\nfor a butt in three layers write 3l", t.Layers)
	case t.Code == ISO1 && strings.HasPrefix(t.Filler, "2"), t.Code == ISO2 && strings.HasPrefix(t.Filler, "FM"):
		return fmt.Errorf("%s does not go with %s\nsteel fillers are FM1 to FM6, aluminium metals 21 to 23", t.Filler, t.Code)
	case t.Butt && slices.ContainsFunc(t.Positions, func(p string) bool {
		return p == "PB" || p == "PD" || strings.HasSuffix(p, "F") && len(p) == 2 && p[0] < 'A'
	}):
		return fmt.Errorf("%s is a position of fillets\nthe weld is BW, a butt", strings.Join(t.Positions, "+"))
	}
	return nil
}

func pick2(yes bool, a, b []string) []string {
	if yes {
		return a
	}
	return b
}

// String writes the designation so that ParseTest reads the same test.
func (t Test) String() string {
	out := []string{string(t.Code)}
	for _, s := range slots {
		if w := s.write(t); w != "" {
			out = append(out, w)
		}
	}
	return strings.Join(out, " ")
}

// number writes mm to the hundredth, without idle zeros.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
}
