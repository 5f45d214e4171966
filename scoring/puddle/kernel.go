package puddle

import (
	"cmp"
	"math"
	"slices"

	"puddlewise/scoring/metal"
)

// This file is where a weld spends its time: one stage of the scheme for every
// cell, a row at a time. A row's neighbours mostly come in pairs at equal
// distance, across and through the wall; the loops below are one and the same
// stage, each with as little in it as its rows need. Every product is rounded on
// its own, so that no machine fuses it with a sum. kernel_amd64.s has the same loops four
// columns at a time: what changes here changes there.

// stencil says how a row's neighbours lie, so that the loop need not multiply twice by one factor.
type stencil uint8

const (
	uneven  stencil = iota // four factors
	pairs                  // two and two alike
	pairOne                // two alike and one
	two                    // two
)

// meet takes the row's neighbours from its cell, those of equal factor side by side.
func (r *row) meet(i int, c *cell) {
	all := make([]neighbourOf, 0, len(c.nb))
	for _, nb := range c.nb {
		all = append(all, neighbourOf{nb.cell, nb.factor / r.area})
	}
	slices.SortStableFunc(all, func(p, q neighbourOf) int {
		if alike(p.g, q.g) {
			return 0
		}
		return cmp.Compare(q.g, p.g)
	})
	if len(all) == 3 && !alike(all[0].g, all[1].g) {
		all[0], all[2] = all[2], all[0]
	}
	for k := range r.nb {
		r.nb[k] = i
	}
	for k, nb := range all {
		if k >= len(r.nb) {
			r.more = append(r.more, nb)
			r.full = true
			r.gsum += nb.g
			continue
		}
		if k%2 == 1 && alike(nb.g, all[k-1].g) {
			nb.g = all[k-1].g
		}
		r.nb[k], r.g[k] = nb.row, nb.g
		r.gsum += nb.g
	}
	switch g := r.g; {
	case len(all) <= 2:
		r.shape = two
	case g[0] == g[1] && g[3] == 0:
		r.shape = pairOne
	case g[0] == g[1] && g[2] == g[3]:
		r.shape = pairs
	}
}

// alike says whether two factors differ by rounding only.
func alike(a, b float64) bool { return math.Abs(a-b) < 1e-12*a }

// lookup fills theta from h.
func (s *solver) lookup(h, theta []float64) {
	n := s.col.n
	for i := range s.rows {
		r := &s.rows[i]
		hs, ts := h[i*s.stride:][:n], theta[i*s.stride+pad:][:n]
		for j, v := range hs {
			ts[j] = look(r.lines, r.shift, v)
		}
	}
}

// look gives theta at the enthalpy h.
func look(lines *[metal.Bins][2]float64, shift uint, h float64) float64 {
	bin := uint64(int64(h)) >> (shift & 63)
	if bin >= metal.Bins {
		bin = beyond(h)
	}
	l := &lines[bin%metal.Bins]
	return l[0] + float64(l[1]*h)
}

// beyond gives the bin for what lies past the table's ends.
func beyond(h float64) uint64 {
	if h < 0 {
		return 0
	}
	return metal.Bins - 1
}

// kernel is one row at one stage: v = mu h + nu out + conduction, into out, and
// its theta into up. The slices are of one length but for th.
type kernel struct {
	h, out, up       []float64
	th               []float64 // theta of the row, from one column before to one after
	a, b, c, d       []float64 // theta of the neighbours
	west, east, both []float64 // factors along the seam: to the column before, to the one after, the sum
	src, mass        []float64
	mu, nu, mt       float64
	ga, gb           float64 // factors of the neighbours, by mt
	gc, gd, gsum     float64
	lines            *[metal.Bins][2]float64
	shift            uint
	perBin, lastBin  float64 // 1/2^shift, and Bins-1: the look-up where it is wide
	wide             bool    // four columns at a time, the same bits
}

