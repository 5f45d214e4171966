package scoring

import "puddlewise/scoring/weld"

// felt gives an answer with only what the metal feels of it: two answers that feel
// the same weld the same seam, and differ only in how it is judged.
func felt(a weld.Answer) weld.Answer {
	if a.Filler != weld.NoFiller {
		a.Filler = weld.ER70S2
	}
	a.Tungsten, a.TungstenDia, a.TipAngle, a.ACFrequency = "", 0, 0, 0
	a.Cup, a.Lens, a.Flow, a.PreFlow, a.PostFlow, a.StickOut = 0, false, 0, 0, 0, 0
	a.RodFrom = ""
	a.RodWithdrawn, a.RodAngle, a.Direction, a.TackSpacing = 0, 0, "", 0
	a.Cleaned, a.Dam, a.Vent, a.PurgeFlow, a.PurgeOxygen = false, false, false, 0, 0
	a.Back, a.TacksClean, a.Trail = "", false, 0
	a.PurgeTime, a.Solvent, a.Brush, a.Sequence = 0, "", "", ""
	if a.Gas == weld.ArCO2 || a.Gas == weld.ArH2 {
		a.Gas = weld.Argon
	}
	return a
}
