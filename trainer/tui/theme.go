package tui

import (
	"github.com/gdamore/tcell/v2"

	"puddlewise/trainer/record"
	"puddlewise/trainer/session/view"
)

// ink is what a stretch of text or a patch of a picture stands for; the theme
// says how that looks.
type ink uint8

const (
	inkPlain ink = iota
	inkFaint
	inkStrong
	inkFocus // what the keys act on
	inkGood
	inkBad
	inkWarn
	inkRule
	inkField  // what stands in a value box
	inkSheetA // pictures: member A
	inkSheetB // member B
	inkBead   // weld metal
	inkRipple // the edge of a dab
	inkMolten // the pool
	inkGlow   // what glows behind it: view.GlowSteps, hottest first
	inkGlow2
	inkGlow3
	inkGlow4
	inkGlow5
	inkGlow6
	inkSeam     // the joint line before it is welded
	inkTungsten // the electrode
	inkStraw    // tints of the bead, as they come with the heat
	inkPurple
	inkBlue
	inkDarkBlue
	inkGrey
	inkBlack
	inkRod // the filler rod
	inkArc // the arc's light
	inks
)

// Theme is the set of colours for one kind of terminal. Backgrounds are left to
// the terminal, so dark and light only say what the terminal already is.
type Theme struct {
	Name   string
	styles [inks]tcell.Style
	plain  bool // no colour at all: pictures must tell things apart by character
}

// Themes for dark and light terminals, and for none or few colours.
var (
	Dark  = coloured("dark", palette{faint: 245, focus: 179, good: 108, bad: 173, warn: 179, rule: 239, sheetA: 243, sheetB: 239, bead: 252, ripple: 247, molten: 230, seam: 235, tungsten: 109, straw: 186, purple: 96, blue: 67, darkBlue: 24, grey: 241, black: 234, rod: 137, arc: 153})
	Light = coloured("light", palette{faint: 242, focus: 94, good: 28, bad: 124, warn: 94, rule: 250, sheetA: 247, sheetB: 251, bead: 240, ripple: 244, molten: 226, seam: 255, tungsten: 24, straw: 137, purple: 90, blue: 25, darkBlue: 17, grey: 238, black: 232, rod: 130, arc: 75})
	Mono  = mono()
)

// Themes lists the themes by name, the default first.
var Themes = []Theme{Dark, Light, Mono}

// themeOf gives the theme that is set.
func themeOf(s record.Settings) Theme {
	if t, ok := ThemeNamed(s.Theme); ok {
		return t
	}
	return Themes[0]
}

// ThemeNamed finds a theme; ok is false when there is none of that name.
func ThemeNamed(name string) (t Theme, ok bool) {
	for _, t := range Themes {
		if t.Name == name {
			return t, true
		}
	}
	return Theme{}, false
}

// palette holds numbers of the 256-colour palette.
type palette struct {
	faint, focus, good, bad, warn, rule                  int
	sheetA, sheetB, bead, ripple, molten, seam, tungsten int
	straw, purple, blue, darkBlue, grey, black, rod, arc int
}

// heat is how hot metal looks, in any light.
var heat = [len(view.GlowSteps)]int{228, 221, 214, 202, 160, 88}

func coloured(name string, p palette) Theme {
	t := Theme{Name: name}
	fg := func(n int) tcell.Style { return tcell.StyleDefault.Foreground(tcell.PaletteColor(n)) }
	t.styles = [inks]tcell.Style{
		inkPlain: tcell.StyleDefault, inkFaint: fg(p.faint), inkStrong: tcell.StyleDefault.Bold(true), inkFocus: fg(p.focus).Bold(true),
		inkGood: fg(p.good).Bold(true), inkBad: fg(p.bad).Bold(true), inkWarn: fg(p.warn), inkRule: fg(p.rule), inkField: tcell.StyleDefault,
		inkSheetA: fg(p.sheetA), inkSheetB: fg(p.sheetB), inkBead: fg(p.bead), inkRipple: fg(p.ripple), inkMolten: fg(p.molten), inkSeam: fg(p.seam),
		inkTungsten: fg(p.tungsten), inkStraw: fg(p.straw), inkPurple: fg(p.purple), inkBlue: fg(p.blue), inkDarkBlue: fg(p.darkBlue), inkGrey: fg(p.grey), inkBlack: fg(p.black),
		inkRod: fg(p.rod), inkArc: fg(p.arc),
	}
	for i, n := range heat {
		t.styles[inkGlow+ink(i)] = fg(n)
	}
	return t
}

