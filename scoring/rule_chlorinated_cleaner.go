package scoring

import "puddlewise/scoring/weld"

// chlorinatedCleaner: its vapour near an arc becomes phosgene by ultraviolet light (OSHA
// text, secondary source). The coupon does not show it.
func chlorinatedCleaner(e *evidence) reading {
	if !e.answer.Cleaned || e.answer.Solvent != weld.Chlorinated {
		return reading{}
	}
	return reading{
		margin: 1.9, from: 0, to: e.task.Seam,
		got: "chlorinated cleaner", want: "acetone or alcohol, dried off",
		why: "a chlorinated cleaner beside an arc: its ultraviolet turns the vapour into phosgene, and a crevice holds some after the part looks dry",
		fix: "keep it out of the room; degrease with acetone or alcohol and let it dry", source: "OSHA text on chlorinated solvents and ultraviolet light, secondary source",
	}
}
