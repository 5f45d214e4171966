package weld

import (
	"math"
	"sort"
	"strconv"

	"puddlewise/scoring/detmath"
)

// A seam around a tube. Rotated under the torch (PA) it is run once around. A fixed
// tube is welded in two runs, and the seam is one of them, half the way around: with
// the axis level from six o'clock up to twelve (PH) or from twelve down to six (PJ),
// on the side where the clock shows three.
//
// Around a branch the seam starts in the crotch, where the angle between the tubes is
// smallest, and a half ends at the crown across from it; with the axis level the
// crotch lies at six. Welded down, both are the other way about.

// What the geometry is good for. A branch nearer to its tube's own diameter leaves a
// groove on the flanks and not a fillet; in a crotch tighter than the least angle the
// arc does not reach the root.
const (
	MinTube, MaxTube     = 12 * Millimetre, 95 * Millimetre
	MinBranch, MaxBranch = 45 * Degree, 90 * Degree
	MaxThrough           = 400 * Millimetre
	MostOfThrough        = 0.9 // of the through tube's diameter, for a branch
)

const (
	roundSteps         = 180 // chords in half a saddle: its length is within 2e-5
	fullTurn, halfTurn = 2 * math.Pi, math.Pi
	crotchReach        = math.Pi / 6 // either way of it, still called crotch or crown
)

// Round is the closed curve of a seam around a tube, by the turn made from its start.
type Round struct {
	t     Task
	along [roundSteps + 1]float64 // m to each step of the first half, from the crotch
}

// Round lays out the seam around the task's tube. The task needs its diameter, and a
// saddle also the through tube's and the angle between them.
func (t Task) Round() *Round {
	r := &Round{t: t}
	px, py, pz := r.point(0)
	for k := 1; k <= roundSteps; k++ {
		x, y, z := r.point(float64(halfTurn*float64(k)) / roundSteps)
		dx, dy, dz := x-px, y-py, z-pz
		r.along[k] = r.along[k-1] + math.Sqrt(float64(dx*dx)+float64(dy*dy)+float64(dz*dz))
		px, py, pz = x, y, z
	}
	if t.Joint != TubeSaddle { // a circle: exact
		for k := range r.along {
			r.along[k] = float64(halfTurn*float64(k)) / roundSteps * float64(t.Diameter) / 2
		}
	}
	return r
}

// point gives where the two outsides meet at a turn from the crotch, m: x along the
// through tube, z away from it in the plane of the two axes.
func (r *Round) point(turn float64) (x, y, z float64) {
	sin, cos := detmath.Sin(turn), detmath.Cos(turn)
	radius := float64(r.t.Diameter) / 2
	if r.t.Joint != TubeSaddle {
		return 0, float64(radius * sin), float64(radius * cos)
	}
	through := float64(r.t.Through) / 2
	sinB, cosB := detmath.Sin(float64(r.t.Branch)), detmath.Cos(float64(r.t.Branch))
	y = float64(radius * sin)
	z = math.Sqrt(math.Max(0, float64(through*through)-float64(y*y)))
	return (float64(z*cosB) + float64(radius*cos)) / sinB, y, z
}

// Whole gives the way once around.
func (r *Round) Whole() Length { return Length(2 * r.along[roundSteps]) }

// Run gives the length of the seam, which is one run: all around or half of it.
func (r *Round) Run() Length {
	if r.t.Position == PA {
		return r.Whole()
	}
	return Length(r.along[roundSteps])
}

// Turn gives how far round the seam's place lies, rad, from six o'clock or the crotch:
// rising along the seam, but falling from half a turn where it is welded down.
func (r *Round) Turn(at Length) float64 {
	half := r.along[roundSteps]
	if half == 0 { // no diameter yet
		return 0
	}
	x := float64(at)
	if r.t.Position == PJ {
		x = half - x
	}
	x = math.Min(math.Max(x, 0), 2*half)
	mirrored := x > half
	if mirrored {
		x = 2*half - x
	}
	k := min(max(sort.SearchFloat64s(r.along[:], x), 1), roundSteps) // x lies between the steps k-1 and k
	turn := float64(halfTurn * ((float64(k-1) + (x-r.along[k-1])/(r.along[k]-r.along[k-1])) / roundSteps))
	if mirrored {
		return fullTurn - turn
	}
	return turn
}

// Between gives the angle between the two outsides at a place of the seam, rad: from
// the branch's own angle in the crotch to its supplement at the crown, wider than
// square on the flanks the nearer the branch is to the through tube's diameter. Square
// where there is no saddle.
func (r *Round) Between(at Length) float64 {
	if r.t.Joint != TubeSaddle || r.t.Through == 0 {
		return halfTurn / 2
	}
	turn := r.Turn(at)
	sin, cos := detmath.Sin(turn), detmath.Cos(turn)
	_, y, z := r.point(turn)
	// The cosine between the two outward normals.
	facing := (float64(y*sin) - float64(float64(z*cos)*detmath.Cos(float64(r.t.Branch)))) * 2 / float64(r.t.Through)
	return halfTurn/2 + detmath.Asin(facing)
}

// Tilt gives how far the face is turned from lying up at a place of the seam, rad: 0
// flat, pi/2 upright, pi overhead.
func (r *Round) Tilt(at Length) float64 { return math.Abs(halfTurn - r.Turn(at)) }

// Level says whether the seam runs around a tube whose axis lies level and fixed, so
// that the clock says where gravity pulls.
func (t Task) Level() bool { return t.Joint.Tube() && (t.Position == PH || t.Position == PJ) }

// Where says in the trade's words where around the tube a place of the seam lies,
// such as "at 4 o'clock", "at 6 o'clock, crotch" or "on the flank"; empty where mm say
// it all.
func (t Task) Where(at Length) string {
	if !t.Level() && t.Joint != TubeSaddle || t.Diameter <= 0 {
		return ""
	}
	turn := t.Round().Turn(at)
	if t.Joint != TubeSaddle {
		return "at " + Clock(turn)
	}
	preposition, zone := t.zone(turn)
	if t.Level() {
		return "at " + Clock(turn) + ", " + zone
	}
	return preposition + " the " + zone
}

// Clock names a turn from six o'clock, upwards past three, by the nearest hour.
func Clock(turn float64) string {
	h := (18 - int(math.Round(float64(6*turn)/halfTurn))) % 12
	if h == 0 {
		h = 12
	}
	return strconv.Itoa(h) + " o'clock"
}

// zone names the stretch of a saddle at a turn from the crotch. Square to its tube a
// branch has a crown on either end and no crotch.
func (t Task) zone(turn float64) (preposition, name string) {
	switch away := math.Abs(halfTurn - turn); {
	case away <= crotchReach:
		return "at", "crown"
	case away < halfTurn-crotchReach:
		return "on", "flank"
	case t.Branch < MaxBranch:
		return "in", "crotch"
	}
	return "at", "crown"
}
