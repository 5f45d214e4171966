package view

import "strings"

// units are what belongs to the number before it.
var units = map[string]bool{}

func init() {
	for u := range strings.FieldsSeq("mm in mm/min ipm L/min cfh m/s ft/min C F A V s % deg Hz ppm nm kPa kJ/mm kJ/in walls") {
		units[u] = true
	}
}

// Worked says what a good hand sets and why; "" when ok is false.
func Worked(choice, reason string, ok bool) string {
	if !ok {
		return ""
	}
	return "A good hand sets " + choice + ": " + reason
}

// Words splits a text where a line may be broken: between words, but not between a
// number and its unit.
func Words(text string) []string {
	var out []string
	for w := range strings.FieldsSeq(text) {
		if n := len(out) - 1; n >= 0 && units[strings.TrimRight(w, ",.;:)")] && strings.ContainsAny(out[n][len(out[n])-1:], "0123456789") {
			out[n] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}
