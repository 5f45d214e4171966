package scoring

import (
	"math"
	"slices"
	"strconv"

	"puddlewise/scoring/weld"
)

// shopStep is the smallest move of a setting that a shop would talk about, in the
// metric and in the inch unit it is shown in. Round shop numbers: common practice, no
// source. Binary fractions only, so that their multiples are exact.
var shopStep = map[string][2]float64{
	"amps":         {5, 5},
	"amps_end":     {5, 5},
	"travel":       {10, 0.5},      // mm/min, ipm
	"dab":          {0.5, 1. / 32}, // mm, in
	"dab_size":     {0.5, 1. / 32},
	"rod_tip":      {1, 1. / 16},
	"arc_length":   {0.5, 1. / 32},
	"stick_out":    {1, 1. / 16},
	"aim":          {0.25, 1. / 64},
	"work_angle":   {5, 5}, // deg
	"torch_angle":  {5, 5},
	"rod_angle":    {5, 5},
	"flow":         {1, 1}, // L/min, cfh
	"purge_flow":   {1, 1},
	"purge_time":   {10, 10}, // s
	"postflow":     {1, 1},
	"preflow":      {0.5, 0.5},
	"slope_down":   {0.5, 0.5},
	"ac_balance":   {5, 5},   // %
	"ac_frequency": {10, 10}, // Hz
	"tip_angle":    {5, 5},
	"tacks":        {10, 0.5},
	"trail":        {10, 0.5},
}

// Thin sheet is set in smaller steps: below thinAmps a shop talks about two amps.
const thinAmps, thinStep = 45, 2.0

// sizesSold are settings that come in sizes, smallest first: rods as a maker lists
// them, secondary source; tungstens of ISO 6848 and AWS A5.12, secondary source; cups
// by number and purge readings in decades, common practice, no source.
var sizesSold = map[string][2][]string{
	"rod": {
		{"0.8 mm", "0.9 mm", "1.2 mm", "1.6 mm", "2.4 mm", "3.2 mm"},
		{"0.030 in", "0.035 in", "0.045 in", "1/16 in", "3/32 in", "1/8 in"},
	},
	"tungsten_diameter": {
		{"1 mm", "1.6 mm", "2.4 mm", "3.2 mm", "4 mm"},
		{"0.040 in", "1/16 in", "3/32 in", "1/8 in", "5/32 in"},
	},
	"cup":          {cupsSold, cupsSold},
	"purge_oxygen": {purgeReadings, purgeReadings},
}

var (
	cupsSold      = []string{"4", "5", "6", "7", "8", "10", "12", "14", "16"}
	purgeReadings = []string{"20 ppm", "50 ppm", "100 ppm", "200 ppm", "500 ppm", "1000 ppm", "5000 ppm", "20000 ppm"}
)

// What a change costs besides its length: a walk to the rack for another size,
// another choice, another bottle. In shop steps; common practice, no source.
const (
	toTheRack   = 1.0
	otherChoice = 2.0
	otherBottle = 4.0
)

// laddersFrom gives every way a setting can be moved from an answer.
func (s *saver) laddersFrom(from weld.Answer, key string) []*ladder {
	f, ok := weld.FieldByKey(key)
	if !ok {
		return nil
	}
	var out []*ladder
	keep := func(l *ladder) {
		if len(l.rungs) > 0 {
			out = append(out, l)
		}
	}
	if sizes, ok := sizesSold[key]; ok {
		for _, way := range []int{1, -1} {
			keep(s.sizesFrom(from, f, sizes[s.sys], way))
		}
		return out
	}
	if st, ok := shopStep[key]; ok {
		for _, way := range []int{1, -1} {
			keep(s.stepsFrom(from, f, st, way))
		}
		return out
	}
	l := &ladder{keys: []string{key}, choices: true}
	cost := otherChoice
	if key == "gas" {
		cost = otherBottle
	}
	for i, c := range f.Choices {
		if c != string(weld.NoFiller) { // leaving the rod away mends nothing
			s.add(l, from, f, c, cost+float64(0.1*float64(i)))
		}
	}
	keep(l)
	return out
}

