package scenarios

import "puddlewise/scoring/weld"

// Usual is the set-up a hand would find on the bench for the joint: what a
// scenario gives where its file says nothing. It is a starting point that saves
// writing, never an answer: fields that are asked do not take it.
func Usual(t weld.Task) weld.Answer {
	a := weld.Defaults()
	if !t.Joint.Fillet() {
		a.Aim = 0
		if t.Joint != weld.OutsideCorner {
			a.WorkAngle = 90 * weld.Degree
		}
	}
	switch t.A.Metal.Family() {
	case weld.Stainless:
		a.Filler = weld.ER308L
		if t.A.Metal == weld.SS316L {
			a.Filler = weld.ER316L
		}
		if t.B.Metal.Family() == weld.Ferritic {
			a.Filler = weld.ER309L
		}
	case weld.Ferritic:
		if t.B.Metal.Family() == weld.Stainless {
			a.Filler = weld.ER309L
		}
	case weld.Aluminium:
		a.Polarity = weld.AC
		a.TungstenDia = 2.4 * weld.Millimetre
		a.TipAngle = 60 * weld.Degree
		a.Filler = weld.ER4043
		if t.A.Metal == weld.Al5052 || t.B.Metal == weld.Al5052 {
			a.Filler = weld.ER5356
		}
		a.Rod = 1.6 * weld.Millimetre
	case weld.TitaniumMF:
		a.Filler = weld.ERTi2
		a.Back = weld.Purged
		a.PurgeOxygen = 20 * weld.PartPerMillion
		a.Cup, a.Flow = 12, 14*weld.LitrePerMin
		a.Trail = 50 * weld.Millimetre
		a.PostFlow = 20
	}
	return a
}
