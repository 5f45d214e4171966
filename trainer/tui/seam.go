package tui

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// seamPicture draws one side of the coupon from above: the sheet, the bead as
// wide as it is, its ripples, tints and holes.
type seamPicture struct {
	*tview.Box
	look   *look
	coupon scoring.Coupon
	seam   weld.Length
	dab    weld.Length // spacing of the ripples; zero for none
	back   bool
	height float64     // mm from the upper to the lower edge of the picture
	done   weld.Length // how far it is welded; beyond it the open seam shows
	hot    weld.Task   // what is being welded: the run glows behind done; zero when it is cold
}

func newSeamPicture(l *look, c scoring.Coupon, seam weld.Length) *seamPicture {
	return &seamPicture{Box: tview.NewBox(), look: l, coupon: c, seam: seam, done: seam, height: stripHeight(c)}
}

// stripHeight gives the width of sheet that holds the widest bead, in even millimetres.
func stripHeight(c scoring.Coupon) float64 {
	return math.Max(4, 2*math.Ceil((max(widest(c, false), widest(c, true))+1)/2))
}

// widest gives the widest place of one side, mm.
func widest(c scoring.Coupon, back bool) float64 {
	most := 0.0
	for _, s := range c.Stations {
		if back {
			most = math.Max(most, s.BackWidth.MM())
		} else {
			most = math.Max(most, s.FaceWidth.MM())
		}
	}
	return most
}

// Draw draws the picture.
func (p *seamPicture) Draw(screen tcell.Screen) {
	x, y, w, h := p.GetRect()
	c := canvas{screen, p.look, x, y, w, h}
	columns := view.Columns(p.coupon, p.seam, w)
	if h < 1 || columns == nil {
		return
	}
	for col, st := range columns {
		mm, in, ground := p.bead(st, w)
		half := mm / 2 / p.height * float64(h)
		if p.look.patches() {
			c.bandColumn(col, float64(h)/2-half, float64(h)/2+half, in, ground)
		} else {
			c.bandCells(col, float64(h)/2-half, float64(h)/2+half, in, ground)
		}
	}
}

// bead says how wide the bead is at a station, what it looks like there, and
// what it lies on.
func (p *seamPicture) bead(st scoring.Station, w int) (mm float64, in, ground ink) {
	ground = inkSheetA
	if st.At > p.done {
		return p.height / 16, inkSeam, ground
	}
	wide, tint := st.FaceWidth.MM(), st.Colour
	if p.back {
		wide, tint = st.BackWidth.MM(), st.BackColour
	}
	switch {
	case st.Hole:
		return math.Max(wide, 1), inkPlain, ground
	case p.hot.Seam > 0 && st.At > p.done-p.coupon.PoolLength:
		return wide, inkMolten, ground
	}
	if p.hot.Seam > 0 {
		if step, glows := view.Glow(p.hot, p.coupon, p.done-st.At); glows {
			return wide, inkGlow + ink(step), ground
		}
	}
	if p.ripple(st.At, w) {
		return wide, inkRipple, ground
	}
	return wide, tintInk(tint), ground
}

// eighths are the characters filled from below by so many eighths.
var eighths = [9]rune{' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'}

// bandColumn draws a column of ground with a band of ink from one height to
// another, in rows, to an eighth of a row.
func (c canvas) bandColumn(col int, from, to float64, in, ground ink) {
	style := func(front, back ink) tcell.Style {
		st := tcell.StyleDefault
		if front != inkPlain {
			st = st.Foreground(c.look.colour(front))
		}
		if back != inkPlain {
			st = st.Background(c.look.colour(back))
		}
		return st
	}
	for row := range c.h {
		top, bottom := float64(row), float64(row+1)
		share := func(x float64) int { return int(math.Round(8 * math.Min(1, math.Max(0, x)))) }
		switch over, under := share(from-top), share(bottom-to); {
		case over+under >= 8:
			c.cell(col, row, eighths[8], style(ground, ground))
		case over == 0 && under == 0 && in == inkPlain:
			c.cell(col, row, ' ', tcell.StyleDefault)
		case over == 0 && under == 0:
			c.cell(col, row, eighths[8], style(in, in))
		case over > 0 && under > 0:
			c.cell(col, row, '━', style(in, ground))
		case under > 0:
			c.cell(col, row, eighths[under], style(ground, in))
		case in != inkPlain:
			c.cell(col, row, eighths[8-over], style(in, ground))
		default:
			// Through a hole the terminal shows, which no character can be drawn
			// in: the ground above it is drawn to the half.
			c.cell(col, row, []rune{' ', '▀', eighths[8]}[(over+2)/4], style(ground, inkPlain))
		}
	}
}

