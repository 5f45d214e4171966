package question

import (
	"math"
	"slices"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

const (
	within  = 0.1                   // share of the limit that an answer may be off; or a shop step, if that is more
	gapStep = 0.1 * weld.Millimetre // for a gap: a feeler's
	mostGap = 1.5                   // walls; how wide a gap is tried
)

// stretch is a number that goes from where the joint is accepted to where it is not.
type stretch struct {
	field    weld.Field
	from, to float64 // SI
	step     float64
	at       func(v float64) (weld.Task, weld.Answer)
}

// limit shows the model answer's coupon and asks how far one number can go before it is
// rejected: towards a real mistake of the joint, or the gap.
func limit(b *bench, q *Question) error {
	var ways []stretch
	for _, m := range b.sc.Mistakes {
		if s, ok := b.towards(m.Answer); ok {
			ways = append(ways, s)
		}
	}
	ways = shuffled(b.rng, ways)
	if s, ok := b.opening(); ok { // at one joint in three, or where nothing else turns
		ways = slices.Insert(ways, map[bool]int{true: 0, false: len(ways)}[b.rng.IntN(3) == 0], s)
	}
	good, err := b.shown(b.sc.Model)
	if err != nil || session.Chief(good.Verdict) != "" {
		return orNone(err)
	}
	for _, s := range ways {
		turn, beyond, err := b.turn(s)
		if err == errNone {
			continue
		} else if err != nil {
			return err
		}
		off := math.Max(within*math.Abs(turn), s.step)
		if math.Abs(turn-s.from) <= off {
			continue // where it stands would be right
		}
		q.Coupons, q.Rules = []Coupon{good}, []string{session.Chief(beyond.Verdict)}
		q.Parts = []Part{{About: HowFar, Typed: true, Up: s.to > s.from, right: -1, field: s.field, turn: turn, off: off, beyond: beyond}}
		return nil
	}
	return errNone
}

func orNone(err error) error {
	if err == nil {
		return errNone
	}
	return err
}

// towards goes from the model answer to a mistake that differs in one number.
func (b *bench) towards(mistake weld.Answer) (stretch, bool) {
	fs := changed(b.sc.Model, mistake)
	if len(fs) != 1 || !fs[0].Numeric() {
		return stretch{}, false
	}
	f := fs[0]
	step := scoring.ShopStep(f.Key)
	from, _ := f.Value(b.sc.Model)
	to, _ := f.Value(mistake)
	ends := mistake.AmpsEnd != b.sc.Model.AmpsEnd
	if step == 0 || ends && (mistake.AmpsEnd == 0 || b.sc.Model.AmpsEnd == 0) {
		return stretch{}, false
	}
	return stretch{f, from, to, step, func(v float64) (weld.Task, weld.Answer) {
		a := b.sc.Model
		f.SetValue(&a, v)
		if ends { // the current at the end keeps its share of the way
			a.AmpsEnd += weld.Current((v-from)/(to-from)) * (mistake.AmpsEnd - a.AmpsEnd)
		}
		return b.sc.Task, a
	}}, true
}

// opening lets the gap of the joint grow.
func (b *bench) opening() (stretch, bool) {
	t := b.sc.Task
	f, ok := weld.FieldByKey("dab") // any length will do: it is read and shown as one
	if !ok || t.Gap != t.GapEnd || t.Joint == weld.EdgeWeld {
		return stretch{}, false
	}
	f.Key, f.Label, f.Hint, f.Min, f.Max = "gap", "gap", "", "0 mm", "3 mm"
	wall := min(t.A.Thickness, t.B.Thickness)
	return stretch{f, float64(t.Gap), math.Min(3e-3, float64(t.Gap+mostGap*wall)), float64(gapStep), func(v float64) (weld.Task, weld.Answer) {
		wide := t
		wide.Gap, wide.GapEnd = weld.Length(v), weld.Length(v)
		return wide, b.sc.Model
	}}, true
}

// turn finds where on its way the verdict turns to rejected, coarsely and then at the full
// grade, and the coupon just beyond.
func (b *bench) turn(s stretch) (at float64, beyond Coupon, err error) {
	rejects := func(v float64, judge session.Judge) (bool, Coupon) {
		if err != nil {
			return false, Coupon{}
		}
		t, a := s.at(v)
		var verdict scoring.Verdict
		verdict, err = b.weld(judge, t, a)
		return verdict.Outcome == scoring.Reject, Coupon{a, verdict}
	}
	lo, hi := s.from, s.to
	if bad, _ := rejects(hi, b.desk.Estimate); !bad {
		return 0, beyond, orNone(err)
	}
	const quarters = 4 // it might turn twice: the first time counts
	for i := 1; i < quarters && err == nil; i++ {
		v := s.from + (s.to-s.from)*float64(i)/quarters
		if bad, _ := rejects(v, b.desk.Estimate); bad {
			hi = v
			break
		}
		lo = v
	}
	fine := func() float64 { return math.Max(within*math.Abs(hi), s.step) / 3 }
	narrow := func(judge session.Judge, to float64) {
		for err == nil && math.Abs(hi-lo) > to {
			mid := (lo + hi) / 2
			if bad, c := rejects(mid, judge); bad {
				hi, beyond = mid, c
			} else {
				lo = mid
			}
		}
	}
	narrow(b.desk.Estimate, fine())
	if err == nil && math.Abs((lo+hi)/2-s.from) < 0.8*math.Max(within*math.Abs(hi), s.step) {
		return 0, beyond, errNone // no question, whatever the full grade says
	}
	// The coarse grade is a little off: move on or back until the full one turns between.
	width := hi - lo
	for bad := false; err == nil && !bad; {
		if bad, beyond = rejects(hi, b.desk.Judge); !bad {
			if lo, hi = hi, hi+width; (hi-s.to)*width > 0 && (lo-s.to)*width >= 0 {
				return 0, beyond, errNone
			}
		}
	}
	for err == nil {
		bad, c := rejects(lo, b.desk.Judge)
		if !bad {
			break
		}
		if lo, hi, beyond = lo-width, lo, c; (lo-s.from)*width < 0 {
			return 0, beyond, orNone(err)
		}
	}
	return (lo + hi) / 2, beyond, err
}
