package scoring

import (
	"math"

	"puddlewise/scoring/metal"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/shield"
	"puddlewise/scoring/weld"
)

// evidence is everything the rules look at: the joint, what the welder decided,
// what the metal did and what the gas covered.
type evidence struct {
	task     weld.Task
	answer   weld.Answer
	bead     *puddle.Bead
	cover    shield.Cover
	spoiled  coverLoss
	wall     float64 // thinner wall, m
	family   weld.Family
	amps     float64 // highest current of the run
	sluggish float64 // 0 to 1: how much oxide there is in the pool
	film     float64 // nm of oxide grown on a stainless face behind the gas
}

// gather makes the evidence of a welded seam.
func gather(t weld.Task, a weld.Answer, b *puddle.Bead) *evidence {
	e := &evidence{
		task: t, answer: a, bead: b, wall: float64(t.Thinner()), family: family(t),
		amps: float64(max(a.CurrentAt(0), a.CurrentAt(1))),
	}
	j := jet(t, a)
	e.cover = j.Cover()
	e.spoiled = e.loss(j)
	if e.family == weld.Stainless {
		e.film = e.tintFilm()
	}
	e.sluggish = e.oxideInPool()
	return e
}

// family gives the member that forgives least: titanium, then stainless, aluminium, steel.
func family(t weld.Task) weld.Family {
	for _, f := range []weld.Family{weld.TitaniumMF, weld.Stainless, weld.Aluminium} {
		if t.A.Metal.Family() == f || t.B.Metal.Family() == f {
			return f
		}
	}
	return weld.Ferritic
}

// jet is the gas as this set-up sends it onto this joint.
func jet(t weld.Task, a weld.Answer) shield.Jet {
	j := shield.Jet{
		Bore: a.Cup.Bore(), StandOff: a.StickOut + a.ArcLength, Flow: a.Flow, Gas: a.Gas,
		Lens: a.Lens, Draught: t.Draught, Dam: a.Dam, Trail: a.Trail, Aside: a.RodFrom == weld.Aside,
		Lean: weld.Angle(math.Pi/2) - a.TorchAngle,
	}
	if a.Direction == weld.Drag {
		j.Lean = -j.Lean
	}
	if a.Filler != weld.NoFiller {
		j.Rod = a.Rod
	}
	switch {
	case t.Throat:
		j.Shape = shield.Throat
	case t.Joint.Fillet():
		j.Shape = shield.Inside
	case t.Joint == weld.OutsideCorner || t.Joint == weld.EdgeWeld:
		j.Shape = shield.Outside
	}
	return j
}

// fillet says whether the seam is judged as a fillet.
func (e *evidence) fillet() bool { return e.task.Joint.Fillet() }

// both says whether the metals are the same family on both sides.
func (e *evidence) both(f weld.Family) bool {
	return e.task.A.Metal.Family() == f && e.task.B.Metal.Family() == f
}

// either says whether one of the members is of the metal.
func (e *evidence) either(m weld.Metal) bool { return e.task.A.Metal == m || e.task.B.Metal == m }

// reading is one rule's measure of a weld: 0 is nothing to say, 1 is the limit.
type reading struct {
	margin    float64
	from, to  weld.Length
	got, want string
	why, fix  string
	near      string // why, where the limit is only close and why would say too much
	source    string
	as        Severity // when it is another than the rule's own; more only where a hand had part in it
}

// all spans the whole seam.
func (e *evidence) all() Span { return Span{0, e.task.Seam} }

// quantised rounds a margin so that no last bit can move it over a limit.
func quantised(m float64) float64 {
	if !(m < 10) {
		return 10
	}
	return math.Round(float64(math.Max(m, 0)*1000)) / 1000
}

