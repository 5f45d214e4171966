package tui

import (
	"strings"
	"unicode"

	"github.com/rivo/uniseg"

	"puddlewise/trainer/session/view"
)

// text makes a string from a file or from the learner safe to draw: control
// characters and direction marks, which would move the cursor or turn a line
// around, are taken out. Nothing is markup: the canvas draws characters, never
// tags. Every string passes through here on its way to a cell.
func text(s string) string {
	clean := func(r rune) rune {
		switch {
		case r == '\t' || r == '\n':
			return ' '
		case r == unicode.ReplacementChar:
			return '?'
		case unicode.IsControl(r), unicode.Is(unicode.Cf, r), r >= 0xfe00 && r <= 0xfe0f:
			return -1
		}
		return r
	}
	return strings.Map(clean, strings.ToValidUTF8(s, "?"))
}

// width is how many cells a string takes.
func width(s string) int { return uniseg.StringWidth(text(s)) }

// wrap breaks a text between words so that no line is wider than w.
func wrap(s string, w int) []string {
	var lines []string
	line := ""
	for _, word := range view.Words(text(s)) {
		for width(word) > w && w > 0 {
			if line != "" {
				lines, line = append(lines, line), ""
			}
			head := fit(word, w)
			lines, word = append(lines, head), word[len(head):]
		}
		switch {
		case line == "":
			line = word
		case width(line)+1+width(word) > w:
			lines, line = append(lines, line), word
		default:
			line += " " + word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// fit gives the longest beginning of s that takes at most w cells, and at least
// one character, so that whoever loops over the rest comes to an end.
func fit(s string, w int) string {
	used, at, state := 0, 0, -1
	for rest := s; rest != ""; {
		var cluster string
		var cells int
		cluster, rest, cells, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if used+cells > w && at > 0 {
			break
		}
		used, at = used+cells, at+len(cluster)
	}
	return s[:at]
}

// shorten cuts s to w cells and shows that it did.
func shorten(s string, w int, dots string) string {
	s = text(s)
	if width(s) <= w {
		return s
	}
	if w <= width(dots) {
		return fit(s, w)
	}
	return fit(s, w-width(dots)) + dots
}

// span is a stretch of text in one ink.
type span struct {
	text string
	ink  ink
}

// line is a row of text.
type line []span

// plainLine is a line in the ordinary ink.
func plainLine(s string) line { return line{{s, inkPlain}} }

// String gives the text of the line without its inks.
func (l line) String() string {
	var b strings.Builder
	for _, s := range l {
		b.WriteString(s.text)
	}
	return b.String()
}

// paragraph wraps a text into lines of one ink.
func paragraph(s string, w int, in ink) []line {
	var out []line
	for _, l := range wrap(s, w) {
		out = append(out, line{{l, in}})
	}
	return out
}

// labelled wraps a text beside a label; the text keeps its left edge.
func labelled(label, s string, labelWidth, w int, in ink) []line {
	var out []line
	for i, l := range wrap(s, w-labelWidth) {
		if i > 0 {
			label = ""
		}
		out = append(out, line{{padTo(label, labelWidth), inkFaint}, {l, in}})
	}
	return out
}

// padTo fills s with blanks to w cells.
func padTo(s string, w int) string {
	if n := w - width(s); n > 0 {
		return s + strings.Repeat(" ", n)
	}
	return s
}

// padLeft fills s with blanks on its left to w cells.
func padLeft(s string, w int) string {
	if n := w - width(s); n > 0 {
		return strings.Repeat(" ", n) + s
	}
	return s
}

// texts gives the lines without their inks, for tests.
func texts(ls []line) []string {
	var out []string
	for _, l := range ls {
		out = append(out, strings.TrimRight(l.String(), " "))
	}
	return out
}
