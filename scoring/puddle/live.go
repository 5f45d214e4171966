package puddle

import (
	"errors"
	"fmt"
	"math"

	"puddlewise/scoring/weld"
)

// LiveStep is the step of a live run's own clock, s. No frame rate and no machine
// changes it, so that the same inputs weld the same coupon.
const LiveStep = 0.04

// LiveSteps is the longest live run: ten minutes.
const LiveSteps = 15000

// Deed is what a hand does at one step.
type Deed string

// The deeds. Where a value is named it is needed, else it is 0.
const (
	Arc       Deed = "arc"        // 1 strikes it, 0 lets it go out
	Pedal     Deed = "amps"       // A from now on
	Move      Deed = "move"       // mm ahead; past the seam's end the torch stays there
	Dab       Deed = "dab"        // the rod touches the pool once
	ArcLength Deed = "arc_length" // mm from now on
	Aim       Deed = "aim"        // mm onto member A from now on; only a fillet feels it
	RodTip    Deed = "rod_tip"    // mm the rod is withdrawn between dabs from now on; further than it was, it pulls a stuck one off
)

// deeds holds what each deed's value may be, in the deed's own unit.
var deeds = map[Deed]struct {
	lo, hi float64
	unit   string
}{
	Arc: {0, 1, ""}, Pedal: {5, 250, "A"}, Move: {0.1, 10, "mm"}, Dab: {0, 0, ""},
	ArcLength: {0.3, 8, "mm"}, Aim: {-5, 5, "mm"}, RodTip: {0, 100, "mm"},
}

// Deeds lists the deeds in the order they are told.
func Deeds() []Deed { return []Deed{Arc, Pedal, Move, Dab, ArcLength, Aim, RodTip} }

// Input is one deed, done before the step of that number is taken.
type Input struct {
	Step  int     `json:"step"`
	Do    Deed    `json:"do"`
	Value float64 `json:"value,omitempty"`
}

// Check says what is wrong with an input, in a line and a hint, or nil.
func (in Input) Check() error {
	d, ok := deeds[in.Do]
	if !ok {
		return fmt.Errorf("do cannot be %.40q\nallowed are %v", string(in.Do), Deeds())
	}
	if in.Step < 0 || in.Step >= LiveSteps {
		return fmt.Errorf("step %d is outside a run\nallowed are 0 to %d", in.Step, LiveSteps-1)
	}
	if !(in.Value >= d.lo && in.Value <= d.hi) || in.Do == Arc && in.Value != 0 && in.Value != 1 {
		return fmt.Errorf("%s cannot be %g %s\nallowed are %g to %g %s", in.Do, in.Value, d.unit, d.lo, d.hi, d.unit)
	}
	return nil
}

// Pool is what there is to be seen at one moment of a live run. Lengths in m, temperatures in C.
type Pool struct {
	Step    int
	Lit     bool
	Amps    float64
	At      float64 // of the arc, from the seam's start
	Behind  float64 // molten face behind and ahead of the arc
	Ahead   float64
	Width   float64 // of the melted face
	Back    float64 // melted far side: its width
	Through float64 // how near the pool is that a hand waits for; 1 and over: there
	Bare    float64 // molten and not bridged, of a gap
	Keyhole float64 // Bare over what the liquid edges hold: 1 opens
	Dabs    int
	Stuck   bool    // the rod's tip is frozen to the sheet and gives no metal
	Arc     float64 // from the tungsten's tip to the metal's face
	Clear   float64 // from the tip to what stands under it: the pool's crown, a fresh dab
	Fouled  bool    // the tungsten has touched
	Gap     float64 // under the arc, and as far ahead as a hand looks
	GapSeen float64
	Draught float64 // m/s across the joint
	Dirt    float64 // 0 to 1: oxide of a dirty spot in the pool
	Spot    float64 // 0 to 1: dirt on the joint ahead, as far as a hand looks
}

