package weld_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"puddlewise/scoring/weld"
)

func tube(joint weld.Joint, p weld.Position, diameter, through, branch float64) weld.Task {
	return weld.Task{
		Joint: joint, Position: p, Diameter: weld.Length(diameter) * weld.Millimetre,
		Through: weld.Length(through) * weld.Millimetre, Branch: weld.Angle(branch) * weld.Degree,
	}
}

// A seam is as long as geometry says: a circle, an ellipse where a plane is the
// through tube's limit, and two half ellipses where both tubes are alike.
func TestWayAround(t *testing.T) {
	for _, c := range []struct {
		what   string
		task   weld.Task
		length float64 // mm
	}{
		{"butt: pi d", tube(weld.TubeButt, weld.PA, 38.1, 0, 0), math.Pi * 38.1},
		{"butt: half of it, fixed", tube(weld.TubeButt, weld.PH, 38.1, 0, 0), math.Pi * 38.1 / 2},
		{"upright butt: half", tube(weld.TubeButt, weld.PC, 20, 0, 0), math.Pi * 10},
		// Through tube so large that it is a plane: ellipse of half axes 10 and 10/sin 45 =
		// 14.142; perimeter pi(a+b)(1 + h/4 + h2/64 + ...) = 76.4040 (Ramanujan's second).
		{"plane at 45 deg", tube(weld.TubeSaddle, weld.PA, 20, 1e7, 45), 76.4040},
		{"plane at 90 deg", tube(weld.TubeSaddle, weld.PA, 20, 1e7, 90), math.Pi * 20},
		// Alike and square: two halves of the ellipse with half axes 10 and 10 root 2, the
		// same perimeter. Outside what the trainer takes, but a sharp check.
		{"alike at 90 deg", tube(weld.TubeSaddle, weld.PA, 20, 20, 90), 76.4040},
	} {
		assert.InDelta(t, c.length, c.task.Round().Run().MM(), 3e-5*c.length+1e-3, c.what)
	}
}

// The angle between the tubes at the three places a welder can check with a bevel.
func TestAngleAround(t *testing.T) {
	for _, c := range []struct{ diameter, through, branch float64 }{{25, 40, 60}, {20, 38.1, 90}, {30, 34, 45}} {
		task := tube(weld.TubeSaddle, weld.PB, c.diameter, c.through, c.branch)
		r := task.Round()
		deg := func(share float64) float64 {
			return r.Between(weld.Length(share*float64(r.Run()))) * 180 / math.Pi
		}
		assert.InDelta(t, c.branch, deg(0), 1e-6, "in the crotch it is the branch's own angle")
		assert.InDelta(t, 180-c.branch, deg(1), 1e-6, "at the crown what is left of a straight line")
		flank := 0.0 // where the turn is a quarter
		for s := 0.0; s <= 1; s += 0.002 {
			if math.Abs(r.Turn(weld.Length(s*float64(r.Run())))-math.Pi/2) < 0.01 {
				flank = deg(s)
			}
		}
		assert.InDelta(t, 90+math.Asin(c.diameter/c.through)*180/math.Pi, flank, 0.6, "on the flank 90 + asin(d/D), whatever the branch's angle")
	}
}

// The clock is where gravity says it is.
func TestClock(t *testing.T) {
	at := func(task weld.Task, share float64) (string, float64) {
		r := task.Round()
		x := weld.Length(share * float64(r.Run()))
		return task.Where(x), r.Tilt(x)
	}
	for _, c := range []struct {
		task  weld.Task
		share float64
		where string
		tilt  float64 // of pi
	}{
		{tube(weld.TubeButt, weld.PH, 38, 0, 0), 0, "at 6 o'clock", 1},
		{tube(weld.TubeButt, weld.PH, 38, 0, 0), 1. / 3, "at 4 o'clock", 2. / 3},
		{tube(weld.TubeButt, weld.PH, 38, 0, 0), 0.5, "at 3 o'clock", 0.5},
		{tube(weld.TubeButt, weld.PH, 38, 0, 0), 1, "at 12 o'clock", 0},
		{tube(weld.TubeButt, weld.PJ, 38, 0, 0), 0, "at 12 o'clock", 0},
		{tube(weld.TubeButt, weld.PJ, 38, 0, 0), 0.5, "at 3 o'clock", 0.5},
		{tube(weld.TubeButt, weld.PJ, 38, 0, 0), 1, "at 6 o'clock", 1},
		{tube(weld.TubeSaddle, weld.PH, 25, 40, 60), 0, "at 6 o'clock, crotch", 1},
		{tube(weld.TubeSaddle, weld.PH, 25, 40, 60), 1, "at 12 o'clock, crown", 0},
		{tube(weld.TubeSaddle, weld.PJ, 25, 40, 60), 0, "at 12 o'clock, crown", 0},
		{tube(weld.TubeSaddle, weld.PJ, 25, 40, 60), 1, "at 6 o'clock, crotch", 1},
	} {
		where, tilt := at(c.task, c.share)
		assert.Equal(t, c.where, where, "%s %s at %g", c.task.Joint, c.task.Position, c.share)
		assert.InDelta(t, c.tilt*math.Pi, tilt, 1e-9)
	}
	for where, task := range map[string]weld.Task{
		"":              tube(weld.TubeButt, weld.PA, 38, 0, 0),
		"in the crotch": tube(weld.TubeSaddle, weld.PB, 25, 40, 60),
		"at the crown":  tube(weld.TubeSaddle, weld.PB, 25, 40, 90),
	} {
		got, _ := at(task, 0)
		assert.Equal(t, where, got)
	}
	where, _ := at(tube(weld.TubeSaddle, weld.PB, 25, 40, 60), 0.5)
	assert.Equal(t, "on the flank", where)
	assert.Empty(t, weld.Task{Joint: weld.SquareButt, Position: weld.PA, Seam: 0.1}.Where(0.05))
}

// Whatever the tubes: the turn rises from end to end, the angle stays between the
// tightest and flat, and both halves of a turn are alike.
func TestRoundLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		through := rapid.Float64Range(14, 400).Draw(rt, "through")
		d := rapid.Float64Range(12, min(95, 0.9*through)).Draw(rt, "diameter")
		branch := rapid.Float64Range(45, 90).Draw(rt, "branch")
		task := tube(weld.TubeSaddle, weld.PA, d, through, branch)
		r := task.Round()
		whole := float64(r.Run())
		assert.Greater(rt, whole, math.Pi*d/1e3*0.9999, "a saddle is longer than its branch is around")
		last := -1.0
		for k := range 101 {
			at := weld.Length(whole * float64(k) / 100)
			turn, between := r.Turn(at), r.Between(at)
			assert.Greater(rt, turn, last)
			last = turn
			assert.GreaterOrEqual(rt, between, branch*math.Pi/180-1e-9)
			assert.Less(rt, between, math.Pi)
			assert.InDelta(rt, between, r.Between(weld.Length(whole)-at), 1e-6, "both flanks alike")
		}
		down := task
		down.Position = weld.PJ
		up := task
		up.Position = weld.PH
		for k := range 11 {
			at := weld.Length(whole / 2 * float64(k) / 10)
			assert.InDelta(rt, up.Round().Tilt(at), down.Round().Tilt(weld.Length(whole/2)-at), 1e-9, fmt.Sprint("down is up the other way ", k))
		}
	})
}
