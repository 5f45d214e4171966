package scoring

import "fmt"

// noVent: air shut in a hollow swells with the heat and blows out through the last
// of the pool. At constant volume the pressure follows the mean gas temperature.
func noVent(e *evidence) reading {
	if !e.task.ClosedVolume || e.answer.Vent {
		return reading{}
	}
	// Estimate: the air inside reaches a fifth of the way to the melt by the time the seam closes.
	melt := e.bead.Stations[len(e.bead.Stations)-1].Melt
	gas := 20 + 0.2*(melt-20)
	rise := 101.325 * (gas - 20) / 293.15
	return reading{
		margin: 1.5, from: e.task.Seam, to: e.task.Seam,
		got: "closed, no vent", want: "a 2 to 3 mm vent, or the last gap left open until cool",
		why:    fmt.Sprintf("no vent: the air inside, at about %.0f C, pushes with %.0f kPa and blows out through the last of the pool", gas, rise),
		fix:    "drill a vent where the drawing allows, or let the part cool and close it hot and quick",
		source: "gas law; the air's temperature is an estimate",
	}
}