// BandAhead and BandBehind are how far the face's temperatures are shown around the arc, m;
// one value for each BandEvery; looksAhead is how far ahead of the arc a hand sees the gap.
const (
	BandBehind, BandAhead, BandEvery = 20e-3, 8e-3, 1e-3
	looksAhead                       = 6e-3
)

// ErrUnlit says that a live run's arc never burned, not for one step.
var ErrUnlit = errors.New("the arc never burned: struck and put out at once is no weld")

// Live is a weld that a hand steps: the same model as Weld, with the torch where the
// hand has it. The settings that a hand does not move come from the answer.
type Live struct {
	r     *run
	task  weld.Task
	step  int
	every int // steps of the clock for one of the heat
	lit   bool
	amps  float64
	x     float64 // of the arc from the seam's start
	rod   float64 // withdrawn, m
	arc   float64 // length as the hand holds it, m
	dabs  int
	stuck bool    // the rod, to the sheet
	froze float64 // where, from the seam's start
	wet   int     // step until which the last dab stands on the pool

	first, last     int // steps of the first arc and of the last arc out
	moved, stopped  int // steps of the first and the last move; -1
	arcTime, energy float64
	sumArc, sumAim  float64 // over the time the arc burnt
	sumRod          float64
	most            float64 // amps
	end             float64 // amps when the torch last moved
	dwell           float64
	dirt            []float64                // share of a dirty spot's oxide by station
	came            [weld.MostHappenings]int // steps at which a draught began; 0 before
	currents        []float64                // A by station, as the arc passed
	laid            []float64                // m2 of filler by station
}

// NewLive lays the joint out for a hand: the arc is out, over the seam's start, the
// pedal at the answer's amps.
func NewLive(t weld.Task, a weld.Answer) *Live { return NewLiveAt(t, a, Fine) }

// NewLiveAt is NewLive at a grade. At the coarse one the heat goes on by two steps of
// the clock at a time.
func NewLiveAt(t weld.Task, a weld.Answer, g Grade) *Live {
	r := newRun(t, a, g)
	r.strike()
	every := 1
	if g == Coarse {
		every = 2
	}
	r.s.setStep(float64(LiveStep * float64(every)))
	l := &Live{
		r: r, every: every, task: t, amps: float64(a.Amps), end: float64(a.Amps), rod: float64(a.RodWithdrawn), first: -1, moved: -1, stopped: -1,
		arc: float64(a.ArcLength), currents: make([]float64, len(r.bare)), laid: make([]float64, len(r.bare)),
	}
	l.soil()
	r.held = l
	return l
}

// Do does one deed now; the input's step is not read.
func (l *Live) Do(in Input) error {
	if err := in.Check(); err != nil {
		return err
	}
	const mm = 1e-3
	switch in.Do {
	case Arc:
		if l.lit && in.Value == 0 {
			l.r.b.LastPool = l.r.poolWidth(l.place())
			l.last = l.step
		}
		l.lit = in.Value == 1
		if l.lit && l.first < 0 {
			l.first = l.step
		}
	case Pedal:
		l.amps = in.Value
	case Move:
		l.move(float64(in.Value * mm))
	case Dab:
		l.dab()
	case ArcLength:
		l.arc = float64(in.Value * mm)
		l.r.a.ArcLength = l.toFace()
		l.r.aimed = 0
	case Aim:
		l.r.a.Aim = weld.Length(float64(in.Value * mm))
		if l.task.Joint.Fillet() {
			l.r.j.torch.y = float64(l.r.a.Aim)
			l.r.aimed = 0
		}
	case RodTip:
		out := float64(in.Value * mm)
		l.stuck = l.stuck && out <= l.rod
		l.rod = out
	}
	return nil
}

func (l *Live) move(by float64) {
	seam := float64(l.task.Seam)
	if l.first < 0 || l.x >= seam {
		return // there is no seam behind an arc that was not struck yet
	}
	if l.moved < 0 {
		l.moved = l.step
	}
	l.x, l.stopped, l.end = math.Min(seam, l.x+by), l.step, l.amps
}

