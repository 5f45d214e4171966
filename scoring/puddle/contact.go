package puddle

// ContactConductance of two sheets clamped together, W/m2K. Assumed, an order of
// magnitude: 500 to 10 000 moves the currents of a tee by 3 A either way.
const ContactConductance = 2000.0

// contactFlow fills the rows' flow with what passes between members at this stage, W/m3.
func (s *solver) contactFlow() {
	n := s.col.n
	for k := range s.links {
		clear(s.rows[s.links[k].a].flow[:n])
		clear(s.rows[s.links[k].b].flow[:n])
	}
	for k := range s.links {
		l := &s.links[k]
		ra, rb := &s.rows[l.a], &s.rows[l.b]
		tha, thb := s.theta[l.a*s.stride+pad:][:n], s.theta[l.b*s.stride+pad:][:n]
		ha, hb := s.h[l.a*s.stride:][:n], s.h[l.b*s.stride:][:n]
		fa, fb := ra.flow[:n], rb.flow[:n]
		fused := l.fused[:n]
		joined := l.length / (l.da + l.db)
		apart := 0.0
		if l.kind == faying {
			apart = l.length / (1/ContactConductance + (l.da+l.db)/typicalK)
		}
		same := ra.table == rb.table
		areaA, areaB := ra.area, rb.area
		for j, f := range fused {
			q := 0.0 // W per m of seam, from b to a
			if f > 0 {
				if same {
					q = float64(f * float64(joined*(thb[j]-tha[j])))
				} else {
					// Unlike metals: by temperature, each with its own conductivity.
					ta, tb := ra.table.Temperature(ha[j]), rb.table.Temperature(hb[j])
					q = float64(float64(f*float64(l.length/(l.da/ra.k+l.db/rb.k))) * (tb - ta))
				}
			}
			if f < 1 && apart != 0 && tha[j] != thb[j] {
				ta, tb := ra.table.Temperature(ha[j]), rb.table.Temperature(hb[j])
				q += float64((1 - f) * float64(apart*(tb-ta)))
			}
			fa[j] += q / areaA
			fb[j] -= q / areaB
		}
	}
}

// typicalK of hot steel, W/mK: only the half-cells beside a poor contact use it.
const typicalK = 30.0

// fuse latches faying contacts as far as both sides have passed the solidus along
// them: the front of the fused part is placed between the cells' middles.
func (s *solver) fuse() {
	n := s.col.n
	for k := range s.links {
		l := &s.links[k]
		if l.kind != faying {
			continue
		}
		next := l.next
		for j, f := range l.fused[:n] {
			if f >= 1 {
				continue
			}
			over := s.overSolidus(l, j)
			share := 0.0
			if over > 0 {
				share = 1
			}
			if next >= 0 {
				if fall := over - s.overSolidus(&s.links[next], j); fall > 0 {
					share = min(1, max(0, 0.5+over/fall))
				}
			}
			l.fused[j] = max(f, share)
		}
	}
}

// overSolidus gives how far the colder side of a contact is over its solidus, theta.
func (s *solver) overSolidus(l *link, j int) float64 {
	return min(s.theta[l.a*s.stride+pad+j]-s.rows[l.a].solidus, s.theta[l.b*s.stride+pad+j]-s.rows[l.b].solidus)
}

// target is where a bead's metal goes: a cell and its part of the bead's section, m2.
type target struct {
	row  int
	area float64
}

// deposit puts cold metal on the targets between x0 and x1: mass and heat sink
// are exact, its shape is left to the volume balance.
func (s *solver) deposit(targets []target, x0, x1 float64) {
	n := s.col.n
	s.stale = true
	for j := range n {
		mid := (x0 + x1) / 2
		a := mid + s.col.from(mid, j) - s.col.w[j]/2
		b := a + s.col.w[j]
		share := (min(b, x1) - max(a, x0)) / (b - a)
		if share <= 0 {
			continue
		}
		for _, t := range targets {
			r := &s.rows[t.row]
			r.filled = true
			add := float64(share*t.area) / r.area
			m := r.mass[j]
			r.mass[j] = m + add
			at := t.row*s.stride + j
			s.h[at] = float64(s.h[at] * (m / (m + add)))
		}
		for k := range s.links {
			if l := &s.links[k]; l.kind == bridge {
				l.fused[j] = max(l.fused[j], min(1, share))
			}
		}
		if s.gapClosed != nil {
			s.gapClosed[j] = min(1, s.gapClosed[j]+share)
		}
	}
}
