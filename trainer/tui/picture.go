package tui

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gdamore/tcell/v2"
)

// Picture walks a session on a screen of w by h cells, in the steps of
// Walker.Walk, and draws the last screen as SVG. The same steps give the same
// bytes when the session's judge, clock and ids do. With "wait 50" the live arc's clock
// goes on by so many ticks; a key may overtake the last of them, which at half speed is
// no step when their number so far is odd.
func Picture(ctx context.Context, opt Options, steps []string, w, h int) ([]byte, error) {
	opt.Settings.Still = true
	ticks := make(chan time.Time)
	opt.Ticks = func(every time.Duration) (<-chan time.Time, func()) {
		if every == arcTick {
			return ticks, func() {}
		}
		return nil, func() {} // nothing else moves
	}
	wk, err := NewWalker(ctx, opt, w, h)
	if err != nil {
		return nil, err
	}
	for _, step := range steps {
		if n, ok := strings.CutPrefix(step, "wait "); ok {
			err = wk.wait(ticks, n)
		} else {
			err = wk.Walk(step)
		}
		if err != nil {
			break
		}
	}
	seen := wk.Seen()
	if closed := wk.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = WriteSVG(&b, seen, themeOf(opt.Settings))
	return b.Bytes(), err
}

// longestWait is ten minutes of the live arc's clock at quarter speed, which is more than
// a run may last.
const longestWait = 60000

// wait lets a clock tick n times.
func (wk *Walker) wait(ticks chan<- time.Time, n string) error {
	count, err := strconv.Atoi(n)
	if err != nil || count < 1 || count > longestWait {
		return fmt.Errorf("step \"wait %.20s\": allowed are 1 to %d ticks", n, longestWait)
	}
	for range count {
		select {
		case ticks <- time.Time{}:
		case <-wk.ended:
			return ErrEnded
		case <-time.After(10 * time.Second):
			return fmt.Errorf("step \"wait %s\": no clock ticks here\nthe live arc's does, once it is struck", n)
		}
	}
	return wk.settle()
}

// Size of a cell in the picture, and of the letters in it.
const (
	cellW, cellH   = 9.0, 18.0
	letterSize     = 15.0
	letterBaseline = 13.5
	margin         = 14.0
)

// WriteSVG draws a snapshot as monospaced text in the theme's colours. Blocks
// are drawn as rectangles, so that they meet whatever the font.
func WriteSVG(w io.Writer, s Snapshot, theme Theme) error {
	paper, pen := "#15171a", "#d4d4d0"
	if theme.Name == Light.Name {
		paper, pen = "#fcfbf7", "#22241f"
	}
	width, height := float64(s.Width)*cellW+2*margin, float64(s.Height)*cellH+2*margin
	out := &svg{w: w}
	out.printf(`<svg xmlns="http://www.w3.org/2000/svg" width="%g" height="%g" viewBox="0 0 %g %g">`+"\n", width, height, width, height)
	out.printf(`<rect width="%g" height="%g" rx="6" fill="%s"/>`+"\n", width, height, paper)
	out.printf(`<g font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="%g" xml:space="preserve">`+"\n", letterSize)
	for y := range s.Height {
		out.row(s.Cells[y*s.Width:(y+1)*s.Width], y, paper, pen)
	}
	out.printf("</g>\n</svg>\n")
	return out.err
}

// svg writes and remembers the first error.
type svg struct {
	w   io.Writer
	err error
}

func (o *svg) printf(format string, args ...any) {
	if o.err == nil {
		_, o.err = fmt.Fprintf(o.w, format, args...)
	}
}

// row draws the cells of a line: backgrounds and blocks as rectangles, the rest
// as text, neighbours alike in one piece.
func (o *svg) row(cells []Cell, y int, paper, pen string) {
	top := margin + float64(y)*cellH
	for x := 0; x < len(cells); {
		c := cells[x]
		fg, bg, bold := colours(c.Style, paper, pen)
		n := 1
		for x+n < len(cells) && cells[x+n].Style == c.Style && isBlock(cells[x+n].Text) == isBlock(c.Text) && (!isBlock(c.Text) || cells[x+n].Text == c.Text) {
			n++
		}
		left, wide := margin+float64(x)*cellW, float64(n)*cellW
		if bg != paper {
			o.rect(left, top, wide, cellH, bg)
		}
		if isBlock(c.Text) {
			for i := range n {
				o.block(c.Text, left+float64(i)*cellW, top, fg)
			}
		} else {
			var text strings.Builder
			for _, c := range cells[x : x+n] {
				text.WriteString(c.Text)
			}
			o.text(text.String(), left, top, fg, bold)
		}
		x += n
	}
}

func (o *svg) rect(x, y, w, h float64, fill string) {
	o.printf(`<rect x="%g" y="%g" width="%g" height="%g" fill="%s" shape-rendering="crispEdges"/>`+"\n", x, y, w, h, fill)
}

// block draws a block character: the cell from below, or its filled quarters.
func (o *svg) block(text string, x, y float64, fill string) {
	r := []rune(text)[0]
	if n := slices.Index(eighths[:], r); n >= 0 {
		o.rect(x, y+cellH*float64(8-n)/8, cellW, cellH*float64(n)/8, fill)
		return
	}
	mask := slices.Index(quadrants[:], r)
	for i := range 4 {
		if mask&(1<<i) != 0 {
			o.rect(x+float64(i%2)*cellW/2, y+float64(i/2)*cellH/2, cellW/2, cellH/2, fill)
		}
	}
}

// text writes the words of a run, each at its own column.
func (o *svg) text(s string, x, y float64, fill string, bold bool) {
	weight := ""
	if bold {
		weight = ` font-weight="bold"`
	}
	runes := []rune(s)
	for i := 0; i < len(runes); {
		if runes[i] == ' ' {
			i++
			continue
		}
		j := i
		for j < len(runes) && runes[j] != ' ' {
			j++
		}
		var word strings.Builder
		_ = xml.EscapeText(&word, []byte(string(runes[i:j])))
		o.printf(`<text x="%g" y="%g" fill="%s"%s textLength="%g" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
			x+float64(i)*cellW, y+letterBaseline, fill, weight, float64(j-i)*cellW, word.String())
		i = j
	}
}

// isBlock says whether a character is a picture's and not a letter.
func isBlock(s string) bool {
	r := []rune(s)
	return len(r) == 1 && r[0] != ' ' && (slices.Contains(quadrants[:], r[0]) || slices.Contains(eighths[:], r[0]))
}

// colours gives the colours of a style as the picture needs them.
func colours(st tcell.Style, paper, pen string) (fg, bg string, bold bool) {
	f, b, attrs := st.Decompose()
	fg, bg = pen, paper
	if f.Valid() && f != tcell.ColorDefault {
		fg = fmt.Sprintf("#%06x", f.Hex())
	}
	if b.Valid() && b != tcell.ColorDefault {
		bg = fmt.Sprintf("#%06x", b.Hex())
	}
	if attrs&tcell.AttrReverse != 0 {
		fg, bg = bg, fg
	}
	return fg, bg, attrs&tcell.AttrBold != 0
}