// worst walks the stations between two shares of the seam and gives the highest
// margin, its station, and the stretch around it that is over the limit.
func (e *evidence) worst(from, to float64, margin func(s *puddle.Station) float64) (m float64, at *puddle.Station, span Span) {
	st := e.bead.Stations
	n := len(st)
	lo, hi := int(math.Ceil(float64(from*float64(n-1)))), int(math.Floor(float64(to*float64(n-1))))
	lo, hi = max(lo, 0), min(hi, n-1)
	m, best := -1.0, lo
	ms := make([]float64, n)
	for k := lo; k <= hi; k++ {
		ms[k] = quantised(margin(&st[k]))
		if ms[k] > m {
			m, best = ms[k], k
		}
	}
	if m < 0 {
		return 0, &st[0], Span{}
	}
	a, b := best, best
	if m >= 1 {
		for a > lo && ms[a-1] >= 1 {
			a--
		}
		for b < hi && ms[b+1] >= 1 {
			b++
		}
	}
	return m, &st[best], Span{weld.Length(st[a].At), weld.Length(st[b].At)}
}

// inner is the share of the seam left out at each end by rules about the run
// itself: the crater and the first millimetres have rules of their own.
func (e *evidence) inner() (from, to float64) {
	n := float64(max(len(e.bead.Stations)-1, 1))
	return math.Min(0.15, 8/n), 1 - math.Min(0.1, 1/n)
}

// backWidth of the melt at a station, m.
func backWidth(s *puddle.Station) float64 { return s.BackA + s.BackB }

// ThroughWidth says how many walls of melted back the trade still holds up: 3 to 4 in
// practice (empirical: common practice, no source). A gap and oxide, which are what
// usually sets a pool off, take from it.
const (
	ThroughWidth = 3.5
	takenByGap   = 0.3 // by a gap as wide as the wall
	takenByOxide = 0.15
)

// rise gives the share of the way from cold to the melt that a temperature is, over 1 beyond it.
func rise(t, melt float64) float64 { return (t - metal.Ambient) / (melt - metal.Ambient) }

// ramp is 0 up to lo, 1 from hi, straight between.
func ramp(x, lo, hi float64) float64 { return math.Min(1, math.Max(0, (x-lo)/(hi-lo))) }

// oxideInPool says how much of what air and dirt did ends in the pool: nothing up
// to the limits of the rules, all of it a third of a limit beyond.
func (e *evidence) oxideInPool() float64 {
	m := math.Max(math.Max(e.spoiled.margin, e.tipOut().margin), math.Max(dirtAllOver(e).margin, dirtyTack(e).margin))
	if e.family == weld.Aluminium {
		m = math.Max(m, math.Max(wrongCurrentType(e).margin, cleaningShort(e).margin))
	}
	return ramp(m, 0.95, 1.3)
}

// porosity says how porous the bead is: 0 sound, 1 pores all along. Gas comes from
// what was left on the metal, from water on it, from a gas with hydrogen where it does
// not belong, and from air where the cover failed (shares: common practice, no source).
func (e *evidence) porosity() float64 {
	dirt := map[weld.Surface]float64{weld.MillScale: 0.3, weld.LightRust: 0.8, weld.Oily: 1, weld.OldOxide: 0.6, weld.Painted: 1, weld.Zinc: 1}[e.leftOnMetal()]
	if e.answer.Filler == weld.ER70S2 && e.leftOnMetal() == weld.LightRust {
		dirt = 0.4 // its deoxidisers bind some of it
	}
	damp := ramp(dampMetal(e).margin, 0.95, 1.3)
	if e.family != weld.Aluminium {
		damp = float64(0.3 * damp)
	}
	return math.Max(math.Max(dirt, damp), math.Max(ramp(e.spoiled.margin, 0.95, 1.3), ramp(wrongGas(e).margin, 0.95, 1.3)))
}

// sluggishCost is what a pool full of oxide wants more to wet the same: an amp or
// two on sixty (common practice, no source), as a share of the way to the melt.
const sluggishCost = 0.025
