package scoring

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Sign is something a welder sees or hears while the weld is made, or on the coupon
// after: what the computed metal and gas would show. The words are for a learner who
// watches a pool; the id is for pictures and quizzes.
type Sign struct {
	ID       string
	Words    string
	Place    string      // pool, bead, back, arc, tungsten or rod
	Strength float64     // 0 hardly there, 1 nobody misses it
	From, To weld.Length // along the seam; equal when it has no place
}

// faintest strength that is reported.
const faintest = 0.15

// signMaker reads one sign from a weld.
type signMaker struct {
	id, place, words string
	read             func(e *evidence) (strength float64, where Span)
}

// Every sign stands in this table, in the order they are told when equally strong.
var signMakers = []signMaker{
	{"pool_round", "pool", "the pool is round and even, its ripples are half circles", func(e *evidence) (float64, Span) {
		return 1 - math.Max(ramp(e.stretch(), 1.2, 1.6), e.pointed()), e.all()
	}},
	{"pool_teardrop", "pool", "the pool is drawn out behind like a drop", func(e *evidence) (float64, Span) {
		return math.Min(ramp(e.stretch(), 1.2, 1.6), 1-e.pointed()), e.all()
	}},
	{"pool_pointed", "pool", "the pool ends in a point, its ripples are V-shaped", func(e *evidence) (float64, Span) { return e.pointed(), e.all() }},
	{"pool_wide", "pool", "the pool spreads wide and keeps growing", func(e *evidence) (float64, Span) {
		return ramp(e.bead.PoolWidth/e.wall, 3.4, 5), e.all()
	}},
	{"pool_narrow", "pool", "the pool hardly opens: a narrow bright line", func(e *evidence) (float64, Span) {
		return 1 - ramp(e.bead.PoolWidth/e.wall, 1.2, 2.2), e.all()
	}},
	{"pool_one_side", "pool", "the pool wanders to one side and leaves the other dry", func(e *evidence) (float64, Span) {
		r := unequalLegs(e)
		return ramp(r.margin, 0.75, 1.1), Span{r.from, r.to}
	}},
	{"pool_shiny", "pool", "the pool is bright as a mirror and flows out to both edges", func(e *evidence) (float64, Span) { return 1 - e.sluggish, e.all() }},
	{"pool_sluggish", "pool", "the pool is dull and sluggish: it will not wet out", func(e *evidence) (float64, Span) { return e.sluggish, e.all() }},
	{"oxide_skin", "pool", "a skin swims on the pool and the edges will not run together", func(e *evidence) (float64, Span) {
		if e.family != weld.Aluminium {
			return 0, e.all()
		}
		m := math.Max(wrongCurrentType(e).margin, cleaningShort(e).margin)
		if e.task.Surface == weld.OldOxide {
			m = math.Max(m, dirtyMetal(e).margin)
		}
		return ramp(m, 0.8, 1.2), e.all()
	}},
	{"pool_domed", "pool", "the pool sits up on the sheet, domed: it is not through", func(e *evidence) (float64, Span) {
		r := noPenetration(e)
		return ramp(r.margin, 0.95, 1.15), Span{r.from, r.to}
	}},
	{"pool_sunken", "pool", "the pool sinks and goes quiet: it is through and hangs", func(e *evidence) (float64, Span) {
		r := collapse(e)
		return ramp(r.margin, 0.6, 1.05), Span{r.from, r.to}
	}},
	{"hole", "pool", "the pool drops out", func(e *evidence) (float64, Span) {
		r := collapse(e)
		if k := keyhole(e); k.margin > r.margin {
			r = k
		}
		return ramp(r.margin, 1, 1.3), Span{r.from, r.to}
	}},
	{"keyhole", "pool", "an eye opens at the front of the pool, where the gap is", func(e *evidence) (float64, Span) {
		r := keyhole(e)
		return ramp(r.margin, 0.7, 1), Span{r.from, r.to}
	}},
	{"root_dark", "pool", "a dark line stays in the corner under the arc", func(e *evidence) (float64, Span) {
		r := rootNotFused(e)
		return ramp(r.margin, 0.92, 1.1), Span{r.from, r.to}
	}},
	{"undercut_toe", "bead", "a groove runs along the toe", func(e *evidence) (float64, Span) {
		r := undercut(e)
		return ramp(r.margin, 0.75, 1.1), Span{r.from, r.to}
	}},
	{"cold_toes", "bead", "the bead lies on the metal with round, cold toes", func(e *evidence) (float64, Span) {
		r := coldLap(e)
		return ramp(r.margin, 0.7, 1.1), Span{r.from, r.to}
	}},
	{"bead_straw", "bead", "the bead is straw coloured", beadTint(0)},
	{"bead_purple", "bead", "the bead is brown to purple", beadTint(1)},
	{"bead_blue", "bead", "the bead is blue", beadTint(2)},
	{"bead_grey", "bead", "the bead is grey and rough", func(e *evidence) (float64, Span) {
		switch e.family {
		case weld.Stainless:
			return ramp(e.film, greyFrom, 1.2*greyFrom), e.all()
		case weld.TitaniumMF:
			return ramp(e.leavesGasAt(), 500, 600), e.all()
		}
		return ramp(e.spoiled.margin, 0.95, 1.2), e.all()
	}},
	{"crater_hollow", "bead", "the end of the bead is a hollow, perhaps with a star crack in it", func(e *evidence) (float64, Span) {
		r := crater(e)
		return ramp(r.margin, 0.8, 1.3), Span{r.from, r.to}
	}},
	{"far_side_glow", "back", "the far side glows", func(e *evidence) (float64, Span) {
		m, s, _ := e.worst(0, 1, func(s *puddle.Station) float64 { return rise(s.FarTemp, s.Melt) })
		return ramp(m, 0.7, 1), Span{weld.Length(s.At), weld.Length(s.At)}
	}},
	{"back_crusted", "back", "the back is black and crusted", func(e *evidence) (float64, Span) {
		r := backAir(e)
		return ramp(r.margin, 0.95, 1.2), Span{r.from, r.to}
	}},
	{"sparks", "arc", "sparks and spitting out of the pool", func(e *evidence) (float64, Span) {
		m := dirtyMetal(e).margin
		if e.answer.Gas == weld.ArCO2 {
			m = 2
		}
		return ramp(m, 1, 1.4), e.all()
	}},
	{"blow_out", "arc", "the last of the pool blows out at you", func(e *evidence) (float64, Span) {
		r := noVent(e)
		return ramp(r.margin, 0.8, 1), Span{r.from, r.to}
	}},
	{"arc_wanders", "arc", "the arc wanders over the tip", func(e *evidence) (float64, Span) {
		m := tungstenTooThick(e).margin
		if t := tipAngle(e); float64(e.answer.TipAngle) > float64(40*float64(weld.Degree)) {
			m = math.Max(m, t.margin)
		}
		return ramp(m, 0.85, 1.1), e.all()
	}},
	{"tungsten_ball", "tungsten", "the tip has rolled up into a ball", func(e *evidence) (float64, Span) {
		m := math.Max(tungstenOverloaded(e).margin, acBalanceLow(e).margin)
		if e.answer.Polarity == weld.DCEP || e.answer.Tungsten == weld.WP {
			m = math.Max(m, 1.2)
		}
		return ramp(m, 1, 1.15), e.all()
	}},
	{"tungsten_split", "tungsten", "the tip is split and bits of it lie in the bead", func(e *evidence) (float64, Span) {
		m := tungstenOverloaded(e).margin
		if e.answer.Polarity == weld.DCEP {
			m = math.Max(m, 1.3)
		}
		return ramp(m, 1.05, 1.4), e.all()
	}},
	{"tungsten_black", "tungsten", "the tip is blue or black", func(e *evidence) (float64, Span) {
		m := postFlowShort(e).margin
		if e.answer.Flow == 0 || e.answer.Gas == weld.ArCO2 {
			m = 2
		}
		return ramp(m, 0.85, 1.1), e.all()
	}},
	{"rod_black", "rod", "the rod's tip is black when it comes back to the pool", func(e *evidence) (float64, Span) {
		return ramp(math.Max(e.tipOut().margin, 0), 0.8, 1.1), e.all()
	}},
	{"rod_balls", "rod", "the rod balls before it reaches the pool", func(e *evidence) (float64, Span) { return ramp(rodAngle(e).margin, 0.9, 1.3), e.all() }},
	{"rod_sticks", "rod", "the rod freezes in the pool and has to be pulled off", func(e *evidence) (float64, Span) {
		return ramp(math.Max(rodTooThick(e).margin, coldLap(e).margin), 1, 1.6), e.all()
	}},
}