// dab melts a dab off the rod, as long as the answer says, if there is a pool to take
// it. On cold metal the rod freezes to the sheet and gives no more until it is free.
func (l *Live) dab() {
	r := l.r
	if len(r.targets) == 0 || l.stuck {
		return
	}
	x := l.place()
	behind, ahead := r.molten(x, r.melt)
	if behind+ahead == 0 {
		l.stuck, l.froze = true, l.x
		return
	}
	l.wet = l.step + dabStands
	before := math.Max(r.bridged, r.x0)
	// Put in twice at one place it heaps up, three times as thick at most.
	least := float64(r.a.DabSpacing) / 3
	r.dab(x, x, least)
	from, to := math.Min(before, x+ahead-least)-r.x0, x+ahead-r.x0
	if l.dabs == 0 {
		from = 0 // the tack's own metal stands for what lies before it
	}
	l.dabs++
	for k := range l.laid {
		if at := float64(float64(k) * stationEvery); at >= from-stationEvery/2 && at < to+stationEvery/2 {
			l.laid[k] += r.b.DabVolume / math.Max(to-from, least)
		}
	}
}

func (l *Live) place() float64 { return l.r.x0 + l.x }

// Dabs counts the dabs that met a pool.
func (l *Live) Dabs() int { return l.dabs }

// Step takes one step of the clock.
func (l *Live) Step() {
	r, x := l.r, l.place()
	r.a.ArcLength = l.toFace()
	amps := 0.0
	if l.lit {
		amps = l.amps
		l.arcTime += LiveStep
		l.energy += float64(float64(float64(Volts(r.a, weld.Current(amps)))*amps) * LiveStep)
		l.sumArc += float64(float64(r.a.ArcLength) * LiveStep)
		l.sumAim += float64(float64(r.a.Aim) * LiveStep)
		l.sumRod += float64(l.rod * LiveStep)
		l.most = math.Max(l.most, amps)
		if l.moved < 0 {
			l.dwell += LiveStep
		}
		l.currents[l.station()] = amps
	}
	l.step++
	if l.step%l.every != 0 {
		return
	}
	r.beat(x, weld.Current(amps))
	if bare := l.bare(); bare > 0 {
		r.slot(x, bare)
	}
	if l.stuck {
		r.b.RodFast += r.s.tau
		behind, ahead := r.molten(x, r.melt)
		l.stuck = behind+ahead == 0 || l.froze < l.x-behind || l.froze > l.x+ahead
	}
	l.touch()
	l.befall()
	if l.lit && l.moved >= 0 {
		r.look(x, int(math.Round(float64(1000*l.x/float64(l.task.Seam)))), 1000)
	}
}

func (l *Live) station() int {
	return min(max(int(math.Round(l.x/stationEvery)), 0), len(l.currents)-1)
}

// bare gives how much of the pool at a gap is not bridged.
func (l *Live) bare() float64 {
	behind, ahead := l.r.molten(l.place(), l.r.melt)
	return math.Max(0, math.Min(behind+ahead, l.place()+ahead-l.r.bridged))
}

// Pool gives what is to be seen now.
func (l *Live) Pool() Pool {
	r, x := l.r, l.place()
	p := Pool{Step: l.step, Lit: l.lit, Amps: l.amps, At: l.x, Dabs: l.dabs, Stuck: l.stuck}
	p.Behind, p.Ahead = r.molten(x, r.melt)
	p.Width = r.poolWidth(x)
	now := r.rec.nowAt(x)
	a, b := now.profile(r.j.backA), now.profile(r.j.backB)
	if r.j.rootA != nil {
		p.Back = math.Max(a.width(r.melt), b.width(r.melt))
		at := func(corner []share) float64 {
			sum := 0.0
			for _, c := range corner {
				sum += float64(c.part * now.temperature(c.cell, now.theta(c.cell)))
			}
			return sum
		}
		p.Through = rise(math.Min(at(r.j.rootA), at(r.j.rootB)), r.melt)
	} else {
		p.Back = a.reach(r.melt) + b.reach(r.melt)
		p.Through = rise(math.Min(at0(a), at0(b)), r.melt)
	}
	p.Gap, p.GapSeen = r.gapAt(l.x), r.gapAt(l.x+looksAhead)
	p.Draught = float64(l.task.Draught) + l.gust()
	p.Dirt, p.Spot = l.dirtSeen(p.Behind, p.Ahead)
	if p.Gap > 0 {
		p.Bare = l.bare()
		p.Keyhole = p.Bare / BareLimit(p.Gap, r.wall)
	}
	p.Arc, p.Clear, p.Fouled = float64(r.a.ArcLength), float64(r.a.ArcLength)-l.stands(), len(r.b.Touched) > 0
	return p
}

