package apprentice

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
)

// common is how many joints in twenty or so practise a skill: as uneven as the bank was
// that shipped when this was written. It does not follow the bank, so that the numbers
// measured stay comparable.
var common = map[string]int{
	"choosing amps": 16, "backing off as it heats": 6, "welding around a tube": 6, "matching travel to amps": 5, "choosing filler": 5,
	"aiming into a corner": 5, "arc length and stick-out": 4, "dabbing on a gap": 4, "welding vertical up": 4, "matching rod to wall": 3,
	"purging a root": 3, "finishing a run": 3, "choosing current type": 3, "starting a run": 3, "cleaning": 3, "choosing tungsten": 2,
	"welding horizontal": 2, "welding overhead": 2, "keeping the rod tip in the gas": 2, "filling to size": 2, "sharing heat between members": 2,
	"shielding a throat": 2, "cup and gas flow": 2,
}

// Bank makes n joints up: levels 1 to 5 in turn, three or four skills each. The same n
// makes the same joints.
func Bank(n int) []scenarios.Scenario {
	rng := rand.New(rand.NewPCG(3, 5))
	var bag []string
	for _, name := range scenarios.Skills {
		bag = append(bag, slices.Repeat([]string{name}, max(1, common[name]))...)
	}
	kinds := []weld.Joint{weld.SquareButt, weld.TeeFillet, weld.LapFillet, weld.OutsideCorner, weld.EdgeWeld, weld.TubeButt, weld.TubeSaddle}
	out := make([]scenarios.Scenario, n)
	for i := range out {
		sc := scenarios.Scenario{ID: fmt.Sprintf("X-%03d", i+1), Title: "made up", Level: 1 + i%5}
		sc.Task.Joint = kinds[rng.IntN(len(kinds))]
		want := 4
		if rng.IntN(5) == 0 {
			want = 3
		}
		for len(sc.Skills) < want {
			if s := bag[rng.IntN(len(bag))]; !slices.Contains(sc.Skills, s) {
				sc.Skills = append(sc.Skills, s)
			}
		}
		out[i] = sc
	}
	return out
}