// stage computes stage j from h (stage j-1) into hPrev (stage j-2, overwritten),
// and theta of the result into thetaUp. Returns the evaporation rate, W.
func (s *solver) stage(j int) (vapour float64) {
	n := s.col.n
	mu, nu, mt := s.mu[j], s.nu[j], s.mt[j]
	if j == 1 {
		mu, nu = 1, 0
	}
	if s.col.ring {
		// The columns past each end are those of the other end.
		for i := range s.rows {
			th := s.theta[i*s.stride+pad-1:]
			th[0], th[n+1] = th[n], th[1]
		}
	}
	k := kernel{west: s.west[:n], east: s.east[:n], both: s.both[:n], mu: mu, nu: nu, mt: mt, lastBin: metal.Bins - 1, wide: wide}
	for j, f := range s.col.factors[:n] {
		k.west[j], k.east[j], k.both[j] = float64(mt*f.west), float64(mt*f.east), float64(mt*(f.west+f.east))
	}
	for i := range s.rows {
		r := &s.rows[i]
		at := i * s.stride
		th := s.theta[at+pad-1:][:n+2]
		k.th = th
		k.h, k.out, k.up = s.h[at:][:n], s.hPrev[at:][:n], s.thetaUp[at+pad:][:n]
		k.a, k.b = s.theta[r.nb[0]*s.stride+pad:][:n], s.theta[r.nb[1]*s.stride+pad:][:n]
		k.ga, k.gb, k.gsum = float64(mt*r.g[0]), float64(mt*r.g[1]), float64(mt*r.gsum)
		k.lines, k.shift, k.perBin = r.lines, r.shift, r.perBin
		if r.shape != two {
			k.c, k.d = s.theta[r.nb[2]*s.stride+pad:][:n], s.theta[r.nb[3]*s.stride+pad:][:n]
			k.gc, k.gd = float64(mt*r.g[2]), float64(mt*r.g[3])
		}
		k.src = s.zero[:n]
		if r.full {
			k.src = r.src[:n]
			if r.linked || r.more != nil || r.vapour {
				k.src = s.extra[:n]
				vapour += s.extras(r, th[1:n+1], k.src)
			}
		}
		switch {
		case r.shape == pairs && !r.full:
			k.pairs()
		case r.filled:
			k.mass = r.mass[:n]
			k.filled(r.shape)
		case r.shape == pairOne:
			k.pairOne()
		case r.shape == two:
			k.two()
		default:
			k.any(r.shape)
		}
	}
	return vapour
}

// extras fills src with a row's source for the step, what passes between members
// at this stage and through neighbours beyond the fourth, less the vapour, W/m3.
// Returns the heat the vapour carries off, W.
func (s *solver) extras(r *row, theta, src []float64) (vapour float64) {
	copy(src, r.src[:len(src)])
	if r.linked {
		for j, f := range r.flow[:len(src)] {
			src[j] += f
		}
	}
	for _, m := range r.more {
		o := s.theta[m.row*s.stride+pad:][:len(src)]
		for j := range src {
			src[j] += float64(m.g * o[j])
		}
	}
	if !r.vapour {
		return 0
	}
	from, depth := r.table.EvaporationFrom(), float64(r.litDepth*r.evapLen)
	for j, line := range s.sx[:len(src)] {
		if in := float64(r.arc * line); theta[j]+float64(in*r.litDepth) > from {
			e := float64(r.table.EvaporationUnder(theta[j], in/r.evapLen, depth) * r.evapLen)
			src[j] -= e
			vapour += float64(float64(e*r.area) * s.col.w[j])
		}
	}
	return vapour
}

// pairs: two and two neighbours alike, no source: the inside of a wall.
func (k *kernel) pairs() {
	if k.wide {
		widePairs(k)
		return
	}
	n := len(k.h)
	h, out, up, ahead := k.h, k.out[:n], k.up[:n], k.th[2:][:n]
	a, b, c, d, west, east, both := k.a[:n], k.b[:n], k.c[:n], k.d[:n], k.west[:n], k.east[:n], k.both[:n]
	mu, nu, ga, gc, gsum := k.mu, k.nu, k.ga, k.gc, k.gsum
	lines, shift := k.lines, k.shift
	before, t := k.th[0], k.th[1]
	for j, v := range h {
		after := ahead[j]
		v = float64(mu*v) + float64(nu*out[j]) +
			(float64(ga*(a[j]+b[j])) + float64(gc*(c[j]+d[j])) + float64(west[j]*before) + float64(east[j]*after) - float64((gsum+both[j])*t))
		out[j] = v
		up[j] = look(lines, shift, v)
		before, t = t, after
	}
}