// Band gives the face's temperatures along the joint, C, from BandBehind behind the arc
// to BandAhead ahead of it.
func (l *Live) Band() []float64 {
	n := int(math.Round((BandBehind+BandAhead)/BandEvery)) + 1
	out := make([]float64, n)
	for k := range out {
		t, _ := l.r.rec.nowAt(l.place() - BandBehind + float64(float64(k)*BandEvery)).profile(l.r.j.faceA).max()
		out[k] = t
	}
	return out
}

// Finish lets the part cool from now on and gives the coupon, with the answer that the
// hand's run comes to for whoever reads numbers and not the metal. Of that answer the
// amps are the most that were held and those at the last move, the travel the welded
// length over the time from the first move to the last, the dab spacing the welded
// length over the number of dabs; arc length, aim and rod tip are means over the time
// the arc burnt, and the slope-down is the time from the last move to the arc out when
// the pedal came down in it, else 0. Metal, pool, gap and bead are never means: they
// are what the hand did at each place.
func (l *Live) Finish() (*Bead, weld.Answer, error) {
	r := l.r
	a := r.a
	if l.first < 0 || l.arcTime == 0 {
		return nil, a, ErrUnlit
	}
	if l.lit {
		_ = l.Do(Input{Do: Arc})
	}
	b := r.b
	b.Dwell = l.dwell
	b.Short = math.Max(0, float64(l.task.Seam)-l.x)
	if len(b.Wake) == 0 {
		r.trace(l.place())
	}
	r.cool(l.place())
	b.BeadArea = float64(float64(l.dabs)*b.DabVolume) / l.welded()
	a.Amps, a.AmpsEnd = weld.Current(l.most), weld.Current(l.end)
	a.Travel, a.SlopeDown = 0, 0
	if took := float64(float64(l.stopped-l.moved) * LiveStep); l.moved >= 0 && took > 0 {
		a.Travel = weld.Speed(l.x / took)
	}
	if l.amps < float64(0.8*l.end) && l.stopped >= 0 {
		a.SlopeDown = weld.Duration(float64(float64(l.last-l.stopped) * LiveStep))
	}
	if len(r.targets) > 0 {
		a.DabSpacing = weld.Length(l.welded() / math.Max(1, float64(l.dabs)))
	}
	a.ArcLength, a.Aim = weld.Length(l.sumArc/l.arcTime), weld.Length(l.sumAim/l.arcTime)
	a.RodWithdrawn = weld.Length(l.sumRod / l.arcTime)
	bead, err := r.end()
	return bead, a, err
}

// welded is how far the torch came, m; never 0.
func (l *Live) welded() float64 { return math.Max(l.x, stationEvery) }

func (l *Live) heatInput() float64 { return l.energy / l.welded() }

// currentAt gives the current as the arc passed a station: at one it jumped over, that before it.
func (l *Live) currentAt(k int) float64 {
	for ; k > 0 && l.currents[k] == 0; k-- {
	}
	return l.currents[k]
}

// fillAt gives the filler's area at a station, levelled over the pool's reach of 2 mm either way.
func (l *Live) fillAt(k int) float64 {
	sum, n := 0.0, 0.0
	for i := max(0, k-2); i <= min(len(l.laid)-1, k+2); i++ {
		sum, n = sum+l.laid[i], n+1
	}
	return sum / n
}