// add puts a rung on the ladder if the model can weld it and it is a change. It is
// false where the setting takes no such value.
func (s *saver) add(l *ladder, from weld.Answer, f weld.Field, text string, steps float64) bool {
	a := from
	if f.SetStrict(&a, text) != nil || outside(s.task, a) != "" {
		return false
	}
	if a != from {
		l.rungs = append(l.rungs, rung{answer: a, steps: steps, odd: s.odd(a)})
	}
	return true
}

// stepsFrom walks a setting along the round numbers above it or below it. A change is
// as large in one system as in the other: its steps are counted in metric ones.
func (s *saver) stepsFrom(from weld.Answer, f weld.Field, sizes [2]float64, way int) *ladder {
	l := &ladder{keys: []string{f.Key}}
	start := from
	if f.Key == "amps_end" && from.AmpsEnd == 0 { // the same all along
		start.AmpsEnd = from.Amps
	}
	v, _ := f.Value(start)
	if v == 0 && f.Key == "dab_size" { // as much as the bead needs: nothing to move from
		return l
	}
	if (f.Key == "amps" || f.Key == "amps_end") && v < thinAmps {
		sizes = [2]float64{thinStep, thinStep}
	}
	size := float64(sizes[s.sys] * f.UnitSize(s.sys))
	each := size / float64(sizes[weld.Metric]*f.UnitSize(weld.Metric))
	at := v / size
	n := int(math.Floor(at + 1e-9))
	if way < 0 {
		n = int(math.Ceil(at - 1e-9))
	}
	for steps := each; ; steps += each {
		n += way
		text := strconv.FormatFloat(float64(float64(n)*sizes[s.sys]), 'f', -1, 64) + " " + f.Unit(s.sys)
		if n <= 0 && f.Key != "aim" || !s.add(l, from, f, text, steps) {
			break
		}
	}
	return l
}

// pedalFrom moves the current at the start and at the end together, a step of each
// at a time, which is what a hand does who finds the whole run too hot or too cold.
func (s *saver) pedalFrom(from weld.Answer) []*ladder {
	if from.AmpsEnd == 0 || !slices.Contains(s.fields, "amps") || !slices.Contains(s.fields, "amps_end") {
		return nil
	}
	var out []*ladder
	for _, a := range s.laddersFrom(from, "amps") {
		for _, b := range s.laddersFrom(from, "amps_end") {
			if (a.rungs[0].answer.Amps > from.Amps) != (b.rungs[0].answer.AmpsEnd > from.AmpsEnd) {
				continue
			}
			l := &ladder{keys: []string{"amps", "amps_end"}}
			for i := range min(len(a.rungs), len(b.rungs)) {
				r := rung{answer: withFields(a.rungs[i].answer, b.keys, b.rungs[i].answer), steps: a.rungs[i].steps + b.rungs[i].steps}
				r.odd = s.odd(r.answer)
				l.rungs = append(l.rungs, r)
			}
			out = append(out, l)
		}
	}
	return out
}

// sizesFrom walks the rack upwards or downwards from the size in hand.
func (s *saver) sizesFrom(from weld.Answer, f weld.Field, sizes []string, way int) *ladder {
	l := &ladder{keys: []string{f.Key}}
	have := amount(f, from)
	walk := slices.Clone(sizes)
	if way < 0 {
		slices.Reverse(walk)
	}
	passed := 0
	for _, text := range walk {
		a := from
		if f.SetStrict(&a, text) != nil {
			continue
		}
		// A size within 6 % of the one in hand is the same rod in the other system.
		if change := float64(float64(way) * (amount(f, a) - have)); change > float64(0.06*have) {
			passed++
			s.add(l, from, f, text, toTheRack+float64(passed))
		}
	}
	return l
}

// amount gives the number that a setting sold in sizes is ordered by.
func amount(f weld.Field, a weld.Answer) float64 {
	if f.Key == "cup" {
		return float64(a.Cup)
	}
	v, _ := f.Value(a)
	return v
}
