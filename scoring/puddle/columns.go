package puddle

import "math"

// blockFine is how many fine columns a block holds; a block is cut into 8, 4, 2
// or 1 columns by its level 0 to 3, so the grid is fine only where the pool is.
const (
	blockFine = 8
	maxLevel  = 3
)

// columns cuts the seam's length into columns: fine near the arc, coarser away
// from it. Splitting and joining columns keeps the enthalpy exactly.
type columns struct {
	ring    bool    // the seam closes on itself: a tube
	dx      float64 // of a fine column, m
	blocks  int
	level   []uint8   // of each block
	first   []int     // column where each block starts; one more at the end
	n       int       // columns now
	x       []float64 // centres
	w       []float64 // widths
	factors []xFactor
}

// xFactor conducts along the seam, to the column before and after, 1/m2: 1/(width * centre distance).
type xFactor struct{ west, east float64 }

// newColumns covers the length with columns near d wide.
func newColumns(length, d float64) *columns {
	blocks := max(1, int(math.Round(length/float64(blockFine*d))))
	c := &columns{
		dx: length / float64(blocks*blockFine), blocks: blocks,
		level: make([]uint8, blocks), first: make([]int, blocks+1),
	}
	n := blocks * blockFine
	c.x, c.w, c.factors = make([]float64, n), make([]float64, n), make([]xFactor, n)
	for b := range c.level {
		c.level[b] = maxLevel
	}
	c.layout()
	return c
}

func (c *columns) fineColumns() int { return c.blocks * blockFine }

// wanted fills level with the levels for a fine stretch from..to.
func (c *columns) wanted(from, to float64, level []uint8) {
	size := c.dx * blockFine
	b0, b1 := int(math.Floor(from/size)), int(math.Floor(to/size))
	if !c.ring {
		b0, b1 = min(max(b0, 0), c.blocks-1), min(max(b1, 0), c.blocks-1)
	}
	for b := range level {
		away := max(b0-b, b-b1, 0)
		if c.ring { // the nearer way round
			away = min(away, max(b0-b-c.blocks, b+c.blocks-b1, 0), max(b0-b+c.blocks, b-c.blocks-b1, 0))
		}
		level[b] = uint8(min(away, maxLevel))
	}
}

// layout rebuilds the columns from the levels.
func (c *columns) layout() {
	n := 0
	for b, l := range c.level {
		c.first[b] = n
		per := blockFine >> l
		w := float64(c.dx * float64(int(1)<<l))
		for k := range per {
			c.w[n] = w
			c.x[n] = float64(c.dx*float64(b*blockFine)) + float64((float64(k)+0.5)*w)
			n++
		}
	}
	c.first[c.blocks] = n
	c.n = n
	for j := range n {
		c.factors[j] = xFactor{}
		if j > 0 {
			c.factors[j].west = 1 / float64(c.w[j]*(c.x[j]-c.x[j-1]))
		}
		if j < n-1 {
			c.factors[j].east = 1 / float64(c.w[j]*(c.x[j+1]-c.x[j]))
		}
	}
	if c.ring && n > 1 {
		d := (c.w[0] + c.w[n-1]) / 2
		c.factors[0].west, c.factors[n-1].east = 1/float64(c.w[0]*d), 1/float64(c.w[n-1]*d)
	}
}

// remap carries one row of averages from the old levels to new ones, into out.
// first is the old layout. A split keeps the slope, held so that no new value
// leaves the range of the old neighbours; sums are kept exactly up to rounding.
func remap(old, out []float64, oldLevel, newLevel []uint8, oldFirst []int) {
	k := 0
	for b, lo := range oldLevel {
		ln := newLevel[b]
		from, to := oldFirst[b], oldFirst[b+1]
		switch {
		case ln == lo:
			k += copy(out[k:], old[from:to])
		case ln > lo: // join
			m := 1 << (ln - lo)
			for j := from; j < to; j += m {
				sum := 0.0
				for i := range m {
					sum += old[j+i]
				}
				out[k] = sum / float64(m)
				k++
			}
		default: // split
			m := 1 << (lo - ln)
			for j := from; j < to; j++ {
				slope := 0.0
				if j > 0 && j < len(old)-1 {
					a, b := old[j]-old[j-1], old[j+1]-old[j]
					if float64(a*b) > 0 {
						slope = math.Copysign(math.Min(math.Abs(a), math.Abs(b)), a)
					}
				}
				for i := range m {
					out[k] = old[j] + float64(slope*((float64(i)+0.5)/float64(m)-0.5))
					k++
				}
			}
		}
	}
}

// fineRange gives the fine columns that column j of block b covers.
func (c *columns) fineRange(b, j int) (from, to int) {
	l := c.level[b]
	from = b*blockFine + (j-c.first[b])<<l
	return from, from + 1<<l
}

// length of the whole coupon along the seam, m.
func (c *columns) length() float64 { return float64(c.dx * float64(c.fineColumns())) }

// wrap brings x onto a ring; on an open seam x stays as it is.
func (c *columns) wrap(x float64) float64 {
	if c.ring {
		l := c.length()
		x -= float64(l * math.Floor(x/l))
	}
	return x
}

// step gives the column k further on from j, around the ring; ok is false beyond an open end.
func (c *columns) step(j, k int) (int, bool) {
	j += k
	if c.ring {
		return (j%c.n + c.n) % c.n, true
	}
	return j, j >= 0 && j < c.n
}

// from gives how far column j lies ahead of x, the nearer way round a ring.
func (c *columns) from(x float64, j int) float64 {
	d := c.x[j] - x
	if c.ring {
		l := c.length()
		d -= float64(l * math.Floor(d/l+0.5))
	}
	return d
}
