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
// after: what the computed metal and gas would show. Place and words together are for
// a learner who watches a pool: "pool: ends in a point"; the id is for pictures and
// quizzes. What a sign means is told apart from it, by Meaning.
type Sign struct {
	ID       string
	Words    string      // what is seen, without what it means
	Place    string      // one of SignPlaces
	Strength float64     // 0 hardly there, 1 nobody misses it
	From, To weld.Length // along the seam; equal when it has no place
}

// faintest strength that is reported.
const faintest = 0.15

// SignPlaces is where to look, in the order a welder does: while it runs, then on the coupon.
var SignPlaces = []string{"pool", "rod", "arc", "tungsten", "bead", "back"}

// signMaker reads one sign from a weld.
type signMaker struct {
	id, place, words string
	read             func(e *evidence) (strength float64, where Span)
}

// meaning is what a sign says of the weld, and the findings it is evidence of.
type meaning struct {
	kind  string // of signs of one kind only the strongest is told; empty for none
	words string
	rules []string
}

// airGetsIn are the findings that let air to the pool.
var airGetsIn = []string{"flow_low", "turbulent_flow", "draught", "stick_out_long", "pool_uncovered"}

// What the signs mean: common practice, no source.
var meanings = map[string]meaning{
	"pool_round":     {"shape", "the pool keeps up with the travel", nil},
	"pool_teardrop":  {"shape", "quick travel, or a part that warms up: watch that it does not come to a point", nil},
	"pool_pointed":   {"shape", "more heat than the metal carries off", []string{"overheated"}},
	"pool_wide":      {"width", "the heat gathers: ease off or move on", []string{"collapse", "far_side_melted", "undercut"}},
	"pool_narrow":    {"width", "little heat for this wall: it may not reach the root", []string{"no_penetration", "root_not_fused", "cold_start", "cold_lap"}},
	"pool_one_side":  {"", "the arc does not point where the heat is wanted", []string{"unequal_legs", "root_not_fused"}},
	"pool_shiny":     {"skin", "clean metal, well covered by the gas", nil},
	"pool_sluggish":  {"skin", "there is oxide in it: the gas, the rod's tip, dirt or a tack let it in", slices.Concat(airGetsIn, []string{"rod_tip_out", "dirty_metal", "dirty_tack", "wrong_current_type", "cleaning_short"})},
	"oxide_skin":     {"", "the oxide is not lifted", []string{"wrong_current_type", "cleaning_short", "dirty_metal"}},
	"pool_domed":     {"", "it is not through to the back", []string{"no_penetration"}},
	"pool_sunken":    {"", "it is through and hangs: right on a butt, and the wider it gets the less holds it", []string{"collapse"}},
	"hole":           {"", "nothing held it up any longer", []string{"keyhole", "collapse"}},
	"keyhole":        {"", "the gap is molten and bare: a dab closes it, for a moment", []string{"keyhole"}},
	"root_dark":      {"", "the faces are molten, the root is not", []string{"root_not_fused", "cold_start"}},
	"undercut_toe":   {"", "the toe melted wider than the rod filled", []string{"undercut"}},
	"cold_toes":      {"", "the rod was melted onto the metal, not into it", []string{"cold_lap", "toe_steep"}},
	"bead_straw":     {"tint", "it was warm when the gas left it", []string{"hot_bead_uncovered"}},
	"bead_purple":    {"tint", "it was hot when the gas left it", []string{"hot_bead_uncovered"}},
	"bead_blue":      {"tint", "it was very hot when the gas left it", []string{"hot_bead_uncovered"}},
	"bead_grey":      {"tint", "air got at it while it was far too hot", slices.Concat(airGetsIn, []string{"hot_bead_uncovered"})},
	"pores":          {"", "gas was in it as it froze: from dirt, water, or air", slices.Concat([]string{"dirty_metal", "damp_metal", "wrong_gas"}, airGetsIn)},
	"crater_hollow":  {"", "the current went out at once and nothing fed the last of the pool", []string{"crater"}},
	"far_side_glow":  {"", "the heat comes through: on a butt it has to, on a fillet it is a warning", []string{"far_side_melted"}},
	"root_hangs":     {"", "the pool was wide, and its weight let it down", []string{"collapse", "underfill", "root_proud"}},
	"root_hollow":    {"", "the pool's weight drew it towards the torch", []string{"root_concave"}},
	"back_crusted":   {"", "it melted with air behind it", []string{"back_air"}},
	"sparks":         {"", "dirt or the wrong gas burns in it", []string{"dirty_metal", "wrong_gas"}},
	"blow_out":       {"", "the air shut in behind it has no other way out", []string{"no_vent"}},
	"arc_wanders":    {"", "the tip is too blunt, too cold or too dirty to hold it", []string{"tungsten_too_thick", "tip_angle", "short_arc"}},
	"arc_flutters":   {"", "air crosses it: the gas is being carried off", []string{"draught"}},
	"spot_ahead":     {"", "dirt or a tack left as it was: its oxide goes into the pool", []string{"dirty_metal"}},
	"arc_short":      {"", "a tremble, a dab or a proud bead, and the tip is in the pool: lift a little", []string{"short_arc"}},
	"gap_wider":      {"", "more gap to bridge: the dabs have to come sooner", []string{"keyhole", "underfill"}},
	"tungsten_ball":  {"", "the tip takes more heat than it carries: current, balance or polarity", []string{"wrong_current_type", "tungsten_overloaded", "ac_balance_low", "tungsten_class"}},
	"tungsten_split": {"", "far more current than it carries", []string{"wrong_current_type", "tungsten_overloaded"}},
	"tungsten_dip":   {"", "it touched the pool", []string{"short_arc"}},
	"tungsten_black": {"", "it met air while it was hot", []string{"post_flow_short", "flow_low", "wrong_gas"}},
	"rod_black":      {"", "it was out of the gas while hot and brings its oxide along", slices.Concat([]string{"rod_tip_out"}, airGetsIn)},
	"rod_balls":      {"", "it comes in so steep that the arc melts it", []string{"rod_angle"}},
	"bead_leans":     {"", "the rod came from that side and fed it first", []string{"rod_side"}},
	"rod_fast":       {"", "it met metal that was not molten: pull it off, or let the pool come to it", []string{"underfill", "undersize_leg"}},
	"rod_sticks":     {"", "it takes more heat than the pool has to give", []string{"rod_too_thick", "cold_lap"}},
}

