package scoring

import "fmt"

// cupNarrow: the cup's bore is at least three tungsten diameters (secondary source;
// others say four to six).
func cupNarrow(e *evidence) reading {
	bore, least := float64(e.answer.Cup.Bore()), float64(3*float64(e.answer.TungstenDia))
	has, wants := mmBoth(bore, least)
	return reading{
		margin: least / (bore + 1e-6), from: 0, to: e.task.Seam,
		got: "bore " + has, want: "at least " + wants,
		why: fmt.Sprintf("a number %d cup, bore %s, is narrow for a %s tungsten: the gas is pinched around it and the cup overheats", e.answer.Cup, has, mm(float64(e.answer.TungstenDia))),
		fix: "a larger cup, or a thinner tungsten if the current allows", source: "cup bore at least 3 tungsten diameters, secondary source",
	}
}