// beadTint makes the sign of the i-th colour of the film on stainless.
func beadTint(i int) func(e *evidence) (float64, Span) {
	return func(e *evidence) (float64, Span) {
		if e.family != weld.Stainless {
			return 0, e.all()
		}
		lo, hi := tints.nm[i], tints.nm[i+1]
		f, fade := e.film, float64((hi-lo)/4)
		return math.Min(ramp(f, lo-fade, lo+fade), 1-ramp(f, hi-fade, hi+fade)), e.all()
	}
}

// stretch is the pool's length over its width; a fillet's pool is shorter for the
// same heat.
func (e *evidence) stretch() float64 {
	s := e.bead.PoolLength / math.Max(e.bead.PoolWidth, 1e-4)
	if e.fillet() {
		s = float64(1.35 * s)
	}
	return s
}

// pointed says how V-shaped the pool's tail is.
func (e *evidence) pointed() float64 { return ramp(overheated(e).margin, 0.75, 1.05) }

// Signs gives what a welder would see of a welded seam, the strongest first.
func Signs(task weld.Task, answer weld.Answer, bead *puddle.Bead) []Sign {
	return gather(task, answer, bead).signs()
}

func (e *evidence) signs() []Sign {
	var out []Sign
	for _, m := range signMakers {
		strength, where := m.read(e)
		strength = math.Round(float64(strength*100)) / 100
		if strength >= faintest {
			out = append(out, Sign{ID: m.id, Words: m.words, Place: m.place, Strength: strength, From: where.From, To: where.To})
		}
	}
	slices.SortStableFunc(out, func(a, b Sign) int { return cmp.Compare(b.Strength, a.Strength) })
	return out
}

// SignIDs lists every sign the model can show, with its words.
func SignIDs() []Sign {
	out := make([]Sign, len(signMakers))
	for i, m := range signMakers {
		out[i] = Sign{ID: m.id, Words: m.words, Place: m.place}
	}
	return out
}

// String tells a sign in one line.
func (s Sign) String() string { return fmt.Sprintf("%s: %s (%.0f %%)", s.ID, s.Words, 100*s.Strength) }
