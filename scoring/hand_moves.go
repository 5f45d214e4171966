package scoring

import (
	"math"
	"slices"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// HandMove names what of a hand's motion is changed.
type HandMove string

// The moves of a hand that can be changed.
const (
	HandPedal   HandMove = "pedal"
	HandBackOff HandMove = "back_off"   // the pedal, bit by bit along the seam
	HandTravel  HandMove = "travel"     // how quickly the taps follow each other
	HandWait    HandMove = "wait"       // before the first tap
	HandStand   HandMove = "stand"      // the longest, on the way
	HandDab     HandMove = "dab"        // how far apart the dabs lie
	HandOneDab  HandMove = "one_dab"    // one more of them
	HandArc     HandMove = "arc_length" // held
	HandRod     HandMove = "rod_tip"    // how far the rod is withdrawn
	HandFree    HandMove = "free"       // a rod that froze to the sheet
	HandAim     HandMove = "aim"
	HandEase    HandMove = "ease" // out of the pedal at the end
	HandOn      HandMove = "on"   // to the end of the seam
)

// HandChange is one change of a hand's motion in a live run.
type HandChange struct {
	Move     HandMove
	From, To weld.Length // places along the seam between which it holds; To is 0 for to the end
	Second   float64     // of the run as it was at From
	Was, Now float64     // A, m, m/s or s; of dabs 0 for none
	Tap      weld.Length // of travel: how far a tap goes in the mean
}

// track is what a hand did in a run.
type track struct {
	inputs []puddle.Input
	steps  int
}

// followed is a track as it went.
type followed struct {
	track
	x, amps                []float64 // m and A at each step, its inputs done
	struck, moved, stopped int       // steps of the first arc, first and last move; -1
	out                    int       // step of the last arc out, or the run's end
}

func (t track) follow(set weld.Answer, seam float64) followed {
	f := followed{track: t, x: make([]float64, t.steps), amps: make([]float64, t.steps), struck: -1, moved: -1, stopped: -1, out: t.steps}
	at, amps, next := 0.0, float64(set.Amps), 0
	for n := range t.steps {
		for ; next < len(t.inputs) && t.inputs[next].Step <= n; next++ {
			switch in := t.inputs[next]; in.Do {
			case puddle.Arc:
				if in.Value == 1 && f.struck < 0 {
					f.struck = n
				}
				f.out = t.steps
				if in.Value == 0 {
					f.out = n
				}
			case puddle.Pedal:
				amps = in.Value
			case puddle.Move:
				if f.struck >= 0 && at < seam {
					at, f.stopped = math.Min(seam, at+float64(in.Value*1e-3)), n
					if f.moved < 0 {
						f.moved = n
					}
				}
			}
		}
		f.x[n], f.amps[n] = at, amps
	}
	return f
}

const nearly = 1e-7 // m: places that are one

// reaches gives the first step at which the torch is at a place, steps for never.
func (f followed) reaches(at float64) int {
	if at <= nearly {
		return 0
	}
	if n := slices.IndexFunc(f.x, func(x float64) bool { return x >= at-nearly }); n >= 0 {
		return n
	}
	return f.steps
}

// stretch gives the steps between which a change holds.
func (f followed) stretch(c HandChange) (from, to int) {
	from, to = f.reaches(float64(c.From)), f.steps
	if c.To > 0 {
		to = f.reaches(float64(c.To))
	}
	return from, to
}

// taps is stretch from the first move in it to the last.
func (f followed) taps(c HandChange) (from, to int) {
	from, to = f.stretch(c)
	return max(from, f.moved), min(to, f.stopped)
}

// stood gives the two moves with the longest time between them, by their steps; 0, 0 for none.
func (f followed) stood() (a, b int) {
	moves := f.done(puddle.Move, max(0, f.moved), f.stopped+1)
	for i := 1; i < len(moves); i++ {
		if moves[i]-moves[i-1] > b-a {
			a, b = moves[i-1], moves[i]
		}
	}
	return a, b
}

// end gives how far the torch came, m.
func (f followed) end() float64 { return f.x[f.steps-1] }

// before gives the amps before a step's inputs.
func (f followed) before(n int, set weld.Answer) float64 {
	if n == 0 {
		return float64(set.Amps)
	}
	return f.amps[n-1]
}

// dabsAt gives the steps of the dabs from one step to before another.
func (f followed) dabsAt(from, to int) []int { return f.done(puddle.Dab, from, to) }

// done gives the steps at which a deed was done, from one step to before another.
func (f followed) done(d puddle.Deed, from, to int) []int {
	var out []int
	for _, in := range f.inputs {
		if in.Do == d && in.Step >= from && in.Step < to {
			out = append(out, in.Step)
		}
	}
	return out
}

// inOrder sorts inputs by their steps; those of one step stay as they stand.
func inOrder(ins []puddle.Input) []puddle.Input {
	slices.SortStableFunc(ins, func(a, b puddle.Input) int { return a.Step - b.Step })
	return ins
}

// at gives the track with its steps moved in time; to never falls.
func (t track) at(to func(n int) int) track {
	out := track{steps: to(t.steps-1) + 1}
	for _, in := range t.inputs {
		in.Step = to(in.Step)
		out.inputs = append(out.inputs, in)
	}
	return out
}

// secondsOf is the time of so many steps of the run's clock.
func secondsOf(n int) float64 { return float64(float64(n) * puddle.LiveStep) }

// stepsOf gives whole steps of the run's clock for a time, s.
func stepsOf(s float64) int { return int(math.Round(s / puddle.LiveStep)) }

// changed gives the track with a change made; ok is false where there is nothing to change.
func (t track) changed(c HandChange, task weld.Task, set weld.Answer) (out track, ok bool) {
	f := t.follow(set, float64(task.Seam))
	if f.struck < 0 {
		return t, false
	}
	switch c.Move {
	case HandPedal:
		out = f.pedal(c, set)
	case HandBackOff:
		out = f.backedOff(c, set)
	case HandTravel:
		from, to := f.taps(c)
		if f.moved < 0 || to <= from {
			return t, false
		}
		out = t.at(func(n int) int {
			return min(n, from) + int(math.Round(float64(max(0, min(n, to)-from))*c.Was/c.Now)) + max(0, n-to)
		})
	case HandStand:
		a, b := f.stood()
		by := stepsOf(c.Was - c.Now)
		if b-by <= a {
			return t, false
		}
		out = t.at(func(n int) int {
			if n >= b {
				return n - by
			}
			return min(n, b-by)
		})
	case HandWait:
		if f.moved < 0 {
			return t, false
		}
		by := stepsOf(c.Now - c.Was)
		out = t.at(func(n int) int {
			if n >= f.moved {
				return n + by
			}
			return min(n, f.moved+by)
		})
	case HandDab:
		out = f.dabbed(c)
	case HandOneDab:
		n := stepsOf(c.Now)
		out = track{inOrder(append(slices.Clone(t.inputs), puddle.Input{Step: n, Do: puddle.Dab})), t.steps}
	case HandArc:
		out = t.held(puddle.ArcLength, c.Was, c.Now, 0.3e-3, 8e-3)
	case HandRod:
		out = t.held(puddle.RodTip, c.Was, c.Now, 0, 0.1)
	case HandFree:
		out = t.freed(float64(set.RodWithdrawn))
	case HandAim:
		out = t.held(puddle.Aim, c.Was, c.Now, -5e-3, 5e-3)
	case HandEase:
		out = f.eased(c.Now)
	case HandOn:
		out = f.onward(c, set)
	}
	return out, out.steps <= puddle.LiveSteps
}

// The pedal's range, A: that of its deed.
const leastPedal, mostPedal = 5.0, 250.0

// pedal moves the pedal up or down. After the last move, where a hand eases out, it
// is moved in proportion.
func (f followed) pedal(c HandChange, set weld.Answer) track {
	from, to := f.stretch(c)
	by := c.Now - c.Was
	share := 1.0
	if f.stopped >= 0 && f.amps[f.stopped] > 0 {
		share = math.Max(0, 1+by/f.amps[f.stopped])
	}
	moved := func(n int, v float64) float64 {
		if n < from || n >= to {
			return v
		}
		if f.stopped >= from && n > f.stopped {
			v = float64(v * share)
		} else {
			v += by
		}
		return math.Min(mostPedal, math.Max(leastPedal, v))
	}
	set1 := func(n int) puddle.Input {
		return puddle.Input{Step: n, Do: puddle.Pedal, Value: moved(n, f.before(n, set))}
	}
	ins := []puddle.Input{}
	for _, in := range f.inputs {
		if in.Do == puddle.Pedal {
			in.Value = moved(in.Step, in.Value)
		}
		ins = append(ins, in)
	}
	edges := []puddle.Input{}
	if from < f.steps {
		edges = append(edges, set1(from))
	}
	if to < f.steps {
		edges = append(edges, set1(to))
	}
	return track{inOrder(append(edges, ins...)), f.steps} // the edges come before what else is done at their steps
}

// backedOff moves the pedal by more and more along the seam, in whole amps, by all of it
// at the end.
func (f followed) backedOff(c HandChange, set weld.Answer) track {
	by := func(n int) float64 {
		return math.Round(float64((c.Now - c.Was) * (f.x[n] / math.Max(f.end(), nearly))))
	}
	moved := func(n int, v float64) float64 {
		if n > f.stopped && f.amps[f.stopped] > 0 {
			return math.Min(mostPedal, math.Max(leastPedal, float64(v*math.Max(0, 1+by(n)/f.amps[f.stopped]))))
		}
		return math.Min(mostPedal, math.Max(leastPedal, v+by(n)))
	}
	out := track{steps: f.steps}
	for n := 1; n < f.steps; n++ {
		if by(n) != by(n-1) {
			out.inputs = append(out.inputs, puddle.Input{Step: n, Do: puddle.Pedal, Value: moved(n, f.before(n, set))})
		}
	}
	for _, in := range f.inputs {
		if in.Do == puddle.Pedal {
			in.Value = moved(in.Step, in.Value)
		}
		out.inputs = append(out.inputs, in)
	}
	inOrder(out.inputs)
	return out
}

// held moves what is held all along, in m.
func (t track) held(d puddle.Deed, was, now, least, most float64) track {
	by := now - was
	value := func(v float64) float64 { return float64(math.Min(most, math.Max(least, v+by)) * 1e3) }
	out := track{[]puddle.Input{{Step: 0, Do: d, Value: value(was)}}, t.steps}
	for _, in := range t.inputs {
		if in.Do == d {
			in.Value = value(float64(in.Value * 1e-3))
		}
		out.inputs = append(out.inputs, in)
	}
	return out
}

// freed pulls the rod back a little before each dab, so that it gives metal though it froze.
func (t track) freed(rod float64) track {
	const pull = 2.0 // mm
	at := float64(rod * 1e3)
	out := track{steps: t.steps}
	for _, in := range t.inputs {
		switch in.Do {
		case puddle.RodTip:
			at = in.Value
		case puddle.Dab:
			out.inputs = append(out.inputs, puddle.Input{Step: in.Step, Do: puddle.RodTip, Value: math.Min(100, at+pull)}, puddle.Input{Step: in.Step, Do: puddle.RodTip, Value: at})
		}
		out.inputs = append(out.inputs, in)
	}
	return out
}

// dabbed dabs at even distances over a stretch, from the last dab before it on.
func (f followed) dabbed(c HandChange) track {
	from, to := f.stretch(c)
	due := float64(c.From)
	var ins []puddle.Input
	for _, in := range f.inputs {
		if in.Do == puddle.Dab {
			if in.Step < from {
				due = math.Max(due, f.x[in.Step]+c.Now)
			}
			if in.Step >= from && in.Step < to {
				continue
			}
		}
		ins = append(ins, in)
	}
	for n := max(from, f.moved); n < min(to, f.stopped+1); n++ {
		if f.x[n] >= due-nearly {
			ins = append(ins, puddle.Input{Step: n, Do: puddle.Dab})
			due = math.Max(f.x[n], due+c.Now)
		}
	}
	return track{inOrder(ins), f.steps}
}

// eased eases the pedal out to a fifth over s seconds after the last move.
func (f followed) eased(s float64) track {
	last := max(f.stopped, f.struck)
	over := stepsOf(s)
	out := track{steps: last + over + 2}
	for _, in := range f.inputs {
		if in.Step <= last {
			out.inputs = append(out.inputs, in)
		}
	}
	for k := 1; k <= over; k++ {
		amps := math.Max(leastPedal, math.Round(float64(f.amps[last]*(1-float64(0.8*float64(k))/float64(over)))))
		out.inputs = append(out.inputs, puddle.Input{Step: last + k, Do: puddle.Pedal, Value: amps})
	}
	out.inputs = append(out.inputs, puddle.Input{Step: out.steps - 1, Do: puddle.Arc, Value: 0})
	return out
}

// onward goes on to the end of the seam as the hand went, with half a millimetre a tap.
func (f followed) onward(c HandChange, set weld.Answer) track {
	const tap = 0.5e-3
	speed, spacing := float64(set.Travel), float64(set.DabSpacing)
	if f.stopped > f.moved {
		speed = f.end() / float64(float64(f.stopped-f.moved)*puddle.LiveStep)
	}
	if n := len(f.dabsAt(0, f.steps)); n > 0 {
		spacing = f.end() / float64(n)
	}
	last := max(f.stopped, f.struck)
	to := 1 + int(math.Ceil((c.Now-f.end())/speed/puddle.LiveStep))
	var ins []puddle.Input
	for _, in := range f.inputs {
		if in.Step > last {
			in.Step += to
		}
		ins = append(ins, in)
	}
	at, due := f.end(), f.end()+spacing
	for n := 1; n <= to; n++ {
		for at+tap <= float64(f.end()+float64(float64(speed*float64(n))*puddle.LiveStep))+nearly && at < c.Now {
			at += tap
			ins = append(ins, puddle.Input{Step: last + n, Do: puddle.Move, Value: tap * 1e3})
		}
		if set.Filler != weld.NoFiller && at >= due {
			ins = append(ins, puddle.Input{Step: last + n, Do: puddle.Dab})
			due += spacing
		}
	}
	return track{inOrder(ins), f.steps + to}
}
