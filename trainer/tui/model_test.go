package tui

import (
	"strings"
	"testing"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/session/view"
)

func TestText(t *testing.T) {
	for in, want := range map[string]string{
		"plain":              "plain",
		"a\tb\nc":            "a b c",
		"\x1b[2Jx\x00\x7f":   "[2Jx",
		"a\u202eb\u200bc":    "abc",
		"\xff!":              "?!",
		"\u26a0\ufe0f":       "\u26a0",
		"[red]not markup[-]": "[red]not markup[-]",
	} {
		assert.Equal(t, want, text(in), "%q", in)
	}
}

func TestWrap(t *testing.T) {
	assert.Equal(t, []string{"dab more", "often"}, wrap("dab more often", 9))
	assert.Equal(t, []string{"abcd", "efgh", "i j"}, wrap("abcdefghi j", 4))
	assert.Nil(t, wrap("  ", 9))
	assert.Equal(t, []string{"\ud55c", "\uad6d"}, wrap("\ud55c\uad6d", 1), "wider than the line, and still an end")
	assert.Equal(t, "dab mo..", shorten("dab more often", 8, ".."))
	assert.Equal(t, "dab", shorten("dab", 8, ".."))
	assert.Equal(t, []string{"why   one two", "      three"}, texts(labelled("why", "one two three", 6, 14, inkPlain)))
}

func TestFooterKeepsTheHelpKey(t *testing.T) {
	all := func(action) bool { return true }
	for name := range keyTable {
		for _, w := range []int{20, 40, 78, 200} {
			got := keyTable.footer(name, w, all).String()
			assert.LessOrEqual(t, width(got), w, name)
			if name != onAsk && name != onWeld && name != onHelp {
				assert.Contains(t, got, "keys", name)
			}
		}
	}
	assert.Equal(t, "enter open   q quit   ? keys", keyTable.footer(onChoose, 78, func(a action) bool { return a == actOpen || a == actQuit || a == actHelp }).String())
}

func TestEveryKeyMeansOneThingAtATime(t *testing.T) {
	// Rows that share a key must be told apart by what is possible.
	apart := map[[2]action]bool{
		{actWeld, actOpen}: true, {actOpen, actVerdict}: true, {actClear, actBack}: true, {actNumbers, actSigns}: true, {actCoupons, actSkills}: true,
		{actStrike, actPutOut}: true, {actWindow, actFindings}: true, {actWindow, actPictures}: true, {actFindings, actPictures}: true, {actFindings, actBack}: true, {actPictures, actBack}: true,
		{actWindow, actCoupons}: true, {actWindow, actQuestion}: true, {actCoupons, actQuestion}: true, {actCoupons, actPictures}: true, {actQuestion, actPictures}: true,
		{actClockStop, actClockGo}: true, {actOpen, actGoOn}: true, {actAgain, actGoOn}: true, {actLeave, actBack}: true,
		{actWindow, actSections}: true, {actCoupons, actSections}: true, {actSections, actQuestion}: true, {actSections, actPictures}: true,
	}
	for name, cmds := range keyTable {
		for i, a := range cmds {
			for _, b := range cmds[i+1:] {
				for _, k := range a.keys {
					for _, other := range b.keys {
						assert.False(t, k == other && !apart[[2]action{a.act, b.act}], "%s: %v", name, k)
					}
				}
			}
		}
	}
}

func bench(t *testing.T, id string) *benchModel {
	t.Helper()
	return newBenchModel(session.New(sessiontest.Joint(id), sessiontest.Options(nil)))
}

func TestBenchFocusWalksTheFields(t *testing.T) {
	m := bench(t, "T-01")
	m.move(-1)
	assert.Equal(t, 3, m.focus)
	m.move(1)
	assert.Zero(t, m.focus)

	m.set(0, "6o")
	assert.Equal(t, "1 to 400 A", texts(m.message(70))[0], "nothing is held against what is being typed")
	m.next()
	assert.Zero(t, m.focus, "a wrong value holds the focus so that the reason is read")
	assert.Contains(t, texts(m.message(70))[0], "is not a current")
	m.set(0, "60")
	m.next()
	assert.Equal(t, 1, m.focus)
	m.set(2, "3")
	m.set(1, "120")
	m.next()
	assert.Equal(t, 3, m.focus, "fields that hold a value are passed over")
	assert.False(t, m.ready())
	m.step(1)
	assert.True(t, m.ready())
}

