package puddle

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
)

// shaped gives the shape of a bead on carbon steel; lengths in mm, filler in mm2.
func shaped(j weld.Joint, p weld.Position, wall, filler, faceA, faceB, backA, backB, gap float64) Shape {
	t := weld.Task{Joint: j, Position: p}
	t.A = weld.Member{Metal: weld.CarbonSteel, Thickness: weld.Length(wall) * weld.Millimetre}
	t.B = t.A
	s := Station{FaceA: faceA * 1e-3, FaceB: faceB * 1e-3, BackA: backA * 1e-3, BackB: backB * 1e-3, Gap: gap * 1e-3, Tilt: tilt(t, t.Round(), 0), Between: math.Pi / 2}
	return newShaper(t, weld.Defaults(), filler*1e-6).of(&s)
}

// A fillet between straight legs: flat when its metal is half the square of the leg,
// a quarter circle that leaves both plates flush when it is (1 - pi/4) of it, a
// quarter circle outwards at 1/2 + (pi/4 - 1/2): plane geometry.
func TestFilletShapes(t *testing.T) {
	const z = 3.0
	flat := shaped(weld.TeeFillet, weld.PA, 2, z*z/2, z, z, 0, 0, 0)
	assert.InDelta(t, 0, flat.Cap*1e3, 1e-3)
	assert.InDelta(t, z/math.Sqrt2, flat.Throat*1e3, 1e-3)
	assert.InDelta(t, 135, flat.Toe*180/math.Pi, 0.1)
	assert.Zero(t, flat.Undercut)

	flush := shaped(weld.TeeFillet, weld.PA, 2, z*z*(1-math.Pi/4), z, z, 0, 0, 0)
	assert.InDelta(t, z*(math.Sqrt2-1), flush.Throat*1e3, 1e-3, "corner to a quarter circle around (z, z)")
	assert.InDelta(t, 180, flush.Toe*180/math.Pi, 0.1)
	assert.Less(t, flush.Undercut*1e3, 1e-3)

	round := shaped(weld.TeeFillet, weld.PA, 2, z*z*math.Pi/4, z, z, 0, 0, 0)
	assert.InDelta(t, z*(1-1/math.Sqrt2), round.Cap*1e3, 1e-3)
	assert.InDelta(t, z/math.Sqrt2, round.Throat*1e3, 1e-3, "what bulges out does not count")
	assert.InDelta(t, 90, round.Toe*180/math.Pi, 0.1)

	// Less metal than the flush quarter circle takes: the face freezes below the plates.
	// 0.9 mm2 leave 3.6 between arc and chord, a fifth of the chord's square: the arc opens
	// 2 x 1.0291 rad, its radius is 2.4757 mm, and it dips 2.4757 (1 - cos(1.0291 - pi/4)).
	hollow := shaped(weld.TeeFillet, weld.PA, 2, 0.9, z, z, 0, 0, 0)
	assert.InDelta(t, 180, hollow.Toe*180/math.Pi, 0.1)
	assert.InDelta(t, 0.0732, hollow.Undercut*1e3, 1e-3)

	// On a level seam its weight draws the metal down: the upper toe is worse off.
	standing := shaped(weld.TeeFillet, weld.PB, 2, z*z*(1-math.Pi/4), z, z, 0, 0, 0)
	assert.Greater(t, standing.Undercut, flush.Undercut)
	over := shaped(weld.TeeFillet, weld.PD, 2, z*z*(1-math.Pi/4), z, z, 0, 0, 0)
	assert.InDelta(t, standing.Undercut, over.Undercut, 1e-9, "overhead the other toe is the upper one")

	// A gap takes its share first, and an unmelted toe keeps the bead narrow.
	assert.Less(t, shaped(weld.TeeFillet, weld.PB, 2, 4, z, z, 0, 0, 0.8).Throat, shaped(weld.TeeFillet, weld.PB, 2, 4, z, z, 0, 0, 0).Throat)
	assert.Greater(t, shaped(weld.TeeFillet, weld.PB, 2, 4, z, 0, 0, 0, 0).Cap, 0.5e-3)
	// There is no leg beyond the edge of a lap's upper sheet.
	assert.InDelta(t, 2, shaped(weld.LapFillet, weld.PB, 2, 4, z, z, 0, 0, 0).LegB*1e3, 1e-9)
}

