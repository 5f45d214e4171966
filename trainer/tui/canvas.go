package tui

import (
	"github.com/gdamore/tcell/v2"
	"github.com/rivo/uniseg"
)

// canvas is a rectangle of the screen to draw on. What does not fit is cut off.
type canvas struct {
	screen     tcell.Screen
	look       *look
	x, y, w, h int
}

// sub gives a rectangle inside the canvas, cut to it.
func (c canvas) sub(x, y, w, h int) canvas {
	x, y = min(max(x, 0), c.w), min(max(y, 0), c.h)
	return canvas{c.screen, c.look, c.x + x, c.y + y, max(0, min(w, c.w-x)), max(0, min(h, c.h-y))}
}

// cell draws one character.
func (c canvas) cell(x, y int, r rune, st tcell.Style) {
	if x >= 0 && y >= 0 && x < c.w && y < c.h {
		c.screen.SetContent(c.x+x, c.y+y, r, nil, st)
	}
}

// put draws a text and gives the column behind it.
func (c canvas) put(x, y int, s string, in ink) int {
	return c.putStyled(x, y, s, c.look.style(in))
}

func (c canvas) putStyled(x, y int, s string, st tcell.Style) int {
	if y < 0 || y >= c.h {
		return x
	}
	state := -1
	for rest := text(s); rest != ""; {
		var cluster string
		var cells int
		cluster, rest, cells, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if x+cells > c.w {
			break
		}
		if x >= 0 && cells > 0 {
			runes := []rune(cluster)
			c.screen.SetContent(c.x+x, c.y+y, runes[0], runes[1:], st)
		}
		x += cells
	}
	return x
}

// line draws a row of text in its inks and gives the column behind it.
func (c canvas) line(x, y int, l line) int {
	for _, s := range l {
		x = c.put(x, y, s.text, s.ink)
	}
	return x
}

// lines draws rows of text from row y on.
func (c canvas) lines(y int, ls []line) {
	for i, l := range ls {
		c.line(0, y+i, l)
	}
}

// right draws a row of text that ends at the right edge.
func (c canvas) right(y int, l line) {
	c.line(c.w-width(l.String()), y, l)
}

// rule draws the thin line across the canvas.
func (c canvas) rule(y int) {
	for x := range c.w {
		c.cell(x, y, c.look.glyph.rule, c.look.style(inkRule))
	}
}

// scroll draws lines from the offset on, says in the last row when there are
// more, and gives the offset brought back into what there is.
func (c canvas) scroll(ls []line, offset int) int {
	offset = max(0, min(offset, len(ls)-c.h))
	for i := range c.h {
		if offset+i < len(ls) {
			c.line(0, i, ls[offset+i])
		}
	}
	mark := func(row int, arrow string) { // over no word
		if word := " " + arrow + " more"; width(ls[offset+row].String())+width(word) <= c.w {
			arrow = word
		}
		c.right(row, line{{arrow, inkFaint}})
	}
	if offset > 0 && c.h > 1 {
		mark(0, c.look.glyph.up)
	}
	if offset+c.h < len(ls) && c.h > 0 {
		mark(c.h-1, c.look.glyph.down)
	}
	return offset
}

// bar draws a score from 0 to 100 with the mark of the limit.
func bar(look *look, value int, limit float64, cells int, in ink) line {
	g := look.glyph
	reached, mark := (value*cells+50)/100, int(limit*float64(cells)/100)
	var out line
	for i := range cells {
		s := span{string(g.empty), inkRule}
		if i < reached {
			s = span{string(g.full), in}
		}
		if i == mark {
			s = span{string(g.limit), inkPlain}
		}
		out = append(out, s)
	}
	return out
}
