package tui

import "puddlewise/scenarios"

// cautionsLines is what is said before the first arc.
func cautionsLines(w int) []line {
	var out []line
	for i, c := range scenarios.GeneralCautions {
		in := inkPlain
		if i == 0 {
			in = inkStrong // practice, not a procedure: the one that must not be missed
		}
		for j, l := range paragraph(c, w-2, in) {
			mark := "  "
			if j == 0 {
				mark = "! "
			}
			out = append(out, append(line{{mark, inkWarn}}, l...))
		}
	}
	return out
}
