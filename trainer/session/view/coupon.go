package view

import (
	"fmt"
	"math"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// StationAt gives the station nearest to x; ok is false for a coupon without stations.
func StationAt(c scoring.Coupon, x weld.Length) (st scoring.Station, ok bool) {
	best := math.Inf(1)
	for _, s := range c.Stations {
		if d := math.Abs(float64(s.At - x)); d < best {
			best, st, ok = d, s, true
		}
	}
	return st, ok
}

// Columns samples the coupon at the middles of n equal stretches of the seam.
// A hole shows in every column it touches: holes must never fall between samples.
func Columns(c scoring.Coupon, seam weld.Length, n int) []scoring.Station {
	if n <= 0 || len(c.Stations) == 0 {
		return nil
	}
	out := make([]scoring.Station, n)
	step := float64(seam) / float64(n)
	for i := range out {
		from, to := weld.Length(float64(i)*step), weld.Length(float64(i+1)*step)
		out[i], _ = StationAt(c, (from+to)/2)
		out[i].At = (from + to) / 2
		out[i].Hole = Holed(c, from, to)
	}
	return out
}

// Holed says whether there is a hole anywhere from one place to the other.
func Holed(c scoring.Coupon, from, to weld.Length) bool {
	for _, h := range c.Holes {
		if h.From < to && h.To > from || h.From == h.To && h.From >= from && h.From < to {
			return true
		}
	}
	for _, s := range c.Stations {
		if s.Hole && s.At >= from && s.At < to {
			return true
		}
	}
	return false
}

// WorstPlace gives where to look first: the first hole, else where the decisive
// finding is, else the middle of the seam.
func WorstPlace(v scoring.Verdict, seam weld.Length) weld.Length {
	inside := func(x weld.Length) weld.Length { return min(seam, max(0, x)) }
	if len(v.Coupon.Holes) > 0 {
		h := v.Coupon.Holes[0]
		return inside((h.From + h.To) / 2)
	}
	for _, s := range v.Coupon.Stations {
		if s.Hole {
			return inside(s.At)
		}
	}
	if len(v.Findings) > 0 && v.Findings[0].To > 0 {
		return inside((v.Findings[0].From + v.Findings[0].To) / 2)
	}
	return seam / 2
}

// Measure is one number of the coupon.
type Measure struct{ Name, Text string }

// Measures gives the numbers of a station that mean something at this joint.
// Every station of a joint gives the same names in the same order.
func Measures(j weld.Joint, st scoring.Station, sys weld.System) []Measure {
	pen := "penetration"
	if j.Fillet() {
		pen = "root fused"
	}
	face := st.FaceWidth.Show(sys)
	if st.Hole {
		face = "hole"
	}
	edge := j == weld.EdgeWeld // has no back, and melts down
	out := []Measure{{"face width", face}, {"back width", st.BackWidth.Show(sys)}, {pen, Percent(st.Penetration)}}
	if edge {
		out[1] = Measure{"melted down", st.Down.Show(sys)}
	}
	if j.Fillet() {
		a, b := j.Members()
		a, _, _ = strings.Cut(a, " ")
		b, _, _ = strings.Cut(b, " ")
		out = append(out, Measure{"leg on " + a, st.LegA.Show(sys)}, Measure{"leg on " + b, st.LegB.Show(sys)}, Measure{"throat", st.Throat.Show(sys)}, Measure{"bead face", proud(st.Cap, sys)})
	} else {
		out = append(out, Measure{"cap", Cap(st.Cap, sys)})
		if !edge {
			out = append(out, Measure{"root", proud(st.Root, sys)})
		}
	}
	out = append(out, Measure{"undercut", st.Undercut.Show(sys)}, Measure{"hottest, face", heat(st.PeakFace, sys)})
	if edge {
		return append(out, Measure{"face colour", or(st.Colour, "bright")})
	}
	return append(out, Measure{"hottest, back", heat(st.PeakBack, sys)},
		Measure{"face colour", or(st.Colour, "bright")}, Measure{"back colour", or(st.BackColour, "bright")})
}

// Percent prints a share in whole percent.
func Percent(share float64) string { return fmt.Sprintf("%.0f %%", math.Floor(share*100+1e-9)) }

// Cap says how high the bead stands, or how deep it sinks.
func Cap(h weld.Length, sys weld.System) string {
	if h < 0 {
		return (-h).Show(sys) + " low"
	}
	return h.Show(sys)
}

// proud says how far a surface stands out or is drawn in.
func proud(h weld.Length, sys weld.System) string {
	switch text := max(h, -h).Show(sys); {
	case text == weld.Length(0).Show(sys):
		return "flush"
	case h < 0:
		return text + " in"
	default:
		return text + " out"
	}
}

// heat leaves a temperature that was not measured blank.
func heat(t weld.Temperature, sys weld.System) string {
	if t <= 0 {
		return "-"
	}
	return t.Show(sys)
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// TableRow is one line of the numbers along the seam.
type TableRow struct {
	At, Face, Back, Pen, Colour string
	Note                        string // a hole that lies between this line and its neighbours; where around a tube
}

// touching is the length of seam that still counts as one place.
const touching = weld.Millimetre / 1000

// HoleAt says whether there is a hole at this place.
func HoleAt(c scoring.Coupon, x weld.Length) bool { return Holed(c, x, x+touching) }

// Along prints a place along the seam to a tenth of a millimetre.
func Along(x weld.Length, sys weld.System) string {
	const tenth = weld.Millimetre / 10
	return weld.Length(math.Round(float64(x/tenth)) * float64(tenth)).Show(sys)
}

// Table gives the numbers along the seam in about n lines, ends included.
func Table(t weld.Task, c scoring.Coupon, n int, sys weld.System) []TableRow {
	seam := t.Seam
	if len(c.Stations) == 0 || n < 2 {
		return nil
	}
	n = min(n, len(c.Stations))
	var rows []TableRow
	for i := range n {
		x := weld.Length(float64(seam) * float64(i) / float64(max(1, n-1)))
		st, _ := StationAt(c, x)
		half := seam / weld.Length(2*max(1, n-1))
		row := TableRow{At: Along(x, sys), Face: st.FaceWidth.Show(sys), Back: st.BackWidth.Show(sys), Pen: Percent(st.Penetration), Colour: or(st.Colour, "bright")}
		if t.Joint == weld.EdgeWeld {
			row.Back = "-"
		}
		if HoleAt(c, x) {
			row.Face = "hole"
		} else if Holed(c, x-half, x+half) {
			row.Note = "hole near"
		}
		if where := t.Where(x); where != "" {
			row.Note = strings.TrimPrefix(row.Note+", "+bare(where), ", ")
		}
		rows = append(rows, row)
	}
	return rows
}

// CouponWords says what there is to see, from the face to the back.
func CouponWords(t weld.Task, v scoring.Verdict, sys weld.System) []string {
	c, j := v.Coupon, t.Joint
	at := func(x weld.Length) string { return join("at "+x.Show(sys), t.Where(x)) }
	if len(c.Stations) == 0 {
		return []string{"There is no coupon to look at."}
	}
	get := func(name string, of func(scoring.Station) weld.Length) string {
		lo, hi := c.Stations[0], c.Stations[0]
		for _, s := range c.Stations {
			if of(s) < of(lo) {
				lo = s
			}
			if of(s) > of(hi) {
				hi = s
			}
		}
		if of(lo).Show(sys) == of(hi).Show(sys) {
			return fmt.Sprintf("%s: %s all along.", name, of(hi).Show(sys))
		}
		return fmt.Sprintf("%s: %s at the least (%s) to %s at the most (%s).", name,
			of(lo).Show(sys), at(lo.At), of(hi).Show(sys), at(hi.At))
	}
	out := []string{
		get("Face width", func(s scoring.Station) weld.Length { return s.FaceWidth }),
		get("Back width", func(s scoring.Station) weld.Length { return s.BackWidth }),
	}
	if j == weld.EdgeWeld {
		out[1] = get("Melted down", func(s scoring.Station) weld.Length { return s.Down })
	}
	if j.Fillet() {
		a, b := j.Members()
		out = append(out, get("Leg on the "+a, func(s scoring.Station) weld.Length { return s.LegA }),
			get("Leg on the "+b, func(s scoring.Station) weld.Length { return s.LegB }))
	}
	least := c.Stations[0]
	for _, s := range c.Stations {
		if s.Penetration < least.Penetration {
			least = s
		}
	}
	pen := "Penetration"
	if j.Fillet() {
		pen = "Root fused"
	}
	out = append(out, fmt.Sprintf("%s: at least %s, %s.", pen, Percent(least.Penetration), at(least.At)))
	for _, h := range c.Holes {
		out = append(out, join(fmt.Sprintf("A hole from %s to %s", h.From.Show(sys), h.To.Show(sys)), stretch(t, h.From, h.To))+".")
	}
	for _, span := range colours(c) {
		out = append(out, fmt.Sprintf("The face is %s from %s to %s.", span.name, span.from.Show(sys), span.to.Show(sys)))
	}
	if c.PeakTemperature > 0 {
		out = append(out, "Hottest: "+c.PeakTemperature.Show(sys)+".")
	}
	if c.HeatInput > 0 {
		out = append(out, "Heat input: "+HeatInput(c.HeatInput, sys)+".")
	}
	return out
}

// HeatInput prints a heat input given in kJ/mm.
func HeatInput(kJPerMM float64, sys weld.System) string {
	if sys == weld.Imperial {
		return fmt.Sprintf("%.1f kJ/in", kJPerMM*25.4)
	}
	return fmt.Sprintf("%.3f kJ/mm", kJPerMM)
}

type colourSpan struct {
	name     string
	from, to weld.Length
}

// colours joins neighbouring stations of one face colour.
func colours(c scoring.Coupon) []colourSpan {
	var out []colourSpan
	for _, s := range c.Stations {
		name := or(s.Colour, "bright")
		if n := len(out); n > 0 && out[n-1].name == name {
			out[n-1].to = s.At
			continue
		}
		out = append(out, colourSpan{name, s.At, s.At})
	}
	return out
}

// Place says where along the seam, and where around a tube that is; "" when it has no place.
func Place(t weld.Task, from, to weld.Length, sys weld.System) string {
	if to <= 0 && from <= 0 {
		return ""
	}
	a, b := Along(from, sys), Along(to, sys)
	if a == b || to <= from {
		return join("at "+a, t.Where(from))
	}
	number, _, _ := strings.Cut(a, " ")
	text := number + " to " + b
	if from <= 0 && to >= t.Seam { // all along
		return text
	}
	return join(text, stretch(t, from, to))
}

// stretch says where around a tube a stretch of the seam lies.
func stretch(t weld.Task, from, to weld.Length) string {
	a, b := t.Where(from), t.Where(to)
	switch {
	case a == b && to-from > t.Seam/2: // from one crown of a square branch to the other
		return ""
	case a == b:
		return a
	}
	return "from " + bare(a) + " to " + bare(b)
}

// bare takes the preposition off a place around a tube: at, on or in.
func bare(where string) string {
	_, place, _ := strings.Cut(where, " ")
	return place
}

// join sets a place around a tube behind one along the seam.
func join(along, around string) string {
	if around == "" {
		return along
	}
	return along + ", " + around
}