// pairOne: two neighbours alike and one, with a source: the faces of a wall.
func (k *kernel) pairOne() {
	if k.wide {
		widePairOne(k)
		return
	}
	n := len(k.h)
	h, out, up, ahead := k.h, k.out[:n], k.up[:n], k.th[2:][:n]
	a, b, c, west, east, both := k.a[:n], k.b[:n], k.c[:n], k.west[:n], k.east[:n], k.both[:n]
	mu, nu, mt, ga, gc, gsum := k.mu, k.nu, k.mt, k.ga, k.gc, k.gsum
	lines, shift := k.lines, k.shift
	before, t := k.th[0], k.th[1]
	src := k.src[:n]
	for j, v := range h {
		after := ahead[j]
		v = float64(mu*v) + float64(nu*out[j]) +
			(float64(ga*(a[j]+b[j])) + float64(gc*c[j]) + float64(west[j]*before) + float64(east[j]*after) - float64((gsum+both[j])*t) + float64(mt*src[j]))
		out[j] = v
		up[j] = look(lines, shift, v)
		before, t = t, after
	}
}

// two: two neighbours or fewer, with a source: a wall of one layer.
func (k *kernel) two() {
	if k.wide {
		wideTwo(k)
		return
	}
	n := len(k.h)
	h, out, up, ahead := k.h, k.out[:n], k.up[:n], k.th[2:][:n]
	a, b, west, east, both := k.a[:n], k.b[:n], k.west[:n], k.east[:n], k.both[:n]
	mu, nu, mt, ga, gb, gsum := k.mu, k.nu, k.mt, k.ga, k.gb, k.gsum
	lines, shift := k.lines, k.shift
	before, t := k.th[0], k.th[1]
	src := k.src[:n]
	for j, v := range h {
		after := ahead[j]
		v = float64(mu*v) + float64(nu*out[j]) +
			(float64(ga*a[j]) + float64(gb*b[j]) + float64(west[j]*before) + float64(east[j]*after) - float64((gsum+both[j])*t) + float64(mt*src[j]))
		out[j] = v
		up[j] = look(lines, shift, v)
		before, t = t, after
	}
}

// any: up to four neighbours, each with its factor, and a source.
func (k *kernel) any(shape stencil) {
	if shape == two {
		k.c, k.d, k.gc, k.gd = k.a, k.b, 0, 0
	}
	if k.wide {
		wideAny(k)
		return
	}
	n := len(k.h)
	h, out, up, ahead := k.h, k.out[:n], k.up[:n], k.th[2:][:n]
	a, b, c, d, west, east, both := k.a[:n], k.b[:n], k.c[:n], k.d[:n], k.west[:n], k.east[:n], k.both[:n]
	mu, nu, mt, ga, gb, gc, gd, gsum := k.mu, k.nu, k.mt, k.ga, k.gb, k.gc, k.gd, k.gsum
	lines, shift := k.lines, k.shift
	before, t := k.th[0], k.th[1]
	src := k.src[:n]
	for j, v := range h {
		after := ahead[j]
		v = float64(mu*v) + float64(nu*out[j]) +
			(float64(ga*a[j]) + float64(gb*b[j]) + float64(gc*c[j]) + float64(gd*d[j]) + float64(west[j]*before) + float64(east[j]*after) - float64((gsum+both[j])*t) + float64(mt*src[j]))
		out[j] = v
		up[j] = look(lines, shift, v)
		before, t = t, after
	}
}

// filled is any where filler has gone in, so that the same heat warms more metal.
func (k *kernel) filled(shape stencil) {
	if shape == two {
		k.c, k.d, k.gc, k.gd = k.a, k.b, 0, 0
	}
	if k.wide {
		wideFilled(k)
		return
	}
	n := len(k.h)
	h, out, up, ahead := k.h, k.out[:n], k.up[:n], k.th[2:][:n]
	a, b, c, d, west, east, both := k.a[:n], k.b[:n], k.c[:n], k.d[:n], k.west[:n], k.east[:n], k.both[:n]
	mu, nu, mt, ga, gb, gc, gd, gsum := k.mu, k.nu, k.mt, k.ga, k.gb, k.gc, k.gd, k.gsum
	lines, shift := k.lines, k.shift
	before, t := k.th[0], k.th[1]
	src, mass := k.src[:n], k.mass[:n]
	for j, v := range h {
		after := ahead[j]
		v = float64(mu*v) + float64(nu*out[j]) +
			(float64(ga*a[j])+float64(gb*b[j])+float64(gc*c[j])+float64(gd*d[j])+float64(west[j]*before)+float64(east[j]*after)-float64((gsum+both[j])*t)+float64(mt*src[j]))/mass[j]
		out[j] = v
		up[j] = look(lines, shift, v)
		before, t = t, after
	}
}
