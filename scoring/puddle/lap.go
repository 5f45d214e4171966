package puddle

import "puddlewise/scoring/detmath"

func normalShare(a, b, sigma float64) float64 { return detmath.NormalShare(a, b, sigma) }

// lapRecord keeps, for each cell that took filler, the highest temperature since
// its last dab: what stays below the melt is a cold lap.
type lapRecord struct {
	s    *solver
	rows []int
	area []float64
	peak [][]float64 // theta by fine column
	laid []bool      // by fine column: a dab has come here
}

func newLapRecord(s *solver, targets []target) *lapRecord {
	l := &lapRecord{s: s, laid: make([]bool, s.col.fineColumns())}
	for _, t := range targets {
		if t.area <= 0 {
			continue
		}
		l.rows = append(l.rows, t.row)
		l.area = append(l.area, t.area)
		l.peak = append(l.peak, make([]float64, s.col.fineColumns()))
	}
	return l
}

// reset forgets what was between x0 and x1: new metal has come.
func (l *lapRecord) reset(x0, x1 float64) {
	dx := l.s.col.dx
	for k := range l.laid {
		x := float64((float64(k) + 0.5) * dx)
		if l.s.col.ring && x < x0 {
			x += l.s.col.length()
		}
		if x >= x0 && x < x1 {
			l.laid[k] = true
			for i := range l.peak {
				l.peak[i][k] = 0
			}
		}
	}
}

func (l *lapRecord) update() {
	c := l.s.col
	for b, level := range c.level {
		if level > 1 {
			continue
		}
		for j := c.first[b]; j < c.first[b+1]; j++ {
			from, to := c.fineRange(b, j)
			if !l.laid[from] && !l.laid[to-1] {
				continue
			}
			for i, row := range l.rows {
				v := l.s.theta[row*l.s.stride+pad+j]
				for k := from; k < to; k++ {
					if v > l.peak[i][k] {
						l.peak[i][k] = v
					}
				}
			}
		}
	}
}

// share gives the part of the bead's section around x that stayed solid: the mean over
// the columns of a station's length, each cell by how
// far it got through the middle half of its melting range.
func (l *lapRecord) share(x float64) float64 {
	cold, all := 0.0, 0.0
	from, _, _ := l.s.col.fineAt(x - stationEvery/2)
	to, _, _ := l.s.col.fineAt(x + stationEvery/2)
	for k := from; ; k = (k + 1) % len(l.laid) {
		if l.laid[k] {
			for i, row := range l.rows {
				r := &l.s.rows[row]
				all += l.area[i]
				melted := float64(2*(l.peak[i][k]-r.solidus)/(r.liquidus-r.solidus)) - 0.5
				cold += float64(l.area[i] * (1 - min(1, max(0, melted))))
			}
		}
		if k == to {
			break
		}
	}
	if all == 0 {
		return 0
	}
	return cold / all
}