func TestBenchChoices(t *testing.T) {
	m := bench(t, "C-01")
	at := func(key string) {
		for i, e := range m.s.Entries() {
			if e.Field.Key == key {
				m.move(i - m.focus)
			}
		}
	}
	now := func() string { e, _ := m.entry(); return e.Text }
	at("filler")
	for _, c := range []struct {
		do   func()
		want string
	}{
		{func() { m.letter('e') }, "ER70S-2"},
		{func() { m.letter('r') }, "ER70S-2"},
		{func() { m.letter('5') }, "ER5356"},
		{func() { m.letter('n') }, "none"},
		{func() { m.letter('#') }, "none"},
		{func() { m.step(1) }, "ER70S-2"},
		{func() { m.step(-1) }, "none"},
		{func() { m.clear() }, ""},
		{func() { m.step(-1) }, "none"},
	} {
		c.do()
		assert.Equal(t, c.want, now())
	}
	at("tungsten")
	m.letter('w')
	assert.Equal(t, "WP", now())
	m.letter('w')
	assert.Equal(t, "WT20", now(), "the same letter again takes the next")
	at("amps")
	m.step(1)
	assert.Empty(t, now())
	assert.Nil(t, m.choices())
}

func TestLayoutForm(t *testing.T) {
	tee, corner := bench(t, "T-01").s.Entries(), bench(t, "C-01").s.Entries()
	l := layoutForm(tee, weld.Metric, 78)
	assert.Equal(t, 2, l.cols)
	assert.Equal(t, 2, l.rows)
	assert.Equal(t, 1, layoutForm(corner, weld.Metric, 78).cols)
	wide := layoutForm(corner, weld.Metric, 198)
	assert.Equal(t, 3, wide.cols)
	assert.LessOrEqual(t, 3*wide.column(), 198)
	assert.Zero(t, layoutForm(nil, weld.Metric, 78).rows)
}

func TestChooseKeepsTheMarkedJoint(t *testing.T) {
	m := chooseModel{bank: sessiontest.Bank()}
	m.search("")
	m.move(2)
	m.search("gusset")
	sc, ok := m.marked()
	assert.True(t, ok)
	assert.Equal(t, "T-01", sc.ID)
	m.search("")
	assert.Equal(t, 2, m.cursor)
	m.move(99)
	assert.Equal(t, 2, m.cursor)
	m.search("no such thing")
	_, ok = m.marked()
	assert.False(t, ok)
	m.move(1)
	_, ok = m.marked()
	assert.False(t, ok)
	for w := 78; w < 250; w++ {
		sum := -1
		for _, c := range chooseColumns(sessiontest.Bank(), weld.Imperial, w) {
			sum += c.width + 1
		}
		assert.LessOrEqual(t, sum, w)
	}
	for joint, want := range map[weld.Joint]string{weld.SquareButt: "butt", weld.TeeFillet: "tee", weld.LapFillet: "lap", weld.OutsideCorner: "corner", weld.EdgeWeld: "edge", weld.TubeButt: "tube", weld.TubeSaddle: "saddle"} {
		assert.Equal(t, want, shortJoint(string(joint)))
	}
}

func TestRuler(t *testing.T) {
	ticks, numbers, unit := ruler(asciiGlyphs, 60*weld.Millimetre, 61, weld.Metric)
	assert.Equal(t, "+---------+---------+---------+---------+---------+---------+", ticks)
	assert.Equal(t, "0         10        20        30        40        50       60", numbers)
	assert.Equal(t, "mm", unit)
	_, numbers, unit = ruler(asciiGlyphs, 2*weld.Inch, 61, weld.Imperial)
	assert.Equal(t, "in", unit)
	assert.True(t, strings.HasPrefix(numbers, "0"))
	assert.Contains(t, numbers, "1.5")
	ticks, _, _ = ruler(asciiGlyphs, 0, 61, weld.Metric)
	assert.Empty(t, ticks)
}

