package tui

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

func TestACountDownStopsAndGoesOn(t *testing.T) {
	at := sessiontest.Time
	c := countdown{limit: 90 * time.Second}
	assert.Equal(t, "1:30", c.text(at.Add(time.Hour)), "not set going")
	c.run(at)
	c.run(at.Add(time.Second)) // it goes already
	assert.Equal(t, "1:20", c.text(at.Add(10*time.Second)))
	assert.Equal(t, "1:20", c.text(at.Add(10*time.Second+time.Millisecond)), "a second that has begun counts whole")
	c.halt(at.Add(30 * time.Second))
	assert.Equal(t, "1:00", c.text(at.Add(time.Hour)))
	c.run(at.Add(time.Hour))
	assert.Equal(t, "0:00", c.text(at.Add(2*time.Hour)))
}

func TestTheClocksOfAShow(t *testing.T) {
	at := sessiontest.Time
	d := drill.Drill{PerJoint: 2 * time.Minute, Whole: 3 * time.Minute}
	m := newShowModel(d, []scenarios.Scenario{sessiontest.Joint("B-01"), sessiontest.Joint("T-01")})
	m.take(0, session.New(m.picked[0], sessiontest.Options(nil)))
	words := func(after time.Duration) string {
		var out []string
		for _, f := range m.faces(at.Add(after)) {
			out = append(out, f.text+" "+f.label)
		}
		return strings.Join(out, ", ")
	}
	m.deciding(at, true)
	assert.Equal(t, "1:30 joint: left, 2:30 drill: left", words(30*time.Second))
	m.deciding(at.Add(30*time.Second), false) // it is welded
	assert.Equal(t, "1:30 joint: left, 2:00 drill: left", words(time.Minute))
	m.deciding(at.Add(time.Minute), true)
	m.stop(at.Add(90 * time.Second))
	assert.Equal(t, "1:00 joint: STOPPED, 1:30 drill: STOPPED", words(time.Hour))
	m.deciding(at.Add(time.Hour), true) // another look at the joint sets nothing going
	m.stop(at.Add(2 * time.Hour))
	assert.Equal(t, "0:01 ! joint: left, 0:31 ! drill: left", words(2*time.Hour+59*time.Second))
	assert.Equal(t, "0:00 joint: TIME IS UP, 0:00 drill: TIME IS UP", words(3*time.Hour))
	m.d.PerJoint = 0
	m.take(1, session.New(m.picked[1], sessiontest.Options(nil)))
	m.at = 1
	assert.NotContains(t, words(0), "joint", "no limit, no clock")
}

func TestBigDigits(t *testing.T) {
	assert.Equal(t, []string{" #    ###", "##  #   #", " #    ###", " #  # #  ", "###   ###"}, bigText("1:2", 1, 1, '#'))
	big := bigText("0", 2, 2, '#')
	assert.Len(t, big, 10)
	assert.Equal(t, []string{"######", "######", "##  ##"}, big[:3])
	for r := range digitRows {
		for _, l := range bigText(string(r), 3, 1, '#') {
			assert.Len(t, l, bigWidth(string(r), 3), "%c", r)
		}
	}
	ascii := &look{theme: Mono, glyph: asciiGlyphs}
	faces := []clockFace{{"joint: left", "4:00", inkPlain}, {"drill: left", "30:00", inkPlain}}
	for _, c := range []struct{ w, h, across, rows int }{{40, 7, 1, 7}, {60, 14, 3, 14}, {90, 24, 4, 24}, {30, 7, 0, 3}, {90, 3, 0, 3}} {
		got := clockLines(ascii, faces, c.w, c.h)
		assert.Len(t, got, c.rows, "%v", c)
		for _, l := range got {
			assert.LessOrEqual(t, width(l.String()), c.w)
		}
		assert.Equal(t, c.across > 0, strings.Contains(got[0].String(), "#"), "%v", c)
	}
}

func TestHandsBeforeAClass(t *testing.T) {
	m := newShowModel(drill.Drill{}, []scenarios.Scenario{sessiontest.Joint("T-01")})
	m.take(0, session.New(m.picked[0], sessiontest.Options(nil)))
	j := m.joint()
	j.texts[0] = "60: 4, 95: 7"
	j.next()
	assert.Equal(t, 1, j.focus)
	j.texts[1] = "quick"
	j.next()
	assert.Equal(t, 1, j.focus, "what cannot be read holds the focus")
	ascii := &look{theme: Mono, glyph: asciiGlyphs}
	assert.Contains(t, strings.Join(texts(j.panelLines(ascii, 70, 3)), " "), "quick")
	j.texts[1] = "120: 6, 200: 6, 500: 1"
	j.next()
	j.texts[2], j.texts[3] = "1.5", "push"
	j.next()
	j.next()
	assert.True(t, j.ready())
	assert.Equal(t, "> weld it: amps 95 A, travel 120 mm/min, dab every 1.5 mm, lean push", j.weldLine().String())
	assert.Equal(t, []string{"120   6 ==================== welded", "200   6 ====================", "500   1 ===="}, texts(barLines(ascii, j.hands["travel"], 37, 3)))
	two := texts(barLines(ascii, j.hands["travel"], 70, 2))
	require.Len(t, two, 2, "as many columns as it takes")
	assert.Contains(t, two[0], "500   1")
	assert.Nil(t, barLines(ascii, j.hands["dab"], 70, 3), "all agree")

	j.texts[0] = ""
	j.focus = 0
	j.move(1)
	assert.False(t, j.ready(), "taken back")
}