// bandCells is bandColumn in whole characters.
func (c canvas) bandCells(col int, from, to float64, in, ground ink) {
	for row := range c.h {
		covered := math.Min(to, float64(row+1)) - math.Max(from, float64(row))
		switch {
		case covered >= 0.5 && in == inkPlain:
			c.cell(col, row, ' ', tcell.StyleDefault)
		case covered >= 0.5:
			c.cell(col, row, c.look.glyph.fill(in), c.look.style(in))
		case covered > 0.1 && in != inkPlain:
			c.cell(col, row, c.look.glyph.partly, c.look.style(in))
		default:
			c.cell(col, row, c.look.glyph.sheet, c.look.style(ground))
		}
	}
}

// ripples gives the spacing of a run's ripples: none without a rod.
func ripples(a weld.Answer) weld.Length {
	if a.Filler == weld.NoFiller {
		return 0
	}
	return a.DabSpacing
}

// ripple says whether the edge of a dab falls here; ripples closer than three
// columns would run into one grey.
func (p *seamPicture) ripple(at weld.Length, w int) bool {
	column := float64(p.seam) / float64(w)
	if p.dab <= 0 || float64(p.dab) < 3*column {
		return false
	}
	dabs := func(x float64) float64 { return math.Floor(x / float64(p.dab)) }
	return dabs(float64(at)+column/2) > dabs(float64(at)-column/2)
}

// tintInk gives the ink of a face colour.
func tintInk(colour string) ink {
	switch colour {
	case "straw":
		return inkStraw
	case "brown to purple":
		return inkPurple
	case "blue":
		return inkBlue
	case "dark blue":
		return inkDarkBlue
	case "grey":
		return inkGrey
	case "black":
		return inkBlack
	}
	return inkBead
}

func lengthUnit(sys weld.System) string {
	if sys == weld.Imperial {
		return "in"
	}
	return "mm"
}

// ruler gives the scale under a strip of w cells: ticks, numbers, and their unit.
func ruler(g glyphs, seam weld.Length, w int, sys weld.System) (ticks, numbers, unit string) {
	per := 1.0
	unit = lengthUnit(sys)
	if sys == weld.Imperial {
		per = weld.Inch.MM()
	}
	length := seam.MM() / per
	if w < 8 || length <= 0 {
		return "", "", unit
	}
	step := view.NiceStep(length / float64(w) * 8)
	line := []rune(strings.Repeat(string(g.tickLine), w))
	row := []rune(strings.Repeat(" ", w))
	for i := 0; ; i++ {
		v := float64(i) * step
		at := int(math.Round(v / length * float64(w-1)))
		if at >= w {
			break
		}
		line[at] = g.tickMark
		n := strconv.FormatFloat(v, 'g', 4, 64)
		copy(row[max(0, min(at, w-len(n))):], []rune(n))
	}
	return string(line), strings.TrimRight(string(row), " "), unit
}

// tintRow writes the colours of a side under its strip: each word where the
// colour is, or its first letter where the stretch is too short. It is empty
// when all of it is bright.
func tintRow(c scoring.Coupon, seam weld.Length, w int, back bool) string {
	cols := view.Columns(c, seam, w)
	name := func(i int) string {
		n := cols[i].Colour
		if back {
			n = cols[i].BackColour
		}
		if n == "" || back && cols[i].BackWidth <= 0 {
			return "bright"
		}
		return n
	}
	var b strings.Builder
	plain := true
	for i := 0; i < len(cols); {
		j := i
		for j < len(cols) && name(j) == name(i) {
			j++
		}
		word := name(i)
		plain = plain && word == "bright"
		if word == "bright" {
			word = ""
		}
		if len(word) > j-i {
			word = word[:1]
		}
		fmt.Fprintf(&b, "%-*s", j-i, word)
		i = j
	}
	if plain {
		return ""
	}
	return b.String()
}