// drawn draws a primitive on a screen of its own size.
func drawn(t *testing.T, p tview.Primitive, w, h int) string {
	t.Helper()
	sim := tcell.NewSimulationScreen("UTF-8")
	require.NoError(t, sim.Init())
	sim.SetSize(w, h)
	p.SetRect(0, 0, w, h)
	p.Draw(sim)
	return snapshot(sim).String()
}

func asciiLook() *look { return &look{theme: Mono, glyph: asciiGlyphs} }

// welded gives a session with one coupon.
func welded(t *testing.T, amps, dab string) *session.Session {
	t.Helper()
	s := session.New(sessiontest.Joint("T-01"), sessiontest.Options(nil))
	for key, text := range map[string]string{"amps": amps, "travel": "120", "dab": dab, "direction": "push"} {
		require.NoError(t, s.Set(key, text))
	}
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	return s
}

func TestSeamPicture(t *testing.T) {
	a, _ := welded(t, "60", "3").Last()
	p := newSeamPicture(asciiLook(), a.Verdict.Coupon, 60*weld.Millimetre)
	assert.Equal(t, strings.Join([]string{
		"...::::::::::::::::::..:::::",
		"#####################  #####",
		"#####################  #####",
		"...::::::::::::::::::..:::::",
		"",
	}, "\n"), drawn(t, p, 28, 4), "the bead widens and has a hole")

	p.done, p.hot = 30*weld.Millimetre, sessiontest.Joint("T-01").Task
	assert.Equal(t, strings.Join([]string{
		"...:::::::::::..............",
		"++++++++%%%@@@::::::::::::::",
		"++++++++%%%@@@::::::::::::::",
		"...:::::::::::..............",
		"",
	}, "\n"), drawn(t, p, 28, 4), "half way, with the pool in front of the open seam and the run glowing behind it")

	p = newSeamPicture(&look{theme: Dark, glyph: unicodeGlyphs}, a.Verdict.Coupon, 60*weld.Millimetre)
	assert.NotContains(t, drawn(t, p, 28, 3), "?")
	assert.NotPanics(t, func() { drawn(t, p, 1, 1) })
}

// Every colour but the bare metal's is drawn in its own ink, and without colour by its own letter.
func TestTints(t *testing.T) {
	seen := map[ink]string{}
	for _, colour := range []string{"bright", "straw", "brown to purple", "blue", "dark blue", "grey", "black"} {
		in := tintInk(colour)
		assert.Empty(t, seen[in], colour)
		seen[in] = colour
		assert.NotZero(t, asciiFill[in], colour)
		assert.NotZero(t, unicodeFill[in], colour)
	}
}

func TestTintRow(t *testing.T) {
	a, _ := welded(t, "60", "3").Last()
	row := tintRow(a.Verdict.Coupon, 60*weld.Millimetre, 80, false)
	assert.Equal(t, strings.Repeat(" ", 61)+"grey", strings.TrimRight(row, " "))
	assert.Equal(t, "g", strings.TrimSpace(tintRow(a.Verdict.Coupon, 60*weld.Millimetre, 40, false)), "too short a stretch for the word")
	a, _ = welded(t, "60", "1.5").Last()
	assert.Empty(t, tintRow(a.Verdict.Coupon, 60*weld.Millimetre, 60, false), "all bright")
}

