package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// dewPoint, C, of a shop at 20 C and half saturated: a colder part sweats.
// Magnus's formula (from memory, high); the shop's air is an assumption.
const dewPoint = 9.3

// dampMetal: a part colder than the dew point is wet. Its water gives hydrogen: pores
// in aluminium, brittleness in titanium; steel forgives a little of it. 4130 has a rule of its own.
func dampMetal(e *evidence) reading {
	at := e.task.PartTemp.Celsius()
	r := reading{
		margin: 1 + float64((dewPoint-at)/20), from: 0, to: e.task.Seam,
		got: "part at " + celsius(at), want: "warmer than the dew point, about " + celsius(dewPoint) + ", and dry",
		why: fmt.Sprintf("a part at %s sweats in a warm shop: the arc splits the water and its hydrogen goes into the pool as pores", celsius(at)),
		fix: "let it come to the shop's warmth and wipe it dry", source: "Magnus's formula for 20 C and half saturated air, from memory (high)",
	}
	if e.family == weld.Ferritic || e.family == weld.Stainless {
		r.as = Remark
	}
	if e.family == weld.TitaniumMF {
		r.why = fmt.Sprintf("a part at %s sweats in a warm shop: the arc splits the water, and its hydrogen makes titanium brittle", celsius(at))
	}
	return r
}
