package scoring

// thoriated: it welds well; its grinding dust is what to keep out of the lungs.
func thoriated(e *evidence) reading {
	if !e.answer.Tungsten.Thoriated() {
		return reading{}
	}
	return reading{
		margin: 1, from: 0, to: e.task.Seam,
		got: tungstenName(e.answer.Tungsten), want: "lanthana or ceria where the shop has them",
		why: "thoria is radioactive: the tip's grinding dust must not be breathed or left on the bench",
		fix: "grind under extraction, or take a lanthanated tungsten", source: "ISO 6848 remark, secondary source",
	}
}