func TestSectionPicture(t *testing.T) {
	p := newSectionPicture(asciiLook(), sessiontest.Joint("T-01").Task, weld.Metric)
	got := drawn(t, p, 40, 14)
	assert.Contains(t, got, "gravity v")
	assert.Contains(t, got, "// base   \\\\ web")
	assert.NotContains(t, got, "torch")
	assert.Contains(t, got, " mm")
	inch := newSectionPicture(asciiLook(), sessiontest.Joint("T-01").Task, weld.Imperial)
	assert.Regexp(t, `\|-+\| 0\.\d+ in `, drawn(t, inch, 40, 14))
	p.torch = &view.PlainTorch
	assert.Contains(t, drawn(t, p, 40, 14), "torch")
	if Raced {
		return // one goroutine, and a thousand pictures
	}
	for _, pos := range weld.Positions {
		for _, j := range weld.Joints {
			task := sessiontest.Joint("T-01").Task
			task.Joint, task.Position = j, pos
			for _, l := range []*look{asciiLook(), {theme: Dark, glyph: unicodeGlyphs}, {theme: Mono, glyph: unicodeGlyphs}} {
				p := newSectionPicture(l, task, weld.Metric)
				p.torch = &view.PlainTorch
				for _, size := range [][2]int{{1, 1}, {8, 4}, {40, 16}} {
					assert.NotPanics(t, func() { drawn(t, p, size[0], size[1]) })
				}
			}
		}
	}
}

func TestPatch(t *testing.T) {
	l := &look{theme: Dark, glyph: unicodeGlyphs}
	for _, c := range []struct {
		spots [4]ink
		want  rune
	}{
		{[4]ink{}, ' '},
		{[4]ink{inkBead, inkBead, inkBead, inkBead}, '█'},
		{[4]ink{inkBead, inkBead, 0, 0}, '▀'},
		{[4]ink{0, inkBead, 0, inkBead}, '▐'},
		{[4]ink{inkBead, 0, 0, 0}, '▘'},
		{[4]ink{inkBead, inkBead, inkBead, 0}, '▛'},
	} {
		r, st := l.patch(c.spots)
		assert.Equal(t, string(c.want), string(r))
		_, bg, _ := st.Decompose()
		assert.Equal(t, tcell.ColorDefault, bg, "nothing is the terminal's own background")
	}
	_, st := l.patch([4]ink{inkSheetA, inkSheetA, inkBead, inkBead})
	fg, bg, _ := st.Decompose()
	assert.ElementsMatch(t, []tcell.Color{l.colour(inkSheetA), l.colour(inkBead)}, []tcell.Color{fg, bg})
}

func TestCouponModel(t *testing.T) {
	m := newCouponModel(welded(t, "60", "3"))
	assert.InDelta(t, 47.5, m.at.MM(), 1e-9)
	assert.Equal(t, "hole", m.measures()[0].Text)
	assert.Equal(t, "at 47.5 mm, worst   heat input 0.180 kJ/mm", m.head(60).String())
	m.move(-2)
	assert.Zero(t, m.at)
	assert.Zero(t, m.column(70))
	m.move(2)
	assert.Equal(t, 69, m.column(70))
	assert.Equal(t, "5.75 mm", m.measures()[0].Text)
	assert.Len(t, m.measureLines(6, false), 6)
	assert.Equal(t, "face width     5.75 mm      4.25 mm", texts(m.measureLines(12, true))[1])
	assert.Len(t, m.tableLines(8), 8)
}

func TestVerdictModel(t *testing.T) {
	s := welded(t, "60", "3")
	_, err := s.Say("undercut")
	require.NoError(t, err)
	m := newVerdictModel(s)
	text := strings.Join(texts(m.scoreLines(asciiLook(), 78)), "\n")
	assert.Contains(t, text, "REJECT x  a keyhole opened")
	assert.Contains(t, text, "burn-through     31 x  ============........|")
	assert.Contains(t, text, "no sign of it")
	few := strings.Join(texts(m.findingLines(78)), "\n")
	assert.Contains(t, few, "1 more")
	assert.NotContains(t, few, "distortion")
	assert.NotContains(t, few, "from  model")
	assert.Equal(t, 1, m.more())
	assert.Contains(t, few, "seen  pool: an eye opens at its front, in the gap, 44 to 46 mm (the gap")
	assert.Contains(t, few, "what else was to be seen\npool     bright as a mirror, flows out to both edges (clean metal")
	m.sources = true
	assert.Contains(t, strings.Join(texts(m.findingLines(78)), "\n"), "from  model")
	m.all = true
	assert.Contains(t, strings.Join(texts(m.findingLines(78)), "\n"), "distortion")
	assert.True(t, view.TellsAll(3), "beyond beginners all is told")
	assert.False(t, view.TellsAll(2))
	assert.Equal(t, "no record is kept", recordLine(m.s).String())
	m.takeAdvice()
	assert.Contains(t, strings.Join(texts(m.besideLines(78)), "\n"), "ease the pedal")
}

