package tui

import (
	"fmt"
	"math"
	"strings"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// sectionPicture draws the joint cut across, to scale, with gravity down the
// picture. The last row holds the scale and the direction of gravity; where there
// is room, one more says which member is which.
type sectionPicture struct {
	*tview.Box
	look   *look
	task   weld.Task
	sys    weld.System // of the scale
	at     weld.Length
	torch  *view.Torch
	coupon *scoring.Station
	close  bool // only what is next to the root
}

func newSectionPicture(l *look, t weld.Task, sys weld.System) *sectionPicture {
	return &sectionPicture{Box: tview.NewBox(), look: l, task: t, sys: sys}
}

// Draw draws the picture. Under it, or beside it where it is low, goes the way around a
// tube, where there is room.
func (p *sectionPicture) Draw(screen tcell.Screen) {
	x, y, w, h := p.GetRect()
	c := canvas{screen, p.look, x, y, w, h}
	if w < 8 || h < 4 {
		return
	}
	const highPicture, widePicture, tubeRows = 20, 28, 8
	if tube, ok := view.TubeView(p.task, p.here()); ok {
		switch {
		case h >= highPicture:
			under := h * 2 / 5
			p.drawTube(c.sub(0, h-under, w, under), tube)
			c = c.sub(0, 0, w, h-under)
		case w >= widePicture && h >= tubeRows:
			beside := w*9/20 - 1
			p.drawTube(c.sub(w-beside, 0, beside, h), tube)
			c = c.sub(0, 0, w-beside-1, h)
		}
	}
	p.drawSection(c)
}

// here is the place to mark on the way around a tube: none on the sheet.
func (p *sectionPicture) here() weld.Length {
	if p.coupon == nil {
		return -1
	}
	return p.at
}

// drawTube draws the way around a tube with its words.
func (p *sectionPicture) drawTube(c canvas, s view.Section) {
	under := []string{view.TubeCaption(p.task)}
	if gravity := "gravity " + p.look.glyph.down; !s.FromAbove && width(under[0])+2+width(gravity) <= c.w {
		under[0] += "  " + gravity
	} else if !s.FromAbove {
		under = append(under, gravity)
	}
	h := c.h - len(under)
	for i, text := range under {
		c.put(0, h+i, text, inkFaint)
	}
	f := fitted(s, c.w, h)
	c.sub(0, 0, c.w, h).paint(func(col, row float64) ink { return sectionInk(s.KindAt(f.point(col, row))) })
	for _, m := range s.Marks {
		col, row := f.cell(m.At)
		for i, text := range m.Lines {
			left := col
			switch m.Align {
			case view.Centred:
				left -= (width(text) - 1) / 2
			case view.Ends:
				left -= width(text)
			}
			c.put(max(0, min(c.w-width(text), left)), max(0, min(h-1, row+i)), text, inkPlain)
		}
	}
}

// framing places a drawing in the middle of so many columns and rows.
type framing struct {
	midY, midZ float64
	w, h       int
	mm         float64 // of a column; a row is two of them
}

func fitted(s view.Section, w, h int) framing {
	return framing{(s.Lo.Y + s.Hi.Y) / 2, (s.Lo.Z + s.Hi.Z) / 2, w, h, math.Max((s.Hi.Y-s.Lo.Y)/float64(w), (s.Hi.Z-s.Lo.Z)/float64(2*h))}
}

// point gives the place of a spot in the picture, counted in columns and rows.
func (f framing) point(col, row float64) view.Point {
	return view.Point{Y: f.midY + (col-float64(f.w)/2)*f.mm, Z: f.midZ - (row-float64(f.h)/2)*2*f.mm}
}

// cell gives the column and row that a place falls into.
func (f framing) cell(p view.Point) (col, row int) {
	return int(math.Floor((p.Y-f.midY)/f.mm + float64(f.w)/2)), int(math.Floor((f.midZ-p.Z)/f.mm/2 + float64(f.h)/2))
}

func (p *sectionPicture) drawSection(c canvas) {
	w, h := c.w, c.h
	rows := h - 1
	if named := p.members(); h >= 10 && width(named.String()) <= w {
		rows--
		c.line(0, h-2, named)
	}
	f := fitted(view.JointSection(p.task, p.options(0)), w, rows)
	pixel := f.mm
	if !p.look.patches() {
		pixel = 2 * f.mm
	}
	s := view.JointSection(p.task, p.options(pixel))
	f.midY, f.midZ = (s.Lo.Y+s.Hi.Y)/2, (s.Lo.Z+s.Hi.Z)/2
	c.sub(0, 0, w, rows).paint(func(col, row float64) ink { return sectionInk(s.KindAt(f.point(col, row))) })
	c.line(0, h-1, p.legend(s, f.mm, w))
	if p.torch != nil {
		col, row := int((s.Tip.Y-f.midY)/f.mm+float64(w)/2), int((f.midZ-s.Tip.Z)/f.mm/2+float64(rows)/2)
		c.put(max(0, min(w-len("torch"), col+3)), max(0, min(rows-1, row)), "torch", inkFaint)
	}
}

// members names the members beside a patch of what they are drawn with.
func (p *sectionPicture) members() line {
	a, b := p.task.Joint.Members()
	if a == b {
		return nil
	}
	swatch := func(i ink) span {
		if p.look.patches() {
			return span{"\u2588\u2588 ", i}
		}
		return span{strings.Repeat(string(p.look.glyph.fill(i)), 2) + " ", i}
	}
	return line{swatch(inkSheetA), {a + "   ", inkFaint}, swatch(inkSheetB), {b, inkFaint}}
}

func (p *sectionPicture) options(minGap float64) view.SectionOptions {
	return view.SectionOptions{At: p.at, MinGap: minGap, Coupon: p.coupon, Torch: p.torch, Close: p.close}
}

// legend is the scale and which way is down.
func (p *sectionPicture) legend(s view.Section, mm float64, w int) line {
	lengths, unit := []float64{1, 2, 5, 10, 20}, 1.0
	if p.sys == weld.Imperial {
		lengths, unit = []float64{0.05, 0.1, 0.2, 0.5, 1}, weld.Inch.MM()
	}
	length := lengths[0]
	for _, n := range lengths {
		if n*unit/mm <= float64(w)/3 {
			length = n
		}
	}
	cells := max(2, int(math.Round(length*unit/mm)))
	g := p.look.glyph
	bar := make([]rune, cells)
	for i := range bar {
		bar[i] = g.tickLine
	}
	bar[0], bar[cells-1] = g.limit, g.limit
	scale := line{{string(bar), inkFaint}, {fmt.Sprintf(" %g %s", length, lengthUnit(p.sys)), inkFaint}}
	gravity := "  gravity " + g.down
	if s.AlongGravity {
		gravity = "  gravity along the seam"
	}
	if where := p.task.Where(p.at); where != "" && width(scale.String())+2+width(where) <= w {
		scale = append(scale, span{"  " + where, inkFaint})
	}
	if width(scale.String())+width(gravity) > w {
		return scale
	}
	return append(scale, span{gravity, inkFaint})
}

func sectionInk(k view.Kind) ink {
	switch k {
	case view.MemberA:
		return inkSheetA
	case view.MemberB:
		return inkSheetB
	case view.Bead:
		return inkBead
	case view.Tungsten:
		return inkTungsten
	}
	return inkPlain
}

// quadrants are the characters for two by two patches, by which are filled:
// 1 upper left, 2 upper right, 4 lower left, 8 lower right.
var quadrants = [16]rune{' ', '▘', '▝', '▀', '▖', '▌', '▞', '▛', '▗', '▚', '▐', '▜', '▄', '▙', '▟', '█'}

// paint fills the canvas from a function that tells what is at a spot, inkPlain
// for nothing; spots are counted in columns and rows from the upper left. With
// colours each cell shows two by two patches, else one character.
func (c canvas) paint(at func(col, row float64) ink) { c.paintIn(c.look.glyph.fill, at) }

// paintIn is paint with the characters for where there are no colours.
func (c canvas) paintIn(fill func(ink) rune, at func(col, row float64) ink) {
	for row := range c.h {
		for col := range c.w {
			var spots [4]ink
			for i := range spots {
				spots[i] = at(float64(col)+0.25+0.5*float64(i%2), float64(row)+0.25+0.5*float64(i/2))
			}
			if c.look.patches() {
				r, st := c.look.patch(spots)
				c.cell(col, row, r, st)
				continue
			}
			if in := common(spots); in != inkPlain {
				c.cell(col, row, fill(in), c.look.style(in))
			}
		}
	}
}

// patch draws four spots with one character in two colours; a third kind of
// spot takes the colour that is more common.
func (l *look) patch(spots [4]ink) (rune, tcell.Style) {
	back := spots[0]
	var count [inks]int
	for _, s := range spots {
		count[s]++
	}
	for _, s := range spots {
		if count[s] > count[back] || count[s] == count[back] && s == inkPlain {
			back = s
		}
	}
	front := back
	for _, s := range spots {
		if s != back && (front == back || count[s] > count[front]) {
			front = s
		}
	}
	// Nothing can only be the background: the terminal's own shows through.
	if front == inkPlain {
		front, back = back, front
	}
	mask := 0
	for i, s := range spots {
		if s == front && front != back {
			mask |= 1 << i
		}
	}
	st := tcell.StyleDefault
	if front != back {
		st = st.Foreground(l.colour(front))
	}
	if back == inkPlain {
		return quadrants[mask], st
	}
	if front == back {
		return quadrants[15], st.Foreground(l.colour(back))
	}
	return quadrants[mask], st.Background(l.colour(back))
}

// common gives what most of the spots are; a tie goes to metal, so that thin
// walls stay closed.
func common(spots [4]ink) ink {
	best, most := inkPlain, 0
	for _, s := range spots {
		n := 0
		for _, o := range spots {
			if o == s {
				n++
			}
		}
		if n > most || n == most && best == inkPlain {
			best, most = s, n
		}
	}
	return best
}
