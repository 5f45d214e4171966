package tui

import (
	"context"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/session/view"
)

// aRun is a made-up run that gets too hot and forgets to dab: 30 s, 48 mm.
func aRun() scoring.Run {
	run := scoring.Run{Answer: weld.Defaults()}
	for n := 0; n < 750; n += scoring.LineEvery {
		t := float64(n) * puddle.LiveStep
		p := puddle.Pool{Step: n, Lit: t < 29, Amps: 60, At: math.Max(0, math.Min(48, math.Floor(4*(t-4))/2)) * 1e-3, Arc: 2e-3, Clear: 2e-3}
		p.Width, p.Ahead, p.Behind = math.Min(4, t)*1e-3, 2e-3, 4e-3
		p.Back, p.Through = math.Max(0, t/5-2)*1e-3, math.Min(1.05, t/5)
		if t > 27 {
			p.Amps = 40
		}
		run.Line = append(run.Line, p)
	}
	for n := 100; n < 500; n += 25 {
		run.Dabs = append(run.Dabs, n)
	}
	run.Verdict = scoring.Verdict{Outcome: scoring.Reject, Reason: "keyhole: gap 0.8 mm, 4.5 mm of melted edge since the last dab; this wall bridges 3 mm", Findings: []scoring.Finding{
		{Rule: "keyhole", Severity: scoring.Defect, From: 35e-3, To: 48e-3, Score: "burn-through", Why: "keyhole", Fix: "dab sooner where the gap is wide"},
		{Rule: "undercut", Severity: scoring.Fault, From: 10e-3, To: 14e-3, Why: "undercut", Fix: "a shorter arc"},
		{Rule: "tungsten_overloaded", Severity: scoring.Fault, Why: "the tungsten is overloaded"},
	}}
	run.Verdict.Coupon.Stations = []scoring.Station{{}, {At: 48e-3}}
	return run
}

// debriefOf opens the page on a run.
func debriefOf(t *testing.T, run scoring.Run, guess string) *debriefPage {
	t.Helper()
	sc := sessiontest.Joint("B-01")
	s := session.New(sc, sessiontest.Options(nil))
	hand := arc.Take(sc, sc.Model).Run() // what it did does not matter here
	_, err := s.TakeRun(s.Hold(hand), run)
	require.NoError(t, err)
	if guess != "" {
		_, err = s.Say(guess)
		require.NoError(t, err)
	}
	sim := tcell.NewSimulationScreen("UTF-8")
	require.NoError(t, sim.Init())
	a := newApp(Options{Bank: sessiontest.Bank()}, sim)
	var cancel context.CancelFunc
	a.ctx, cancel = context.WithCancel(t.Context())
	t.Cleanup(cancel)
	return newDebriefPage(a, s)
}

// settle does what the page asked for, as its background job would.
func (p *debriefPage) settle(t *testing.T) {
	t.Helper()
	if q, ok := p.s.SearchHand(); ok {
		r := <-q.Start(t.Context())
		p.s.FoundHand(q, r.Value)
	}
	select {
	case ask := <-p.asks:
		d, err := session.Await(t.Context(), ask.Start())
		require.NoError(t, err)
		p.dabs[ask.before] = dabTime{d, view.DabWords(d, ask.after)}
	default:
	}
}

func drawnRun(p *debriefPage, w, h int) string {
	sim := p.app.screen.Screen.(tcell.SimulationScreen)
	sim.SetSize(w, h)
	sim.Clear()
	p.draw(canvas{sim, p.app.look, 1, 2, w - 2, h - 4})
	sim.Show()
	return snapshot(sim).String()
}

