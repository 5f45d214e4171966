package scoring

import "puddlewise/scoring/weld"

// thoriated: it welds well; its grinding dust is what to keep out of the lungs.
func thoriated(e *evidence) reading {
	if e.answer.Tungsten != weld.WT20 {
		return reading{}
	}
	return reading{
		margin: 1, from: 0, to: e.task.Seam,
		got: string(weld.WT20) + ", 1.7 to 2.2 % thoria", want: "lanthana or ceria where the shop has them",
		why: "thoria is radioactive: the tip's grinding dust must not be breathed or left on the bench",
		fix: "grind under extraction, or take a lanthanated tungsten", source: "ISO 6848 remark, secondary source",
	}
}