// few is the theme on a terminal of 8 or 16 colours: words are set off by colour, and
// pictures told apart by characters, as without.
func (t Theme) few() Theme {
	if t.plain {
		return t
	}
	const red, green, yellow, blue, magenta, cyan = 1, 2, 3, 4, 5, 6
	focus, warn, hot := yellow, yellow, yellow
	if t.Name == Light.Name { // where yellow cannot be read
		focus, warn, hot = blue, magenta, red
	}
	out := Mono
	out.Name = t.Name
	for in, colour := range map[ink]int{
		inkFocus: focus, inkGood: green, inkBad: red, inkWarn: warn, inkTungsten: cyan, inkMolten: hot, inkGlow: hot, inkGlow2: hot, inkGlow3: hot,
		inkGlow4: red, inkGlow5: red, inkGlow6: red, inkStraw: hot, inkPurple: magenta, inkBlue: cyan, inkDarkBlue: blue,
	} {
		out.styles[in] = out.styles[in].Foreground(tcell.PaletteColor(colour))
	}
	return out
}

// full is the theme on a terminal of all colours: hot metal and tints as they look. The
// rest is asked for by its light as well, as such a terminal may know few by number.
func (t Theme) full() Theme {
	if t.plain {
		return t
	}
	for in, st := range t.styles {
		if fg, _, _ := st.Decompose(); fg != tcell.ColorDefault {
			t.styles[in] = st.Foreground(fg.TrueColor())
		}
	}
	for in, rgb := range map[ink]int32{
		inkMolten: 0xfff8e0, inkGlow: 0xfff0b0, inkGlow2: 0xffd35c, inkGlow3: 0xffa21f, inkGlow4: 0xf26a12, inkGlow5: 0xc93412, inkGlow6: 0x8c1a12,
		inkStraw: 0xd8c06a, inkPurple: 0x8f5a78, inkBlue: 0x5f8fb8, inkDarkBlue: 0x2c4a7c,
	} {
		t.styles[in] = tcell.StyleDefault.Foreground(tcell.NewHexColor(rgb))
	}
	return t
}

func mono() Theme {
	t := Theme{Name: "mono", plain: true}
	for i := range t.styles {
		t.styles[i] = tcell.StyleDefault
	}
	for _, i := range []ink{inkStrong, inkFocus, inkGood, inkBad} {
		t.styles[i] = tcell.StyleDefault.Bold(true)
	}
	return t
}

// look is how this run draws: theme and characters.
type look struct {
	theme Theme
	glyph glyphs
}

func (l *look) style(i ink) tcell.Style { return l.theme.styles[i] }

// colour is the foreground of an ink, to fill a patch with.
func (l *look) colour(i ink) tcell.Color {
	fg, _, _ := l.theme.styles[i].Decompose()
	return fg
}

// patches says whether pictures may be built of coloured half blocks.
func (l *look) patches() bool { return !l.theme.plain && !l.glyph.ascii }

// glyphs are the characters that depend on the terminal.
type glyphs struct {
	ascii              bool
	rule, full, empty  rune
	sheet, partly      rune // plan views without colour: bare sheet, and a cell the bead covers in part
	limit, cursor      rune
	up, down           string
	dots               string
	tickLine, tickMark rune
	corner, edgeMark   rune // of a chart: where its axes meet, a tick on the upright one
}

var (
	unicodeGlyphs = glyphs{rule: '─', full: '━', empty: '─', sheet: '·', partly: '░', limit: '│', cursor: '▲', up: "↑", down: "↓", dots: "…", tickLine: '─', tickMark: '┴', corner: '└', edgeMark: '┤'}
	asciiGlyphs   = glyphs{ascii: true, rule: '-', full: '=', empty: '.', sheet: '.', partly: ':', limit: '|', cursor: '^', up: "^", down: "v", dots: "..", tickLine: '-', tickMark: '+', corner: '+', edgeMark: '+'}
)

// fill gives the character that stands for an ink where pictures cannot use
// colour. Members are hatched in opposite directions, as on a drawing.
func (g glyphs) fill(i ink) rune {
	if g.ascii {
		return asciiFill[i]
	}
	return unicodeFill[i]
}

var (
	asciiFill = [inks]rune{
		inkSheetA: '/', inkSheetB: '\\', inkBead: '#', inkRipple: ')', inkMolten: '@', inkGlow: '%', inkGlow2: '%', inkGlow3: '%', inkGlow4: '+', inkGlow5: '+', inkGlow6: '+', inkSeam: '-', inkTungsten: '|',
		inkStraw: 's', inkPurple: 'p', inkBlue: 'b', inkDarkBlue: 'B', inkGrey: 'g', inkBlack: 'k', inkRod: '=', inkArc: ':',
	}
	unicodeFill = [inks]rune{
		inkSheetA: '░', inkSheetB: '▒', inkBead: '█', inkRipple: '▓', inkMolten: '◦', inkGlow: '▓', inkGlow2: '▓', inkGlow3: '▓', inkGlow4: '▒', inkGlow5: '▒', inkGlow6: '▒', inkSeam: '─', inkTungsten: '│',
		inkStraw: 's', inkPurple: 'p', inkBlue: 'b', inkDarkBlue: 'B', inkGrey: 'g', inkBlack: 'k', inkRod: '═', inkArc: '░',
	}
)
