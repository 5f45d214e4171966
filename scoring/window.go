package scoring

import (
	"errors"
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Region is what a joint does at one point of a settings window.
type Region uint8

// Regions.
const (
	Good     Region = iota
	Cold            // does not fuse
	Through         // burns through
	OtherBad        // rejected for another reason
	Unknown         // outside the model's range
)

// Window is a map of two numeric settings: what the joint does at each point, all
// other settings as the answer has them.
type Window struct {
	X, Y    weld.Field
	Xs, Ys  []float64  // SI, rising
	Regions [][]Region // by y, then x
	X0, Y0  float64    // where the answer stands
	Welds   int        // how many seams were computed
}

// Parallel runs n independent pieces of work; front ends pass one that uses all
// cores, tests one that does not. scoring itself starts nothing.
type Parallel func(n int, work func(i int))

// InOrder is the Parallel that uses one core.
func InOrder(n int, work func(i int)) {
	for i := range n {
		work(i)
	}
}

// WindowX and WindowY are how many points a window has across and up.
const WindowX, WindowY = 40, 25

// ErrNotNumeric says that a field cannot be an axis.
var ErrNotNumeric = errors.New("not a numeric setting")

// Mappable says whether a setting can be an axis around an answer: a number, and set
// to something. The aim alone may be nought: it goes to either side.
func Mappable(a weld.Answer, key string) bool {
	f, ok := weld.FieldByKey(key)
	if !ok || !f.Numeric() {
		return false
	}
	v, _ := f.Value(a)
	return v != 0 || key == "aim"
}

// MapWindow computes the window of two settings around the answer, WindowX by WindowY
// points from six tenths to one and a half of what it has, as far as the fields go.
//
// Seams are welded at the coarse grade at three values of one setting, and of the other
// at its ends and in the middle, then between any two that come out differently, down to
// a sixteenth of the way; between seams the margins, which are smooth, are interpolated.
// A setting that does not touch the heat costs no seam: it is judged at every point. At
// the answer the map says what the verdict says: that seam is welded at the full grade,
// and what it corrects fades out a quarter of the map away. Elsewhere a border lies a few
// per cent of a setting off where verdicts put it.
//
// The error says which key cannot be an axis and why.
func MapWindow(task weld.Task, answer weld.Answer, xKey, yKey string, par Parallel) (*Window, error) {
	x, err := newAxis(answer, xKey, WindowX)
	if err != nil {
		return nil, err
	}
	y, err := newAxis(answer, yKey, WindowY)
	if err != nil {
		return nil, err
	}
	m := &mapper{task: task, answer: answer, along: x, other: y}
	if !x.hot && y.hot {
		m.along, m.other = y, x
	}
	m.weld(par)
	w := &Window{X: x.field, Y: y.field, Xs: x.vs, Ys: y.vs, X0: x.at, Y0: y.at, Welds: m.welds}
	for _, yv := range y.vs {
		row := make([]Region, len(x.vs))
		for c, xv := range x.vs {
			if m.along == x {
				row[c] = m.region(xv, yv)
			} else {
				row[c] = m.region(yv, xv)
			}
		}
		w.Regions = append(w.Regions, row)
	}
	return w, nil
}

// axis is a setting that is varied.
type axis struct {
	field weld.Field
	vs    []float64 // of the map, rising
	at    float64   // what the answer has, one of them
	hot   bool      // it changes what the metal does
}

// newAxis spreads n values around what the answer has.
func newAxis(answer weld.Answer, key string, n int) (*axis, error) {
	f, ok := weld.FieldByKey(key)
	if !ok || !f.Numeric() {
		return nil, fmt.Errorf("%s: %w", key, ErrNotNumeric)
	}
	if !Mappable(answer, key) {
		return nil, fmt.Errorf("%s is 0, and there is no window around that\nset it, or map another setting", key)
	}
	a := &axis{field: f, hot: TouchesHeat(key), vs: make([]float64, n)}
	a.at, _ = f.Value(answer)
	lo, hi := float64(0.6*a.at), float64(1.5*a.at)
	if key == "aim" {
		lo, hi = a.at-2e-3, a.at+2e-3
	}
	for _, end := range []*float64{&lo, &hi} {
		f.SetValue(&answer, *end)
		*end, _ = f.Value(answer)
	}
	below := math.Round(float64((a.at - lo) / (hi - lo) * float64(n-1)))
	step := math.Inf(1)
	if below > 0 {
		step = (a.at - lo) / below
	}
	if above := float64(n-1) - below; above > 0 {
		step = math.Min(step, (hi-a.at)/above)
	}
	for i := range a.vs {
		a.vs[i] = a.at + float64((float64(i)-below)*step)
	}
	return a, nil
}

// share says how far along the axis v lies, 0 to 1.
func (a *axis) share(v float64) float64 { return (v - a.vs[0]) / (a.vs[len(a.vs)-1] - a.vs[0]) }

// three are the ends and the middle.
func (a *axis) three() []float64 {
	lo, hi := a.vs[0], a.vs[len(a.vs)-1]
	return []float64{lo, a.middle(lo, hi), hi}
}

// middle lies between two values: by their ratio, unless the axis goes through nought.
func (a *axis) middle(lo, hi float64) float64 {
	if a.vs[0] > 0 {
		return math.Sqrt(float64(lo * hi))
	}
	return (lo + hi) / 2
}

// easeWith keeps the pedal's share when the current at the start is varied.
func easeWith(a *weld.Answer, from weld.Answer) {
	if from.AmpsEnd > 0 && from.Amps > 0 {
		a.AmpsEnd = weld.Current(float64(a.Amps) * (float64(from.AmpsEnd) / float64(from.Amps)))
	}
}

// cold keys do not change what the metal does, only how it is judged.
var cold = map[string]bool{
	"tungsten": true, "tungsten_diameter": true, "tip_angle": true, "cup": true, "lens": true, "flow": true,
	"preflow": true, "postflow": true, "rod_tip": true, "stick_out": true, "rod_angle": true, "rod_from": true, "direction": true,
	"cleaned": true, "purge_flow": true, "purge_oxygen": true, "dam": true, "vent": true, "tacks": true, "back": true,
	"ac_frequency": true, "tacks_clean": true, "trail": true, "purge_time": true, "solvent": true, "brush": true, "sequence": true,
}

// TouchesHeat says whether a field changes what the metal does.
func TouchesHeat(key string) bool { return !cold[key] }

// margins reads every rule of a welded seam.
func margins(task weld.Task, answer weld.Answer, b *puddle.Bead) []float64 {
	e := gather(task, answer, b)
	out := make([]float64, len(rules))
	for i, r := range rules {
		out[i] = math.Min(quantised(r.read(e).margin), 3)
	}
	return out
}

// region names what the margins say.
func region(m []float64) Region {
	if m == nil {
		return Unknown
	}
	worst := map[string]float64{}
	other := 0.0
	for i, r := range rules {
		if r.over != Defect {
			continue
		}
		if r.score == burnThrough || r.score == lackOfFusion {
			worst[r.score] = math.Max(worst[r.score], m[i])
		} else {
			other = math.Max(other, m[i])
		}
	}
	through, colder := worst[burnThrough], worst[lackOfFusion]
	switch {
	case through >= 1 && through >= colder:
		return Through
	case colder >= 1:
		return Cold
	case other >= 1:
		return OtherBad
	}
	return Good
}
