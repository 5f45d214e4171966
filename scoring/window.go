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

// ErrNotNumeric says that a field cannot be an axis.
var ErrNotNumeric = errors.New("not a numeric setting")

// windowNodes is how many seams are welded along each axis; between them the rules'
// margins, which are smooth, are interpolated.
const windowNodesX, windowNodesY = 10, 5

// MapWindow computes the window of two settings around the answer, nx by ny points.
// Seams are welded at the coarse grade on a net of 10 by 5 points (one row when an
// axis does not touch the heat) and the margins interpolated between: a border may
// lie a few per cent off where a verdict would put it.
func MapWindow(task weld.Task, answer weld.Answer, xKey, yKey string, nx, ny int, par Parallel) (*Window, error) {
	w := &Window{}
	var ok bool
	for _, axis := range []struct {
		key string
		f   *weld.Field
	}{{xKey, &w.X}, {yKey, &w.Y}} {
		if *axis.f, ok = weld.FieldByKey(axis.key); !ok || !axis.f.Numeric() {
			return nil, fmt.Errorf("%s: %w", axis.key, ErrNotNumeric)
		}
	}
	if nx < 2 || ny < 2 {
		return nil, errors.New("a window needs at least 2 by 2 points")
	}
	w.X0, _ = w.X.Value(answer)
	w.Y0, _ = w.Y.Value(answer)
	w.Xs, w.Ys = span(w.X0, nx), span(w.Y0, ny)
	gx, gy := spanNodes(w.Xs, windowNodesX), spanNodes(w.Ys, windowNodesY)
	nodes := make([][]float64, len(gx)*len(gy))
	heatX, heatY := touchesHeat(xKey), touchesHeat(yKey)
	beads := make([]*puddle.Bead, len(nodes))
	at := func(i int) weld.Answer {
		a := answer
		w.X.SetValue(&a, gx[i%len(gx)])
		w.Y.SetValue(&a, gy[i/len(gx)])
		if xKey == "amps" || yKey == "amps" {
			easeWith(&a, answer)
		}
		return a
	}
	// Weld once for each setting that the heat can tell apart.
	need := []int{}
	twin := make([]int, len(nodes))
	for i := range nodes {
		c, r := i%len(gx), i/len(gx)
		if !heatX {
			c = 0
		}
		if !heatY {
			r = 0
		}
		twin[i] = r*len(gx) + c
		if twin[i] == i && outside(task, at(i)) == "" {
			need = append(need, i)
		}
	}
	par(len(need), func(k int) {
		b, err := puddle.WeldAt(task, at(need[k]), puddle.Coarse)
		if err == nil {
			beads[need[k]] = b
		}
	})
	w.Welds = len(need)
	for i := range nodes {
		if b := beads[twin[i]]; b != nil && outside(task, at(i)) == "" {
			nodes[i] = margins(task, at(i), b)
		}
	}
	w.Regions = make([][]Region, ny)
	for r := range w.Regions {
		w.Regions[r] = make([]Region, nx)
		for c := range w.Regions[r] {
			w.Regions[r][c] = region(blend(nodes, gx, gy, w.Xs[c], w.Ys[r]))
		}
	}
	return w, nil
}

// easeWith keeps the pedal's share when the current at the start is varied.
func easeWith(a *weld.Answer, from weld.Answer) {
	if from.AmpsEnd > 0 && from.Amps > 0 {
		a.AmpsEnd = weld.Current(float64(a.Amps) * (float64(from.AmpsEnd) / float64(from.Amps)))
	}
}

// span gives n values from six tenths to one and a half of v.
func span(v float64, n int) []float64 {
	lo, hi := float64(0.6*v), float64(1.5*v)
	if v == 0 {
		lo, hi = -2e-3, 2e-3
	}
	if v < 0 {
		lo, hi = hi, lo
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = lo + float64((hi-lo)*(float64(i)/float64(n-1)))
	}
	return out
}

func spanNodes(vs []float64, n int) []float64 {
	lo, hi := vs[0], vs[len(vs)-1]
	out := make([]float64, n)
	for i := range out {
		out[i] = lo + float64((hi-lo)*(float64(i)/float64(n-1)))
	}
	return out
}

// cold keys do not change what the metal does, only how it is judged.
var cold = map[string]bool{
	"tungsten": true, "tungsten_diameter": true, "tip_angle": true, "cup": true, "lens": true, "flow": true,
	"preflow": true, "postflow": true, "rod_tip": true, "stick_out": true, "rod_angle": true, "direction": true,
	"cleaned": true, "purge_flow": true, "purge_oxygen": true, "dam": true, "vent": true, "tacks": true, "back": true,
	"ac_frequency": true, "tacks_clean": true, "trail": true, "purge_time": true, "solvent": true, "brush": true, "sequence": true,
}

// touchesHeat says whether a field changes what the metal does.
func touchesHeat(key string) bool { return !cold[key] }

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

// blend interpolates the nodes' margins at x, y; nil where a node is outside the model.
func blend(nodes [][]float64, gx, gy []float64, x, y float64) []float64 {
	i, u := between(gx, x)
	j, v := between(gy, y)
	n := len(gx)
	var out []float64
	for _, k := range []struct {
		node int
		w    float64
	}{
		{j*n + i, float64((1 - u) * (1 - v))}, {j*n + i + 1, float64(u * (1 - v))},
		{(j+1)*n + i, float64((1 - u) * v)}, {(j+1)*n + i + 1, float64(u * v)},
	} {
		if k.w < 1e-9 {
			continue
		}
		m := nodes[k.node]
		if m == nil {
			return nil
		}
		if out == nil {
			out = make([]float64, len(m))
		}
		for r := range m {
			out[r] += float64(k.w * m[r])
		}
	}
	return out
}

// between gives the interval of rising vs that holds x, and how far into it.
func between(vs []float64, x float64) (i int, u float64) {
	step := (vs[len(vs)-1] - vs[0]) / float64(len(vs)-1)
	i = min(max(int(math.Floor((x-vs[0])/step)), 0), len(vs)-2)
	return i, min(1, max(0, (x-vs[i])/(vs[i+1]-vs[i])))
}
