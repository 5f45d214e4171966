package view

import (
	"fmt"
	"math"
	"slices"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// WindowWords says where an answer stands in its window: how far either setting may
// go, or which way is out of trouble; a sentence an entry. It reads the map alone.
func WindowWords(w *scoring.Window, sys weld.System) []string {
	x, y := axis{w.X, w.Xs, w.X0, sys}, axis{w.Y, w.Ys, w.Y0, sys}
	good := func(u, v float64) bool { return w.Regions[nearest(w.Ys, v)][nearest(w.Xs, u)] == scoring.Good }
	alongX := func(u float64) bool { return good(u, w.Y0) }
	alongY := func(v float64) bool { return good(w.X0, v) }
	if good(w.X0, w.Y0) {
		return []string{"You are in it.", "One at a time, it holds with " + x.room(alongX) + ", " + y.room(alongY) + "."}
	}
	toX, okX := x.out(alongX)
	toY, okY := y.out(alongY)
	switch {
	case okX && okY:
		first, second := x.move(toX), y.move(toY)
		if y.points(toY) < x.points(toX) {
			first, second = second, first
		}
		return []string{first + ", or " + second + ", puts you in it."}
	case okX:
		return []string{x.move(toX) + " puts you in it; " + y.field.Label + " alone does not."}
	case okY:
		return []string{y.move(toY) + " puts you in it; " + x.field.Label + " alone does not."}
	}
	if toX, toY, ok := both(x, y, good); ok {
		return []string{"Neither setting alone: " + x.move(toX) + " with " + y.move(toY) + " puts you in it."}
	}
	return []string{"No point of this map is good: the way out is another setting."}
}

// inside is how many steps past a border a way out leads: a border is a few per cent
// off where a verdict would put it.
const inside = 3

// axis is a setting, its values on the map and where the answer stands. Moves along
// it go in round steps of the learner's unit, about a point of the map each.
type axis struct {
	field weld.Field
	vs    []float64
	at    float64
	sys   weld.System
}

func (a axis) step() float64 {
	points := (a.vs[len(a.vs)-1] - a.vs[0]) / float64(len(a.vs)-1) / a.field.UnitSize(a.sys)
	return NiceStep(points/1.6) * a.field.UnitSize(a.sys)
}

// steps lists the round values on one side of the answer, nearest first.
func (a axis) steps(sign float64) []float64 {
	step := a.step()
	var out []float64
	k := math.Floor(a.at/step + 1e-9)
	if sign > 0 {
		k = math.Ceil(a.at/step - 1e-9)
	}
	for ; k*step >= a.vs[0]-step/2 && k*step <= a.vs[len(a.vs)-1]+step/2; k += sign {
		if math.Abs(k*step-a.at) > step*1e-6 {
			out = append(out, k*step)
		}
	}
	return out
}

// out gives the nearest good value that is some steps inside, or half way into a
// stretch that is narrower.
func (a axis) out(good func(float64) bool) (to float64, ok bool) {
	for _, sign := range []float64{-1, 1} {
		steps := a.steps(sign)
		from := slices.IndexFunc(steps, good)
		if from < 0 {
			continue
		}
		n := slices.IndexFunc(steps[from:], func(v float64) bool { return !good(v) })
		if n < 0 {
			n = len(steps) - from
		}
		v := steps[from+min(inside, n/2)]
		if !ok || math.Abs(v-a.at) < math.Abs(to-a.at) {
			to, ok = v, true
		}
	}
	return to, ok
}

// points says how far a move is, in points of the map.
func (a axis) points(to float64) float64 {
	return math.Abs(to-a.at) / (a.vs[len(a.vs)-1] - a.vs[0]) * float64(len(a.vs)-1)
}

// room says between which round values it stays good.
func (a axis) room(good func(float64) bool) string {
	last := func(sign float64) (v float64, edge bool) {
		steps := a.steps(sign)
		i := slices.IndexFunc(steps, func(v float64) bool { return !good(v) })
		switch {
		case i < 0:
			return 0, true
		case i == 0:
			return a.at, false
		}
		return steps[i-1], false
	}
	lo, noLo := last(-1)
	hi, noHi := last(1)
	switch {
	case noLo && noHi:
		return a.field.Label + " anywhere on the map"
	case noLo:
		return a.field.Label + " up to " + a.show(hi)
	case noHi:
		return a.field.Label + " from " + a.show(lo) + " up"
	case lo == hi:
		return a.field.Label + " at " + a.show(lo) + " only"
	}
	return a.field.Label + " " + a.number(lo) + " to " + a.show(hi)
}

// senses say less and more of a setting; what has no words of its own is less or more.
var senses = map[string][2]string{
	"amps":       {"%s less", "%s more"},
	"travel":     {"%s slower", "%s quicker"},
	"dab":        {"a dab %s sooner", "a dab %s later"},
	"aim":        {"the arc %s less onto the base", "the arc %s more onto the base"},
	"arc_length": {"an arc %s shorter", "an arc %s longer"},
}

// move says how far and which way: 4 A less (82 A).
func (a axis) move(to float64) string {
	words, ok := senses[a.field.Key]
	if !ok {
		words = [2]string{"%s less " + a.field.Label, "%s more " + a.field.Label}
	}
	way := words[0]
	if to > a.at {
		way = words[1]
	}
	finest := a.step() / 10 // the answer itself need not be round
	return fmt.Sprintf(way, a.show(math.Round(math.Abs(to-a.at)/finest)*finest)) + " (" + a.show(to) + ")"
}

func (a axis) show(v float64) string { return a.number(v) + " " + a.field.Unit(a.sys) }

func (a axis) number(v float64) string { return plainNumber(v / a.field.UnitSize(a.sys)) }

// both gives the nearest pair of values that is good, as far inside as there is room; a
// point of the map counts alike on either axis.
func both(x, y axis, good func(u, v float64) bool) (toX, toY float64, ok bool) {
	us, vs := append(x.steps(-1), x.steps(1)...), append(y.steps(-1), y.steps(1)...)
	for room := float64(inside); room >= 0 && !ok; room-- {
		dx, dy := room*x.step(), room*y.step()
		best := math.Inf(1)
		for _, u := range us {
			for _, v := range vs {
				far := math.Hypot(x.points(u), y.points(v))
				if far < best && good(u, v) && good(u-dx, v) && good(u+dx, v) && good(u, v-dy) && good(u, v+dy) {
					toX, toY, ok, best = u, v, true, far
				}
			}
		}
	}
	return toX, toY, ok
}