func TestReplayModel(t *testing.T) {
	a, _ := welded(t, "60", "3").Last()
	a.Answer.AmpsEnd = 50
	r := replay{task: sessiontest.Joint("T-01").Task, try: a}
	assert.Equal(t, "at     0 mm     60 A     0.0 s", r.readout(weld.Metric).String())
	r.frame = replayFrames
	assert.True(t, r.over())
	assert.Equal(t, "at    60 mm     50 A    30.0 s   glows 31.8 mm back", r.readout(weld.Metric).String())
	assert.Equal(t, []string{"pool     bright as a mirror, flows out to both edges"}, texts(signLines(r.signs(weld.Metric), 78, false)))
	r.frame = replayFrames * 45 / 60
	assert.Contains(t, texts(signLines(r.signs(weld.Metric), 78, false))[1], "an eye opens at its front", "where it is")
	assert.Equal(t, "the arc is lit", progressLine(1).String())
	assert.Equal(t, "the arc is lit, 0.3 s", progressLine(3).String())
}

func TestWindowWhileItIsComputed(t *testing.T) {
	s := session.New(sessiontest.Joint("T-01"), sessiontest.Options(nil))
	for key, text := range map[string]string{"amps": "60", "travel": "120", "dab": "1.5", "direction": "push"} {
		require.NoError(t, s.Set(key, text))
	}
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	_, err = s.Say(session.Nothing)
	require.NoError(t, err)
	m := newWindowModel(s)
	dark := &look{theme: Dark, glyph: unicodeGlyphs}
	assert.Equal(t, []string{"settings window  1 of 3", "computing amps and travel ..."}, texts(m.lines(dark, 60, 20)))
	_, err = s.WindowNow(t.Context(), m.axes())
	require.NoError(t, err)
	for _, size := range [][2]int{{46, 36}, {78, 20}, {92, 40}, {20, 5}, {1, 1}, {0, 0}} {
		for _, l := range []*look{dark, {theme: Mono, glyph: asciiGlyphs}} {
			for _, row := range m.lines(l, size[0], size[1]) {
				if size[0] >= 46 {
					assert.LessOrEqual(t, width(row.String()), size[0])
				}
			}
		}
	}
	assert.Len(t, m.lines(dark, 46, 36)[2:27], scoring.WindowY, "every row fits beside the findings of a 120 by 40 screen")
	assert.Contains(t, m.lines(dark, 46, 36)[27].String(), "└")
}

// A joint that is worked through says, after the hints, what a good hand sets there.
func TestAWorkedFieldIsAskedFor(t *testing.T) {
	sc := sessiontest.Joint("T-01")
	sc.Worked = map[string]string{"amps": "1.4 mm is 55 thou, and a tee wants a little more."}
	s := session.New(sc, sessiontest.Options(nil))
	m := newBenchModel(s)
	m.ask()
	assert.Contains(t, m.hint, "an amp for each thousandth")
	m.ask()
	assert.Contains(t, m.hint, "0.8 mm at the far end")
	m.ask()
	assert.Equal(t, "A good hand sets 60 A: 1.4 mm is 55 thou, and a tee wants a little more.", m.hint)
	assert.Len(t, m.message(80), 1)
	assert.Equal(t, 3, s.Hints(), "it counts as a hint")
	m.ask()
	assert.Contains(t, m.hint, "an amp for each thousandth")
	m.move(1)
	m.ask()
	m.ask()
	m.ask()
	assert.NotContains(t, m.hint, "good hand", "travel is not worked through")
}