func TestScreensOfARun(t *testing.T) {
	for _, size := range []struct {
		name string
		w, h int
		look *look
	}{{"80x24", 80, 24, nil}, {"120x40", 120, 40, nil}, {"mono", 80, 24, &look{theme: Mono, glyph: asciiGlyphs}}} {
		p := debriefOf(t, aRun(), "keyhole")
		if size.look != nil {
			p.app.look = size.look
		}
		p.settle(t)
		golden(t, "run-"+size.name, drawnRun(p, size.w, size.h))
	}
}

// golden compares with a file of testdata/screens; -update writes it.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "screens", name+".txt")
	if flag.Lookup("update").Value.String() == "true" {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

func TestLookingThroughARun(t *testing.T) {
	p := debriefOf(t, aRun(), "keyhole")
	at := func() float64 { return view.RunSecond(p.run.Line[p.at]) }
	assert.InDelta(t, 21.4, at(), 0.3, "it opens where the gravest finding begins")
	p.do(actWorst)
	assert.InDelta(t, 9, at(), 0.3)
	p.do(actWorst)
	assert.InDelta(t, 21.4, at(), 0.3, "and round again")
	p.do(actLast)
	p.do(actNextDab)
	assert.InDelta(t, 4, at(), 1e-9, "after the last dab comes the first")
	before, after := view.DabsAbout(p.run, p.at)
	assert.Equal(t, [2]int{100, 125}, [2]int{before, after})
	p.settle(t)
	assert.Contains(t, strings.Join(texts(p.moment(200, 9)), "\n"), "here you had 0.8 s to dab: the pool is ready at 5.0 s, at 5.8 s a keyhole opens; yours came just then")
	p.do(actFirst)
	assert.Contains(t, texts(p.moment(200, 9))[0], "no dab yet")
	busy := p.app.busy
	for range 8 { // leafing asks for the last place only
		p.do(actNextDab)
	}
	assert.LessOrEqual(t, p.app.busy, busy+1)
	p.settle(t)
	assert.Len(t, p.dabs, 2, "what was passed by is not looked for")

	for _, run := range []scoring.Run{{}, {Line: aRun().Line[:1]}, {Line: aRun().Line[:40], Dabs: []int{3}}} { // odd runs
		p := debriefOf(t, run, "")
		for _, act := range []action{actLeft, actRight, actFarRight, actFirst, actLast, actWorst, actNextDab} {
			if p.can(act) {
				p.do(act)
			}
		}
		drawnRun(p, 80, 24)
		drawnRun(p, 200, 60)
	}
}

func TestScreensOfTwoRuns(t *testing.T) {
	before := aRun()
	now := aRun()
	now.Line = now.Line[:120]
	now.Dabs = append(now.Dabs, 520, 550, 580)
	now.Answer.Travel, now.Verdict = 2e-3, scoring.Verdict{Outcome: scoring.Accept, Reason: "nothing stands against it"}
	before.Answer.AmpsEnd, now.Answer.AmpsEnd = 60, 40
	for _, size := range []struct {
		name string
		w, h int
		look *look
	}{{"80x24", 80, 24, &look{theme: Dark, glyph: unicodeGlyphs}}, {"120x40", 120, 40, &look{theme: Dark, glyph: unicodeGlyphs}}, {"mono", 80, 24, &look{theme: Mono, glyph: asciiGlyphs}}} {
		p := newRunPair(sessiontest.Joint("B-01").Task, before, now, [2]string{"before", "now"}, weld.Metric)
		p.next()
		assert.InDelta(t, 9, view.RunSecond(before.Line[p.at]), 0.3)
		golden(t, "runs-"+size.name, strings.Join(texts(p.lines(size.look, size.w-2, size.h-4)), "\n")+"\n")
	}
	for _, odd := range []scoring.Run{{}, {Line: before.Line[:1]}} {
		p := newRunPair(sessiontest.Joint("T-01").Task, odd, odd, [2]string{"yours", "changed"}, weld.Imperial)
		p.move(-5)
		p.move(5)
		p.lines(&look{theme: Mono, glyph: asciiGlyphs}, 78, 20)
	}
}
