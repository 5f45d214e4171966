package scoring

import (
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Range is the stretch of a setting over which a joint fuses and does not burn
// through, whatever else may stand against it. SI.
type Range struct {
	From, To float64
	OK       bool // false when no value does both: the heat for one is too much for the other
}

// Mid is the middle of the range.
func (r Range) Mid() float64 { return (r.From + r.To) / 2 }

// HeatRange finds the range of a setting that heats the joint as it rises (amps), or
// cools it (travel), between lo and hi, by halving, to within tol. Welds at the full grade.
func HeatRange(task weld.Task, answer weld.Answer, key string, lo, hi, tol float64) Range {
	f, ok := weld.FieldByKey(key)
	if !ok || !f.Numeric() || !touchesHeat(key) {
		return Range{}
	}
	heat := func(v float64) (through, colder float64) {
		a := answer
		f.SetValue(&a, v)
		if key == "amps" {
			easeWith(&a, answer)
		}
		if outside(task, a) != "" {
			return math.Inf(1), math.Inf(1)
		}
		b, err := puddle.Weld(task, a)
		if err != nil {
			return math.Inf(1), math.Inf(1)
		}
		for i, m := range margins(task, a, b) {
			switch rules[i].score {
			case burnThrough:
				through = math.Max(through, m)
			case lackOfFusion:
				colder = math.Max(colder, m)
			}
		}
		return through, colder
	}
	// edge halves between a value where the margin is over its limit and one where it is not.
	edge := func(over, under float64, margin func(v float64) float64) float64 {
		for math.Abs(over-under) > tol {
			if mid := (over + under) / 2; margin(mid) >= 1 {
				over = mid
			} else {
				under = mid
			}
		}
		return under
	}
	through := func(v float64) float64 { m, _ := heat(v); return m }
	colder := func(v float64) float64 { _, m := heat(v); return m }
	cold, hot := lo, hi // ends where the joint stays cold and where it burns
	if key == "travel" {
		cold, hot = hi, lo
	}
	r := Range{From: cold, To: hot}
	if colder(cold) >= 1 {
		r.From = edge(cold, hot, colder)
	}
	if through(hot) >= 1 {
		r.To = edge(hot, cold, through)
	}
	if key == "travel" {
		r.From, r.To = r.To, r.From
	}
	r.OK = r.From < r.To
	return r
}
