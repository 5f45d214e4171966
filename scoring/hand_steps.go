package scoring

import (
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// handFields names the setting whose shop step a move of the hand goes by; the wait has
// none.
var handFields = map[HandMove]string{
	HandPedal: "amps", HandBackOff: "amps", HandTravel: "travel", HandDab: "dab", HandArc: "arc_length", HandRod: "rod_tip", HandAim: "aim", HandEase: "slope_down",
}

// handStep is the smallest change of a hand's move that a shop would talk about, in SI
// units, and its size in metric steps.
func handStep(m HandMove, sys weld.System) (step, size float64) {
	f, ok := weld.FieldByKey(handFields[m])
	if !ok {
		return 0.5, 1 // s of waiting: common practice, no source
	}
	step = float64(shopStep[f.Key][sys] * f.UnitSize(sys))
	return step, step / ShopStep(f.Key)
}

// quick is how many shop steps a quick travel is moved by at once: ten mm/min are much to
// a slow hand and little to a quick one. Common practice, no source.
func quick(travel float64) float64 {
	switch v := weld.Speed(travel).MMPerMin(); {
	case v > 300:
		return 5
	case v > 150:
		return 2
	}
	return 1
}

// How far the pedal is moved at most, as a share; and the shortest arc that a hand is
// told to hold: below it the tungsten touches. Common practice, no source.
const leastFoot, mostFoot, leastArc = 0.5, 1.6, 1e-3

const (
	oneDabSize = 1.0   // steps that one more dab counts for
	onSize     = 2.0   // and going on to the end of the seam
	freeSize   = 1.0   // and freeing the rod
	standSize  = 0.125 // and half a second less at one place
	leastStand = 1.0   // s: what is shorter is no stand
	leastShare = 0.5   // of the seam, that a change over a part of it counts for
	mostRungs  = 24    // of a ladder
	heatLead   = 6e-3  // m before a fault at which what makes it begins: about a pool's length
)

// handStretch is a part of the seam; to is 0 for to its end.
type handStretch struct{ from, to weld.Length }

// share is the part of the seam that a change's steps count for.
func (st handStretch) share(seam weld.Length) float64 {
	to := st.to
	if to == 0 {
		to = seam
	}
	return math.Max(leastShare, float64((to-st.from)/seam))
}

// stretches gives the parts of the seam that a change may hold over: all of it, and from
// before, over and up to where the gravest fault with a place lies.
func stretches(v Verdict, f followed) []handStretch {
	out := []handStretch{{}}
	end := f.end()
	for _, x := range v.Findings {
		if x.Severity != Defect || x.To <= 0 {
			continue
		}
		from := math.Max(0, math.Round(float64((float64(x.From)-heatLead)*1e3))/1e3)
		to := math.Round(float64((float64(x.To)+heatLead/2)*1e3)) / 1e3
		late, early := from >= heatLead, to < end-float64(2*heatLead)
		if late {
			out = append(out, handStretch{weld.Length(from), 0})
		}
		switch {
		case early && late:
			out = append(out, handStretch{weld.Length(from), weld.Length(to)})
		case early:
			out = append(out, handStretch{0, weld.Length(to)})
		}
		break
	}
	return out
}

// handLadders collects the ways a hand's motion can be changed.
type handLadders struct {
	s   *handSaver
	f   followed
	way float64 // of the heat that is wanted: 1 more, -1 less
	out []*ladder
}

// ladders gives every way the hand's motion can be changed, those left out along which
// the heat goes the wrong way.
func (s *handSaver) ladders(v Verdict) []*ladder {
	h := &handLadders{s: s, f: s.run.follow(s.set, float64(s.task.Seam)), way: s.heatWanted()}
	if h.f.struck < 0 {
		return nil
	}
	f, all := h.f, handStretch{}
	if a, b := f.stood(); secondsOf(b-a) >= leastStand {
		was := secondsOf(b - a)
		var values []float64
		for s := was - 0.5; s >= 0.25; s -= 0.5 {
			values = append(values, s)
		}
		at := weld.Length(f.x[a])
		h.add(HandChange{Move: HandStand, Second: secondsOf(a), Was: was}, handStretch{at, at}, 1, values, func(i int) float64 { return float64(2 * standSize * float64(i+1)) })
	}
	for _, st := range stretches(v, f) {
		h.over(st)
	}
	if f.moved >= 0 && h.way < 0 { // struck hot for the pool, and off the pedal with the first tap
		h.pedal(handStretch{from: weld.Length(f.x[f.moved])})
	}
	if f.moved >= 0 {
		amps := f.amps[f.stopped]
		h.both(HandChange{Move: HandBackOff, Second: secondsOf(f.moved), Was: amps}, all, math.Max(leastPedal, float64(leastFoot*amps)), amps, 1, false)
		was := secondsOf(f.moved - f.struck)
		h.both(HandChange{Move: HandWait, Second: secondsOf(f.struck), Was: was}, all, 0.1, was+6, 1, false)
		was = 0
		if f.amps[min(f.out, f.steps-1)] < float64(0.8*f.amps[f.stopped]) {
			was = secondsOf(f.out - f.stopped)
		}
		h.both(HandChange{Move: HandEase, Second: secondsOf(f.stopped), Was: was}, all, 0, 5, 0, false)
	}
	held := func(v weld.Length) float64 { return math.Round(float64(float64(v)*1e4)) / 1e4 }
	means := s.welds[handTry{}].means
	arc, rod := held(means.ArcLength), held(means.RodWithdrawn)
	h.both(HandChange{Move: HandArc, Was: arc}, all, math.Min(leastArc, arc), 6e-3, 0, false)
	h.both(HandChange{Move: HandRod, Was: rod}, all, 0, rod, 0, false)
	if s.task.Joint.Fillet() {
		h.both(HandChange{Move: HandAim, Was: held(means.Aim)}, all, -3e-3, 3e-3, 0, false)
	}
	if s.welds[handTry{}].froze {
		h.add(HandChange{Move: HandFree}, all, 0, []float64{1}, func(int) float64 { return freeSize })
	}
	if seam := float64(s.task.Seam); f.end() < seam-0.25e-3 {
		h.add(HandChange{Move: HandOn, Second: secondsOf(f.out), Was: f.end()}, handStretch{from: weld.Length(f.end())}, 0, []float64{seam}, func(int) float64 { return onSize })
	}
	return h.out
}

// over adds what can be changed over a part of the seam.
func (h *handLadders) over(st handStretch) {
	f, set := h.f, h.s.set
	c := HandChange{From: st.from, To: st.to}
	from, _ := f.stretch(c)
	if from >= f.steps {
		return
	}
	h.pedal(st)
	a, b := f.taps(c)
	if f.moved < 0 || b <= a {
		return
	}
	length := f.x[b] - f.x[a]
	const least, most = float64(leastTravel), float64(mostTravel)
	tap := weld.Length(length / float64(max(1, len(f.done(puddle.Move, a, b)))))
	h.both(HandChange{Move: HandTravel, Second: secondsOf(a), Was: length / secondsOf(b-a), Tap: tap}, st, least, most, -1, true)
	if set.Filler == weld.NoFiller {
		return
	}
	dabs := f.dabsAt(a, b)
	if len(dabs) == 0 { // from none at all to as often as a hand can
		often := []float64{8e-3, 6e-3, 4e-3, 3e-3, 2.5e-3, 2e-3, 1.5e-3, 1e-3}
		h.add(HandChange{Move: HandDab, Second: secondsOf(a)}, st, 0, often, func(i int) float64 { return float64(2 * (i + 1)) })
		return
	}
	h.both(HandChange{Move: HandDab, Second: secondsOf(a), Was: length / float64(len(dabs))}, st, 0.5e-3, 12e-3, 0, true)
	// One more, in the middle of the longest time without.
	last, longest, middle := a, 0, 0
	for _, n := range append(dabs, b) {
		if n-last > longest {
			longest, middle = n-last, (n+last)/2
		}
		last = n
	}
	if longest > 1 {
		h.add(HandChange{Move: HandOneDab, Second: secondsOf(middle)}, handStretch{from: weld.Length(f.x[middle])}, 0, []float64{secondsOf(middle)}, func(int) float64 { return oneDabSize })
	}
}

// pedal adds the pedal higher and lower over a part of the seam.
func (h *handLadders) pedal(st handStretch) {
	from, to := h.f.stretch(HandChange{From: st.from, To: st.to})
	if from >= h.f.steps {
		return
	}
	amps := h.f.amps[from] // the most there
	for n := from; n < min(to, h.f.stopped+1); n++ {
		amps = math.Max(amps, h.f.amps[n])
	}
	h.both(HandChange{Move: HandPedal, Second: secondsOf(from), Was: amps}, st, math.Max(leastPedal, float64(leastFoot*amps)), math.Min(h.s.most, float64(mostFoot*amps)), 1, false)
}

// both walks a move up and down from what it was, within least to most; to round
// numbers where round is asked. Hotter is 1 where more of it is more heat.
func (h *handLadders) both(c HandChange, st handStretch, least, most, hotter float64, round bool) {
	whole, size := handStep(c.Move, h.s.sys)
	if (c.Move == HandPedal || c.Move == HandBackOff) && c.Was < thinAmps {
		whole = thinStep
	}
	for _, way := range []float64{1, -1} {
		var values []float64
		for v := c.Was; len(values) < mostRungs; {
			step := whole
			if c.Move == HandTravel {
				step = float64(step * quick(v))
			}
			switch {
			case !round:
				v += float64(way * step)
			case way > 0:
				v = float64((math.Floor(v/step+1e-6) + 1) * step)
			default:
				v = float64((math.Ceil(v/step-1e-6) - 1) * step)
			}
			if v < least-1e-9 || v > most+1e-9 {
				break
			}
			values = append(values, v)
		}
		h.add(c, st, hotter, values, func(i int) float64 { return float64(float64(i+1) * size) })
	}
}

// add adds a ladder of values, as far as the run can be changed to them.
func (h *handLadders) add(c HandChange, st handStretch, hotter float64, values []float64, size func(i int) float64) {
	turn := float64(hotter * h.way)
	if len(values) > 0 && values[0] < c.Was {
		turn = -turn
	}
	if turn < 0 {
		return
	}
	c.From, c.To = st.from, st.to
	l := &ladder{keys: []string{string(c.Move)}, sure: turn > 0}
	for i, v := range values {
		c.Now = v
		if _, ok := h.s.run.changed(c, h.s.task, h.s.set); !ok {
			break
		}
		share := st.share(h.s.task.Seam)
		if c.Move == HandBackOff { // in the mean it is half as much
			share = leastShare
		}
		l.rungs = append(l.rungs, rung{hand: c, steps: float64(size(i) * share)})
	}
	if len(l.rungs) > 0 {
		h.out = append(h.out, l)
	}
}

// heatWanted says whether what stands against the run asks for more heat, 1, less, -1,
// or neither or both, 0.
func (s *handSaver) heatWanted() float64 {
	var start handTry
	hot, cold := false, false
	for i, m := range s.margins(start) {
		if m >= 1 && rules[i].id != "keyhole" { // the rod closes that, not the heat
			hot = hot || rules[i].score == burnThrough
			cold = cold || rules[i].score == lackOfFusion
		}
	}
	switch {
	case hot && !cold:
		return -1
	case cold && !hot:
		return 1
	}
	return 0
}
