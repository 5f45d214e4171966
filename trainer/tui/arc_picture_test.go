package tui

import (
	"strings"
	"testing"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/puddle"
	"puddlewise/trainer/session/sessiontest"
)

// arcAt draws a pool in plain characters, as rows.
func arcAt(t *testing.T, w, h int, change func(*arcPicture)) []string {
	t.Helper()
	sim := tcell.NewSimulationScreen("UTF-8")
	require.NoError(t, sim.Init())
	sim.SetSize(w, h)
	p := &arcPicture{
		look: &look{theme: Mono, glyph: asciiGlyphs}, task: sessiontest.Joint("B-01").Task, lit: true, arc: 1.5, tip: 7, dia: 1.6, rod: 1.6,
		pool: puddle.Pool{Lit: true, At: 0.03, Behind: 4e-3, Ahead: 2e-3, Width: 4e-3}, band: make([]float64, 29),
		bead: func(float64) float64 { return 4 }, signs: map[string]float64{},
	}
	p.task.Gap = 0
	if change != nil {
		change(p)
	}
	c := canvas{sim, p.look, 0, 0, w, h}
	p.draw(c, layoutArc(w, h, p.task.Thinner().MM()))
	return strings.Split(snapshot(sim).String(), "\n")
}

func TestThePictureOfTheArc(t *testing.T) {
	const w, h = 78, 20
	l := layoutArc(w, h, 1.4)
	surface, joint := l.side-1, l.side+1+l.face/2
	plain := arcAt(t, w, h, nil)
	assert.Contains(t, plain[surface], "@@@@@@@@@@@@", "six millimetres of pool at two columns each")
	assert.Contains(t, plain[joint], "@----", "the open seam lies ahead")
	at := func(row string, what string) int { return strings.Index(row, what) }
	tip := at(plain[surface-1], "==")
	assert.Equal(t, l.left+l.column(7), tip, "the rod's tip, seven millimetres ahead")

	// The tungsten's height, by half millimetres.
	var seen []string
	for _, arc := range []float64{0.5, 1, 1.5, 2, 2.5, 9} {
		rows := arcAt(t, w, h, func(p *arcPicture) { p.arc, p.lit = arc, false })
		col := ""
		for _, row := range rows[:surface] {
			col += (row + strings.Repeat(" ", w))[l.left+l.column(0) : l.left+l.column(0)+1]
		}
		seen = append(seen, col)
	}
	assert.Equal(t, []string{"||'", "|V ", "|' ", "V  ", "'  ", "^  "}, seen)

	fouled := arcAt(t, w, h, func(p *arcPicture) { p.pool.Fouled = true })
	assert.Contains(t, fouled[surface-2], "o", "metal on the tungsten")
	far := arcAt(t, w, h, func(p *arcPicture) { p.tip = 12 })
	assert.Contains(t, far[surface-1], "rod >")
	dab := arcAt(t, w, h, func(p *arcPicture) { p.dabs, p.tip = true, 1.5 })
	assert.Less(t, at(dab[surface-1], "=="), tip, "dabbing, the rod is at the pool")
	open := arcAt(t, w, h, func(p *arcPicture) { p.task.Gap, p.pool.Bare, p.pool.Keyhole = 1e-3, 2e-3, 1.2 })
	assert.Contains(t, open[joint], "@    ---", "a hole at the pool's front, in the gap")
	assert.Contains(t, open[surface], "@    ...", "and from the side")
	shut := arcAt(t, w, h, func(p *arcPicture) { p.task.Gap, p.pool.Bare, p.pool.Keyhole = 1e-3, 2e-3, 0.2 })
	assert.Contains(t, shut[joint], "@-------", "a dark line before")
	pointed := arcAt(t, w, h, func(p *arcPicture) { p.signs["pool_pointed"] = 1 })
	assert.Less(t, strings.Count(pointed[joint-1], "@"), strings.Count(plain[joint-1], "@"), "narrower to its tail")
	dull := arcAt(t, w, h, func(p *arcPicture) { p.signs["pool_sluggish"] = 1 })
	assert.Contains(t, strings.Join(dull, ""), "g", "oxide swims on it")
	assert.NotContains(t, strings.Join(plain, ""), "g")
	high := arcAt(t, w, h, func(p *arcPicture) { p.signs["pool_domed"] = 1 })
	assert.Contains(t, high[surface-1], "@@")
	hot := arcAt(t, w, h, func(p *arcPicture) { p.band[16], p.band[10] = 1200, 700 })
	assert.Contains(t, hot[joint], "%", "what glows is drawn so")
	rippled := arcAt(t, w, h, func(p *arcPicture) { p.ripples = []ripple{{-6, 3, 4}} })
	assert.Contains(t, rippled[joint], ")")

	// On a large terminal there is more of it.
	big := layoutArc(118, 36, 1.4)
	assert.Greater(t, big.face, l.face)
	assert.Greater(t, big.per, l.per)
	for _, wall := range []float64{0.5, 1.4, 4} {
		for _, size := range [][2]int{{78, 20}, {118, 36}, {198, 56}} {
			l := layoutArc(size[0], size[1], wall)
			assert.LessOrEqual(t, 3+l.side+1+l.face+5, size[1])
			assert.GreaterOrEqual(t, float64(l.face)*l.mm, 5*wall, "a wide pool has room")
			assert.LessOrEqual(t, l.left+l.width, size[0])
		}
	}
}
