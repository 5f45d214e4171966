package tui

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

const (
	replayFrames = 75 // the whole seam, however long it takes at the torch
	replayTick   = 40 * time.Millisecond
	modelTick    = 100 * time.Millisecond
)

func itoa(n int) string { return strconv.Itoa(n) }

// patience is how many ticks are waited through in silence; shorter runs would only flicker.
const patience = 3

// progressLine says that the model is at work: after the first moments, for
// how long, so that a slow machine does not look like a dead one.
func progressLine(ticks int) line {
	if ticks < patience {
		return plainLine("the arc is lit")
	}
	return plainLine(fmt.Sprintf("the arc is lit, %.1f s", (time.Duration(ticks) * modelTick).Seconds()))
}

// drawnLine says that a joint is being drawn, likewise.
func drawnLine(ticks int) line {
	if ticks < patience {
		return plainLine("the joint is laid out")
	}
	return plainLine(fmt.Sprintf("the joint is laid out, %.1f s", (time.Duration(ticks) * modelTick).Seconds()))
}

// replay is a moment of the weld being run: the share of the seam that is done.
type replay struct {
	frame int
	task  weld.Task
	try   session.Attempt
}

func (r replay) share() float64 { return float64(r.frame) / replayFrames }

func (r replay) at() weld.Length { return weld.Length(float64(r.task.Seam) * r.share()) }

func (r replay) over() bool { return r.frame >= replayFrames }

// signs is what there is to see where the arc is.
func (r replay) signs(sys weld.System) []view.Seen {
	return view.SignsAt(r.task, r.try.Verdict, r.at(), sys)
}

// whereWidth keeps the readout still while the clock runs: room for the longest.
const whereWidth = len("at 12 o'clock, crown")

// readout is what a welder would have in view: where, how long, what the pedal gives.
func (r replay) readout(sys weld.System) line {
	out := line{{"at " + padLeft(r.at().Show(sys), 8), inkPlain}}
	if where := r.task.Where(r.at()); where != "" {
		out = append(out, span{", " + padTo(where, whereWidth), inkPlain})
	}
	out = append(out, span{"   " + padLeft(weld.Current(math.Round(float64(r.try.Answer.CurrentAt(r.share())))).Show(sys), 6), inkPlain})
	if v := r.try.Answer.Travel; v > 0 {
		out = append(out, span{fmt.Sprintf("   %5.1f s", float64(r.at())/float64(v)), inkFaint})
	}
	if glow := min(r.at(), view.GlowLength(r.task, r.try.Verdict.Coupon)); glow > 0 {
		out = append(out, span{"   glows " + padLeft(view.Along(glow, sys), 7) + " back", inkFaint})
	}
	return out
}
