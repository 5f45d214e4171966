package scoring

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// ModelVersion changes whenever a verdict can change.
const ModelVersion = "1"

// Judge welds the answer on the joint and judges the coupon. The same task and
// answer give the same verdict on every machine. The error says what in the
// task or answer cannot be welded at all, or that the heat balance did not close.
func Judge(task weld.Task, answer weld.Answer) (Verdict, error) {
	return judgeAt(task, answer, puddle.Fine)
}

// Estimate is Judge at the coarse grade: three to four times quicker, its margins within
// some per cent. It is for looking through many answers; what a learner is told comes
// from Judge.
func Estimate(task weld.Task, answer weld.Answer) (Verdict, error) {
	return judgeAt(task, answer, puddle.Coarse)
}

func judgeAt(task weld.Task, answer weld.Answer, grade puddle.Grade) (Verdict, error) {
	if reason := outside(task, answer); reason != "" {
		return Verdict{Outcome: OutOfRange, Reason: reason}, nil
	}
	bead, err := puddle.WeldAt(task, answer, grade)
	if err != nil {
		return Verdict{}, err
	}
	return judgeBead(task, answer, bead), nil
}

// judgeBead judges a seam that is welded already: settings that do not change the
// heat can be judged again without welding again.
func judgeBead(task weld.Task, answer weld.Answer, bead *puddle.Bead) Verdict {
	e := gather(task, answer, bead)
	v := Verdict{Outcome: Accept, Scores: Scores{100, 100, 100}}
	margin := map[string]float64{}
	for _, r := range rules {
		rd := r.read(e)
		rd.margin = quantised(rd.margin)
		if s := v.Scores.of(r.score); s != nil {
			*s = math.Min(*s, score(rd.margin))
		}
		if f, ok := r.finding(rd); ok {
			v.Findings = append(v.Findings, f)
			margin[r.id] = rd.margin
		}
	}
	slices.SortStableFunc(v.Findings, func(a, b Finding) int { return cmp.Compare(rank(a.Severity), rank(b.Severity)) })
	v.Findings = toldOnce(v.Findings) // while they stand in the order of the rules, causes first
	slices.SortStableFunc(v.Findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(rank(a.Severity), rank(b.Severity)), cmp.Compare(margin[b.Rule], margin[a.Rule]))
	})
	v.Coupon, v.Signs = e.coupon(), e.signs()
	v.Reason = "nothing stands against it"
	if len(v.Findings) > 0 {
		switch f := v.Findings[0]; f.Severity {
		case Defect:
			v.Outcome, v.Reason = Reject, f.Why
		case Fault:
			v.Reason = "it holds, but " + f.Why
		}
	}
	return v
}

func rank(s Severity) int { return map[Severity]int{Defect: 0, Fault: 1, Remark: 2}[s] }

// score turns a margin into a score: 100 with nothing against it, Limit at the limit, 0 at twice the limit.
func score(margin float64) float64 {
	return math.Round(float64(math.Min(100, math.Max(0, 100-float64((100-Limit)*margin)))*10)) / 10
}

// of gives the score a rule lowers, nil for none.
func (s *Scores) of(name string) *float64 {
	switch name {
	case burnThrough:
		return &s.BurnThrough
	case lackOfFusion:
		return &s.LackOfFusion
	case oxide:
		return &s.Oxide
	}
	return nil
}

// finding makes what there is to say of a reading, if anything.
func (r rule) finding(rd reading) (Finding, bool) {
	f := Finding{Rule: r.id, From: rd.from, To: rd.to, Score: r.score, Got: rd.got, Want: rd.want, Why: rd.why, Fix: rd.fix, Source: rd.source}
	switch {
	case rd.margin >= 1:
		f.Severity = r.over
		if rd.as != "" {
			f.Severity = rd.as
		}
	case rd.margin >= nearLimit && r.score != noScore:
		f.Severity = Remark
		if rd.near != "" {
			f.Why = rd.near
		}
		f.Why = "close to the limit: " + f.Why
	default:
		return Finding{}, false
	}
	return f, true
}

// The currents the model covers, A, and the travels it has been checked for.
const (
	leastAmps, mostAmps     = 5.0, 250.0
	leastTravel, mostTravel = 20 * weld.MillimetrePerMin, 900 * weld.MillimetrePerMin
)

// outside says why the model has nothing to say about this weld, or "".
func outside(t weld.Task, a weld.Answer) string {
	within := func(what string, v, lo, hi float64, unit string) string {
		if !(v >= lo && v <= hi) {
			got := fmt.Sprintf("%.3g", v)
			if v >= 1000 { // not as 2.25e+04
				got = fmt.Sprintf("%.0f", v)
			}
			return fmt.Sprintf("%s %s %s is outside what the model has been checked for: %g to %g %s", what, got, unit, lo, hi, unit)
		}
		return ""
	}
	for _, r := range []string{
		within("a wall of", t.A.Thickness.MM(), 0.5, 4, "mm"),
		within("a wall of", t.B.Thickness.MM(), 0.5, 4, "mm"),
		within("a seam of", t.Seam.MM(), 10, 300, "mm"),
		within("a gap of", max(t.Gap, t.GapEnd).MM(), 0, 3, "mm"),
		within("a current of", float64(min(a.CurrentAt(0), a.CurrentAt(1))), leastAmps, mostAmps, "A"),
		within("a current of", float64(max(a.CurrentAt(0), a.CurrentAt(1))), leastAmps, mostAmps, "A"),
		within("a travel of", a.Travel.MMPerMin(), leastTravel.MMPerMin(), mostTravel.MMPerMin(), "mm/min"),
		within("an arc of", a.ArcLength.MM(), 0.3, 8, "mm"),
		within("a part at", t.PartTemp.Celsius(), -20, 400, "C"),
	} {
		if r != "" {
			return r
		}
	}
	if t.Joint.Tube() {
		if r := within("a tube of", t.Diameter.MM(), weld.MinTube.MM(), weld.MaxTube.MM(), "mm"); r != "" {
			return r
		}
	}
	if t.Joint == weld.TubeSaddle {
		if r := within("a branch at", t.Branch.Degrees(), weld.MinBranch.Degrees(), weld.MaxBranch.Degrees(), "deg"); r != "" {
			return r
		}
		return within("a branch of", t.Diameter.MM(), 0, math.Round(float64(weld.MostOfThrough*t.Through.MM()*1e6))/1e6, "mm")
	}
	return ""
}

