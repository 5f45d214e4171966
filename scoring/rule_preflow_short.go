package scoring

import "fmt"

// preflowShort: the hose and the cup hold air until the gas has pushed it out: 0.2 to
// 0.5 s (common practice, no source).
func preflowShort(e *evidence) reading {
	have := float64(e.answer.PreFlow)
	return reading{
		margin: 0.2 / (have + 0.05), from: 0, to: 0,
		got: seconds(have) + " of pre-flow", want: "0.2 to 0.5 s",
		why: fmt.Sprintf("the arc starts %s after the gas: the first pool and the tungsten stand in air", seconds(have)),
		fix: "half a second of pre-flow", source: byPractice,
	}
}