// Meaning says what a sign means and which findings it is evidence of; empty for an
// unknown id.
func Meaning(id string) (words string, rules []string) {
	m := meanings[id]
	return m.words, m.rules
}

// Every sign stands in this table, in the order they are told when equally strong.
var signMakers = []signMaker{
	{"pool_round", "pool", "round and even, its ripples half circles", func(e *evidence) (float64, Span) {
		return 1 - math.Max(ramp(e.stretch(), 1.2, 1.6), e.pointed()), e.all()
	}},
	{"pool_teardrop", "pool", "drawn out behind like a drop", func(e *evidence) (float64, Span) {
		return math.Min(ramp(e.stretch(), 1.2, 1.6), 1-e.pointed()), e.all()
	}},
	{"pool_pointed", "pool", "ends in a point, its ripples V-shaped", func(e *evidence) (float64, Span) { return e.pointed(), e.all() }},
	{"pool_wide", "pool", "spreads wide and keeps growing", func(e *evidence) (float64, Span) {
		return ramp(e.bead.PoolWidth/e.wall, 3.4, 5), e.all()
	}},
	{"pool_narrow", "pool", "hardly opens, a narrow bright line", func(e *evidence) (float64, Span) {
		return 1 - ramp(e.bead.PoolWidth/e.wall, 1.2, 2.2), e.all()
	}},
	{"pool_one_side", "pool", "wanders to one side, the other stays dry", func(e *evidence) (float64, Span) {
		r := unequalLegs(e)
		return ramp(r.margin, 0.75, 1.1), Span{r.from, r.to}
	}},
	{"pool_shiny", "pool", "bright as a mirror, flows out to both edges", func(e *evidence) (float64, Span) { return 1 - e.dull(), e.all() }},
	{"pool_sluggish", "pool", "dull and sluggish, will not wet out", func(e *evidence) (float64, Span) { return e.dull(), e.all() }},
	{"oxide_skin", "pool", "a skin swims on it, the edges will not run together", func(e *evidence) (float64, Span) {
		if e.family != weld.Aluminium {
			return 0, e.all()
		}
		m := math.Max(wrongCurrentType(e).margin, cleaningShort(e).margin)
		if e.task.Surface == weld.OldOxide {
			m = math.Max(m, dirtyMetal(e).margin)
		}
		return ramp(m, 0.8, 1.2), e.all()
	}},
	{"pool_domed", "pool", "sits up on the sheet, domed", func(e *evidence) (float64, Span) {
		r := noPenetration(e)
		return ramp(r.margin, 0.95, 1.15), Span{r.from, r.to}
	}},
	{"pool_sunken", "pool", "sinks and goes quiet", func(e *evidence) (float64, Span) {
		r := collapse(e)
		return ramp(r.margin, 0.6, 1.05), Span{r.from, r.to}
	}},
	{"hole", "pool", "drops out", func(e *evidence) (float64, Span) {
		r := collapse(e)
		if k := keyhole(e); k.margin > r.margin {
			r = k
		}
		return ramp(r.margin, 1, 1.3), Span{r.from, r.to}
	}},
	{"keyhole", "pool", "an eye opens at its front, in the gap", func(e *evidence) (float64, Span) {
		r := keyhole(e)
		return ramp(r.margin, 0.7, 1), Span{r.from, r.to}
	}},
	{"root_dark", "pool", "a dark line stays in the corner under the arc", func(e *evidence) (float64, Span) {
		r := rootNotFused(e)
		return ramp(r.margin, 0.92, 1.1), Span{r.from, r.to}
	}},
	{"gap_wider", "pool", "runs towards a gap that is wider than at the start", func(e *evidence) (float64, Span) {
		m, s, _ := e.worst(0, 1, func(s *puddle.Station) float64 { return (s.Gap - float64(e.task.GapAt(weld.Length(s.At)))) / e.wall })
		return ramp(m, 0.05, 0.2), Span{weld.Length(s.At), weld.Length(s.At)}
	}},
	{"spot_ahead", "pool", "runs towards a dark spot on the joint", func(e *evidence) (float64, Span) {
		r := dirtySpot(e)
		return ramp(r.margin, 0, 0.5), Span{r.from, r.to}
	}},
	{"undercut_toe", "bead", "a groove runs along the toe", func(e *evidence) (float64, Span) {
		r := undercut(e)
		return ramp(r.margin, 0.75, 1.1), Span{r.from, r.to}
	}},
	{"cold_toes", "bead", "lies on the metal with round toes", func(e *evidence) (float64, Span) {
		r := coldLap(e)
		return ramp(r.margin, 0.7, 1.1), Span{r.from, r.to}
	}},
	{"bead_straw", "bead", "straw coloured", beadTint(0)},
	{"bead_purple", "bead", "brown to purple", beadTint(1)},
	{"bead_blue", "bead", "blue", beadTint(2)},
	{"bead_grey", "bead", "grey and rough", func(e *evidence) (float64, Span) {
		switch e.family {
		case weld.Stainless:
			return ramp(e.film, greyFrom, 1.2*greyFrom), e.all()
		case weld.TitaniumMF:
			return ramp(e.leavesGasAt(), 500, 600), e.all()
		}
		return ramp(e.spoiled.margin, 0.95, 1.2), e.all()
	}},
	{"pores", "bead", "pinholes in it", func(e *evidence) (float64, Span) { return e.porosity(), e.all() }},
	{"crater_hollow", "bead", "ends in a hollow, perhaps with a star crack in it", func(e *evidence) (float64, Span) {
		r := crater(e)
		return ramp(r.margin, 0.8, 1.3), Span{r.from, r.to}
	}},
	{"far_side_glow", "back", "glows", func(e *evidence) (float64, Span) {
		m, _, where := e.worst(0, 1, func(s *puddle.Station) float64 { return rise(s.FarTemp, s.Melt) })
		return ramp(m, 0.7, 1), where
	}},
	{"root_hangs", "back", "its root hangs through", func(e *evidence) (float64, Span) {
		m, s, _ := e.worst(0, 1, func(s *puddle.Station) float64 { return s.Shape.Root / e.wall })
		return ramp(m, 0.15, 0.3), Span{weld.Length(s.At), weld.Length(s.At)}
	}},
	{"root_hollow", "back", "drawn in along the middle, a groove", func(e *evidence) (float64, Span) {
		r := rootConcave(e)
		return ramp(r.margin, 0.6, 1.1), Span{r.from, r.to}
	}},
	{"back_crusted", "back", "black and crusted", func(e *evidence) (float64, Span) {
		r := backAir(e)
		if _, s, _ := e.worst(0, 1, backWidth); e.backColour(s) != "black" {
			return 0, e.all()
		}
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
	{"arc_wanders", "arc", "wanders over the tip", func(e *evidence) (float64, Span) {
		m := tungstenTooThick(e).margin
		if t := tipAngle(e); float64(e.answer.TipAngle) > float64(40*float64(weld.Degree)) {
			m = math.Max(m, t.margin)
		}
		if len(e.bead.Touched) > 0 {
			m = 1.1
		}
		return ramp(m, 0.85, 1.1), e.all()
	}},
	{"arc_flutters", "arc", "flutters and blows over to one side", func(e *evidence) (float64, Span) {
		most, where := 0.0, Span{}
		for _, g := range e.bead.Gusts {
			if g.Draught > most {
				most, where = g.Draught, Span{weld.Length(g.At), weld.Length(g.At)}
			}
		}
		return flutters(most), where
	}},
	{"arc_short", "arc", "short and quiet, the tip close over the metal", func(e *evidence) (float64, Span) {
		return ramp(shortArc(e).margin, 0.7, 1), e.all()
	}},
	{"tungsten_ball", "tungsten", "rolled up into a ball at the tip", func(e *evidence) (float64, Span) {
		m := math.Max(tungstenOverloaded(e).margin, acBalanceLow(e).margin)
		if e.answer.Polarity == weld.DCEP || e.answer.Tungsten == weld.WP {
			m = math.Max(m, 1.2)
		}
		return ramp(m, 1, 1.15), e.all()
	}},
	{"tungsten_split", "tungsten", "split at the tip, bits of it lie in the bead", func(e *evidence) (float64, Span) {
		m := tungstenOverloaded(e).margin
		if e.answer.Polarity == weld.DCEP {
			m = math.Max(m, 1.3)
		}
		return ramp(m, 1.05, 1.4), e.all()
	}},
	{"tungsten_dip", "tungsten", "a lump of the pool on the tip", func(e *evidence) (float64, Span) {
		return ramp(shortArc(e).margin, 0.95, 1.4), e.all()
	}},
	{"tungsten_black", "tungsten", "blue or black at the tip", func(e *evidence) (float64, Span) {
		m := postFlowShort(e).margin
		if e.answer.Flow == 0 || e.answer.Gas == weld.ArCO2 {
			m = 2
		}
		return ramp(m, 0.85, 1.1), e.all()
	}},
	{"rod_black", "rod", "its tip comes back to the pool black", func(e *evidence) (float64, Span) {
		return ramp(math.Max(e.tipOut().margin, 0), 0.8, 1.1), e.all()
	}},
	{"rod_balls", "rod", "balls before it reaches the pool", func(e *evidence) (float64, Span) { return ramp(rodAngle(e).margin, 0.9, 1.3), e.all() }},
	{"bead_leans", "bead", "stands higher along one toe than the other", func(e *evidence) (float64, Span) {
		if e.answer.RodFrom != weld.Aside {
			return 0, e.all()
		}
		return float64(0.6 * ramp(rodSide(e).margin, 0.5, 1)), e.all()
	}},
	{"rod_fast", "rod", "frozen fast to the sheet, and gives no metal", func(e *evidence) (float64, Span) {
		return ramp(e.bead.RodFast, 0, 1), e.all()
	}},
	{"rod_sticks", "rod", "freezes in the pool and has to be pulled off", func(e *evidence) (float64, Span) {
		return ramp(math.Max(rodTooThick(e).margin, coldLap(e).margin), 1, 1.6), e.all()
	}},
}

// beadTint makes the sign of the i-th colour of the film on stainless; titanium goes
// by the temperature at which it left the gas, from straw straight to blue.
func beadTint(i int) func(e *evidence) (float64, Span) {
	return func(e *evidence) (float64, Span) {
		limits, f := tints.nm, e.film
		switch e.family {
		case weld.Stainless:
		case weld.TitaniumMF:
			c := titaniumTints.c
			limits, f = []float64{c[0], c[1], c[1], c[2]}, e.leavesGasAt()
		default:
			return 0, e.all()
		}
		lo, hi := limits[i], limits[i+1]
		fade := float64((hi-lo)/4) + 1e-9
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

// flutters says how much an arc does in a draught, m/s; where it begins to show: common practice, no source.
func flutters(draught float64) float64 { return ramp(draught, 0.05, 0.6) }

// dull says how dull the pool got: by oxide all along, or where a live run met dirt or a draught.
func (e *evidence) dull() float64 {
	return math.Max(e.sluggish, math.Max(ramp(dirtySpot(e).margin, 0.5, 1), ramp(gusts(e).margin, 0.95, 1.3)))
}

// pointed says how V-shaped the pool's tail is.
func (e *evidence) pointed() float64 { return pointedAt(overheated(e).margin) }

// pointedAt says it of a pool so long, of what it may be: live and on the coupon by one mark.
func pointedAt(margin float64) float64 { return ramp(margin, 0.75, 1.05) }

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
	told := map[string]bool{}
	return slices.DeleteFunc(out, func(s Sign) bool {
		kind := meanings[s.ID].kind
		weaker := kind != "" && told[kind]
		told[kind] = true
		return weaker
	})
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
func (s Sign) String() string {
	return fmt.Sprintf("%s: %s: %s (%.0f %%)", s.ID, s.Place, s.Words, 100*s.Strength)
}
