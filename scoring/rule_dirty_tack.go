package scoring

import "puddlewise/scoring/weld"

// dirtyTackWeight: what a tack took from the air goes into the pool when the run
// goes over it. Common practice, no source.
var dirtyTackWeight = map[weld.Family]float64{weld.Ferritic: 0.92, weld.Stainless: 1.1, weld.Aluminium: 1.1, weld.TitaniumMF: 1.7}

// dirtyTack: the run starts on a tack and goes over more of them.
func dirtyTack(e *evidence) reading {
	if e.answer.TacksClean {
		return reading{}
	}
	return reading{
		margin: dirtyTackWeight[e.family], from: 0, to: e.task.Seam,
		got: "tacks left as they came out", want: "tacks brushed bright, ends feathered",
		why:  "the run starts on a dirty tack: its oxide goes into the pool, which turns sluggish there",
		near: "the run starts on a tack left as it came out: this metal forgives it, another would not",
		fix:  "brush every tack bright, grind out a black one; purge before tacking stainless and titanium", source: byPractice,
	}
}