// coupon measures the welded piece.
func (e *evidence) coupon() Coupon {
	b := e.bead
	c := Coupon{
		PeakTemperature: weld.Celsius(b.Peak),
		HeatInput:       float64(b.HeatInput*0.6) / 1e6, // k = 0.6: EN 1011-1 for TIG
		PoolLength:      weld.Length(b.PoolLength),
		Crater:          weld.Length(e.craterDepth()),
		BackSample:      e.backSample(),
		Porosity:        e.porosity(),
	}
	if e.both(weld.Ferritic) {
		c.Cooling = e.t85()
	}
	colour, end := e.faceColour(), e.craterColour()
	blown := math.Inf(1) // from where the last pool of a hollow blew out
	if noVent(e).margin >= 1 {
		blown = float64(e.task.Seam) - b.PoolWidth/2
	}
	for i := range b.Stations {
		s := &b.Stations[i]
		st := Station{
			At: weld.Length(s.At), BackWidth: weld.Length(backWidth(s)), Penetration: s.Depth,
			PeakFace: weld.Celsius(s.FaceTemp), PeakBack: weld.Celsius(s.FarTemp), Down: weld.Length(s.Down),
			Hole: s.Keyhole >= 1 || e.collapses(s) >= 1.3 || s.At >= blown, Colour: colour, BackColour: e.backColour(s),
			ColdLap: s.Lap > coldLapLimit,
		}
		if end != "" && float64(e.task.Seam)-s.At < float64(e.cover.Wake) && !e.bare() {
			st.Colour = end // it cooled under the torch, not behind it
		}
		st.FaceWidth = weld.Length(s.FaceA + s.FaceB)
		if e.task.Joint.Fillet() {
			st.BackWidth = weld.Length(math.Max(s.BackA, s.BackB))
		}
		b := s.Shape
		st.Cap, st.Root, st.Undercut = weld.Length(b.Cap), weld.Length(b.Root), weld.Length(b.Undercut)
		st.LegA, st.LegB, st.Throat = weld.Length(b.LegA), weld.Length(b.LegB), weld.Length(b.Throat)
		st.Toe = weld.Angle(b.Toe)
		c.Stations = append(c.Stations, st)
		if st.Hole {
			if n := len(c.Holes); n > 0 && float64(st.At-c.Holes[n-1].To) < 1.5e-3 {
				c.Holes[n-1].To = st.At
			} else {
				c.Holes = append(c.Holes, Span{st.At, st.At})
			}
		}
	}
	c.Worst = worstOf(c.Stations)
	return c
}

// worstOf gives the extreme of each measure that speaks against a weld: the
// least fused, the widest melted back, the least leg.
func worstOf(st []Station) Station {
	w := st[min(1, len(st)-1)]
	for _, s := range st[min(1, len(st)-1):] {
		w.FaceWidth = min(w.FaceWidth, s.FaceWidth)
		w.BackWidth, w.Down = max(w.BackWidth, s.BackWidth), min(w.Down, s.Down)
		if s.Penetration < w.Penetration {
			w.Penetration, w.At = s.Penetration, s.At
		}
		w.LegA, w.LegB, w.Throat = min(w.LegA, s.LegA), min(w.LegB, s.LegB), min(w.Throat, s.Throat)
		w.Cap, w.Undercut, w.Toe = min(w.Cap, s.Cap), max(w.Undercut, s.Undercut), min(w.Toe, s.Toe)
		if math.Abs(float64(s.Root)) > math.Abs(float64(w.Root)) {
			w.Root = s.Root
		}
		w.PeakFace, w.PeakBack = max(w.PeakFace, s.PeakFace), max(w.PeakBack, s.PeakBack)
		w.Hole, w.ColdLap = w.Hole || s.Hole, w.ColdLap || s.ColdLap
	}
	return w
}

// legFromFiller gives the equal legs, m, that the filler builds flat in the corner at a
// station, after the gap there took its share: z^2/2 sin(angle) + gap z is its section.
func (e *evidence) legFromFiller(s *puddle.Station) float64 {
	sin := 1.0
	if s.Between != math.Pi/2 {
		sin = detmath.Sin(s.Between)
	}
	return (math.Sqrt(float64(s.Gap*s.Gap)+float64(2*float64(sin*e.bead.BeadArea))) - s.Gap) / sin
}

// throatOf gives the throat, m, of equal legs that are flat in a corner of so many rad.
func throatOf(leg, between float64) float64 {
	if between == math.Pi/2 {
		return leg / math.Sqrt2
	}
	return float64(leg * detmath.Cos(between/2))
}

// oxidises gives the temperature above which the weaker member takes oxide, C.
func (e *evidence) oxidises() float64 {
	return math.Min(metal.Of(e.task.A.Metal).OxidisesAbove, metal.Of(e.task.B.Metal).OxidisesAbove)
}
