package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// costlyFiller: a stainless rod on plain carbon steel holds, costs several times as
// much and gains nothing; 308L and 316L, thinned by the plain steel, freeze hard in
// places (use of classes: handbooks, from memory, high).
func costlyFiller(e *evidence) reading {
	f := e.answer.Filler
	steel := stainlessRod(f) && e.task.A.Metal == weld.CarbonSteel && e.task.B.Metal == weld.CarbonSteel
	stainless := f == weld.ER309L && e.both(weld.Stainless)
	if !steel && !stainless || e.task.Drawing.FillerFixed != "" {
		return reading{}
	}
	r := reading{
		margin: 1.2, from: 0, to: e.task.Seam,
		got: string(f), want: "ER70S-2 or ER70S-6",
		why: fmt.Sprintf("%s on carbon steel costs several times the plain rod and gains nothing", f),
		fix: "keep the stainless rods for stainless and for joining stainless to steel", source: "AWS A5.x uses; handbooks, from memory (high)",
	}
	if stainless {
		r.want = "ER308L, or ER316L where it is asked"
		r.why = "ER309L between two stainless sheets holds, costs more and gains nothing"
		r.fix = "keep 309L for joining stainless to steel"
	} else if f != weld.ER309L {
		r.why += "; thinned by the plain steel it freezes hard in places"
	}
	return r
}

func stainlessRod(f weld.Filler) bool {
	return f == weld.ER308L || f == weld.ER309L || f == weld.ER316L
}

func steelRod(f weld.Filler) bool { return f == weld.ER70S2 || f == weld.ER70S6 || f == weld.ER80SD2 }