// A butt's two arcs hold each other: pressure under the face's arc and the weight of the
// wall against the back's arc, and all the metal in both.
func TestButtBalances(t *testing.T) {
	p := metal.Of(weld.CarbonSteel)
	rapid.Check(t, func(t *rapid.T) {
		in := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		wall, filler, gap := in("wall", 0.6, 4), in("filler", 0, 8), in("gap", 0, 1)
		face, back := in("face", 1, 4)*wall, in("back", 0.2, 4)*wall
		for _, pos := range []weld.Position{weld.PA, weld.PE, weld.PF} {
			s := shaped(weld.SquareButt, pos, wall, filler, face/2, face/2, back/2, back/2, gap)
			metalIn := 2.0 / 3 * (s.Cap*1e3*math.Max(face, wall) + s.Root*1e3*back)
			assert.InDelta(t, filler-gap*wall, metalIn, 1e-6, "all the metal")
			weight := p.LiquidDensity * 9.81 * wall * 1e-3 * map[weld.Position]float64{weld.PA: 1, weld.PE: -1, weld.PF: 0}[pos]
			under := 8*p.SurfaceTension*s.Cap/math.Pow(math.Max(face, wall)*1e-3, 2) + weight
			assert.InDelta(t, under, 8*p.SurfaceTension*s.Root/math.Pow(back*1e-3, 2), 1e-3, "pressures, %s", pos)
			assert.Zero(t, s.Undercut)
		}
	})
}

// Flat the root hangs out, overhead it is drawn in, vertical is between; on a level
// seam in a standing wall the upper toe is left bare; a backing holds the root.
func TestWeight(t *testing.T) {
	at := func(p weld.Position) Shape { return shaped(weld.SquareButt, p, 3, 1, 4.5, 4.5, 3.5, 3.5, 0) }
	assert.Greater(t, at(weld.PA).Root, at(weld.PF).Root)
	assert.Greater(t, at(weld.PF).Root, at(weld.PE).Root)
	assert.Less(t, at(weld.PE).Root, 0.0, "overhead, with little rod")
	assert.Greater(t, at(weld.PA).Cap, shaped(weld.SquareButt, weld.PA, 3, 0, 4.5, 4.5, 3.5, 3.5, 0).Cap)
	assert.Less(t, shaped(weld.SquareButt, weld.PA, 3, 0, 4.5, 4.5, 3.5, 3.5, 0).Cap, 0.0, "without a rod what sinks out is missing")
	assert.Zero(t, at(weld.PA).Undercut)
	assert.Greater(t, at(weld.PC).Undercut, 0.05e-3)
	task := weld.Task{Joint: weld.SquareButt, Position: weld.PA, Chill: weld.BackingBar, A: weld.Member{Metal: weld.CarbonSteel, Thickness: 3e-3}, B: weld.Member{Thickness: 3e-3}}
	s := Station{FaceA: 4e-3, FaceB: 4e-3, BackA: 3e-3, BackB: 3e-3}
	assert.Zero(t, newShaper(task, weld.Defaults(), 3e-6).of(&s).Root)
}

// A level seam in a standing wall, by the formula for a strip under its own weight:
// without rod or back the face lies weight x width^3 / (72 root 3 tension) low at most.
func TestUpperToe(t *testing.T) {
	p := metal.Of(weld.CarbonSteel)
	s := shaped(weld.SquareButt, weld.PC, 3, 0, 4, 4, 0, 0, 0)
	want := p.LiquidDensity * 9.81 * math.Pow(8e-3, 3) / (72 * math.Sqrt(3) * p.SurfaceTension)
	assert.InDelta(t, want, s.Undercut, 1e-9)
}
