package visual

import "puddlewise/scoring/weld"

// D11Least is where AWS D1.1 begins; thinner sheet belongs to AWS D1.3 (from memory).
const D11Least = 3 * weld.Millimetre

// AWSD11 gives the limits of AWS D1.1:2020, table 8.1, statically loaded, as quoted in a
// copy, for walls under 25 mm. ok is false for what is not encoded here.
func AWSD11(i Imperfection, s Size) (l Limit, ok bool) {
	source := "AWS D1.1:2020, table 8.1"
	if s.T < D11Least {
		return Limit{}, false
	}
	switch i {
	case LackOfFusion, BurnThrough, RootPenetration:
		return Limit{Source: source}, true
	case Undercut:
		return Limit{Most: 1 * weld.Millimetre, Source: source}, true
	case ExcessWeld:
		return Limit{Most: 3 * weld.Millimetre, Source: "AWS D1.1:2020, 7.23"}, true
	}
	return Limit{}, false
}
