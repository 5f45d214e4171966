package tui

import (
	"math"

	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// arcPicture is what is seen at the torch at one moment, in mm: x ahead of the arc, y
// across the joint towards member A, z above the sheet.
type arcPicture struct {
	look  *look
	task  weld.Task
	pool  puddle.Pool
	band  []float64 // C along the face
	signs map[string]float64
	lit   bool

	arc, aim float64 // of the tungsten's tip
	tip      float64 // of the rod, ahead of the arc
	dabs     bool    // the rod is in the pool
	dia, rod float64 // of tungsten and rod; 0 for no rod
	beside   bool    // the rod comes from the side of member A
	bead     func(x float64) float64
	ripples  []ripple
}

// ripple is the edge at which the metal of a dab froze: an ellipse's rear half.
type ripple struct{ at, behind, width float64 }

// Layout of the picture: rows for the view from the side and from above, columns for a
// millimetre.
type arcLayout struct {
	side, face, per, left, width int
	mm                           float64 // of a row of the face
}

// layoutArc shares out w by h cells, of which the words need some.
func layoutArc(w, h int, wall float64) arcLayout {
	const (
		words   = 8 // rows: readouts, signs, the good hand
		longest = 17
		most    = 5.0 // walls that a wide pool is wide
	)
	n := int(math.Round((puddle.BandBehind + puddle.BandAhead) / puddle.BandEvery))
	l := arcLayout{per: max(1, min(4, w/n))}
	l.width = l.per * n
	l.left = (w - l.width) / 2
	free := max(7, h-words-1) // a row between the two
	l.side = min(8, max(3, free*2/5))
	l.face = min(longest, free-l.side)
	l.face -= 1 - l.face%2 // the joint lies in the middle of a row
	l.mm = math.Max(2/float64(l.per), most*wall/float64(l.face))
	return l
}

// x gives the place of a column, and column the column of a place.
func (l arcLayout) x(col float64) float64 { return col/float64(l.per) - puddle.BandBehind*1e3 }

func (l arcLayout) column(x float64) int {
	return int(math.Floor((x + puddle.BandBehind*1e3) * float64(l.per)))
}

// draw draws the view from the side over that from above.
func (p *arcPicture) draw(c canvas, l arcLayout) {
	side := c.sub(l.left, 0, l.width, l.side)
	perRow := 2 / float64(l.per)
	surface := float64(l.side - 1) // the last row is metal
	side.paintIn(p.fill, func(col, row float64) ink { return p.fromSide(l.x(col), (surface-row)*perRow, perRow/2) })
	if !c.look.patches() {
		p.upright(side, l, perRow)
	}
	if p.arc > surface*perRow { // higher than the picture
		side.put(l.column(0), 0, c.look.glyph.up, inkTungsten)
	}
	if out := "rod >"; p.rod > 0 && l.column(p.tip) >= l.width { // further than the picture
		side.put(l.width-len(out), l.side-2, out, inkRod)
	}
	face := c.sub(l.left, l.side+1, l.width, l.face)
	mid := float64(l.face) / 2
	face.paintIn(p.fill, func(col, row float64) ink { return p.fromAbove(l.x(col), (row-mid)*l.mm, 0.5/float64(l.per), 0.3*l.mm) })
	if p.task.Joint.Fillet() { // a fillet alone feels the aim
		face.put(l.column(0), int(math.Floor(mid+p.aim/l.mm)), "+", inkTungsten)
	}
	if a, b := p.task.Joint.Members(); a != b && l.left > max(width(a), width(b)) {
		c.put(0, l.side+1, b, inkFaint)
		c.put(0, l.side+l.face, a, inkFaint)
	}
}

// fill is the character for an ink without colours; bare sheet is dots.
func (p *arcPicture) fill(in ink) rune {
	if in == inkSheetA {
		return p.look.glyph.sheet
	}
	return p.look.glyph.fill(in)
}

// upright draws the tungsten by characters, which show its height to half a row.
func (p *arcPicture) upright(c canvas, l arcLayout, perRow float64) {
	col := l.column(0)
	for row := range l.side - 1 {
		low := float64(l.side-2-row) * perRow
		r := '|'
		switch covered := (low + perRow - p.arc) / perRow; {
		case covered < 0.25:
			continue
		case covered < 0.75:
			r = '\''
		case covered < 1.25:
			r = 'V'
		}
		if p.pool.Fouled && r != '|' {
			r = 'o'
		}
		c.cell(col, row, r, c.look.style(inkTungsten))
	}
}

// fromSide tells what is at a height over the seam; fine is half a row.
func (p *arcPicture) fromSide(x, z, fine float64) ink {
	if z < 0 {
		return p.surface(x, z, fine)
	}
	if above := z - p.arc; p.pool.Fouled && p.look.patches() && above >= 0 && above < 0.6 && math.Abs(x) < 0.6 {
		return inkBlack // metal hangs on it
	} else if above >= 0 && p.look.patches() && math.Abs(x) < math.Min(p.dia/2, 0.25+above/3) {
		return inkTungsten
	}
	if p.onRod(x, z) {
		return inkRod
	}
	if p.lit && z < p.arc && math.Abs(x) < 0.3+(p.arc-z)/3 {
		return inkArc
	}
	if z < fine && p.signs["pool_domed"] > 0.5 && p.molten(x) {
		return inkMolten
	}
	return inkPlain
}

// onRod: the rod comes flat from ahead, its tip over the pool's edge or in it.
func (p *arcPicture) onRod(x, z float64) bool {
	const slope = 0.25
	if p.rod == 0 || x < p.tip {
		return false
	}
	middle := (x-p.tip)*slope + 0.7
	if p.dabs {
		middle -= 0.7
	}
	return math.Abs(z-middle) < math.Max(p.rod/2, 0.45)
}

// surface is the metal's upper edge over the seam.
func (p *arcPicture) surface(x, z, fine float64) ink {
	switch {
	case p.molten(x) && p.bare(x) && p.pool.Keyhole >= eyeOpens:
		return inkPlain
	case p.molten(x) && z > -fine && p.signs["pool_sunken"] > 0:
		return inkPlain // it hangs
	case p.molten(x):
		return inkMolten
	}
	return p.cold(x)
}

// fromAbove tells what is at a place of the face; fine is half a column, thin the least
// height that is seen.
func (p *arcPicture) fromAbove(x, y, fine, thin float64) ink {
	half, open := p.half(x), float64(p.task.GapAt(weld.Length(p.pool.At+x*1e-3)))*1e3/2
	switch {
	case p.rod > 0 && x >= p.tip && math.Abs(y-p.rodAcross(x)) < math.Max(p.rod/2, 0.5):
		return inkRod
	case half > 0 && math.Abs(y) < half:
		if p.bare(x) && math.Abs(y) < math.Max(open, thin)*math.Max(1, p.pool.Keyhole) {
			if p.pool.Keyhole < eyeOpens {
				return inkSeam
			}
			return inkPlain // the shop shows through
		}
		if p.oxide(x, y) {
			return inkGrey
		}
		return inkMolten
	case half > 0 || x >= 0 || p.pool.At*1e3+x < 0:
		if half > 0 || open > 0 && math.Abs(y) >= math.Max(open, thin) || open == 0 && (y >= 0 || y < -thin) {
			return inkSheetA
		}
		return inkSeam
	}
	if wide := p.bead(x) / 2; math.Abs(y) < wide {
		for _, r := range p.ripples {
			along := math.Abs(y) / math.Max(r.width/2, 0.1)
			if edge := r.at - r.behind*math.Sqrt(math.Max(0, 1-along*along)); math.Abs(x-edge) < fine {
				return inkRipple
			}
		}
		return p.cold(x)
	}
	return inkSheetA
}

// rodAcross: seen from above the rod comes in from the side it is held to.
func (p *arcPicture) rodAcross(x float64) float64 {
	if p.beside {
		return (x - p.tip) * 1.2
	}
	return (x - p.tip) * 0.3
}

// molten says whether the pool reaches so far.
func (p *arcPicture) molten(x float64) bool {
	return p.pool.Width > 0 && x <= p.pool.Ahead*1e3 && x >= -p.pool.Behind*1e3
}

// half gives the half width of the pool, drawn as two half ellipses; a pointed one ends
// in a point. 0 where there is none.
func (p *arcPicture) half(x float64) float64 {
	if !p.molten(x) {
		return 0
	}
	reach := p.pool.Ahead * 1e3
	if x < 0 {
		reach = p.pool.Behind * 1e3
	}
	r := math.Abs(x) / math.Max(reach, 0.1)
	shape := math.Sqrt(math.Max(0.05, 1-r*r))
	if pointed := p.signs["pool_pointed"]; x < 0 && pointed > 0 {
		shape += (1 - r - shape) * pointed
	}
	return p.pool.Width * 1e3 / 2 * math.Max(0.05, shape)
}

// eyeOpens is the keyhole, of what the edges hold, that is seen as a hole and no longer as
// a dark line; common practice, no source.
const eyeOpens = 0.5

// bare says whether the gap stands open in the pool: from its front edge back.
func (p *arcPicture) bare(x float64) bool {
	return p.pool.Bare > 0 && x > (p.pool.Ahead-p.pool.Bare)*1e3
}

// oxide: specks that swim on a pool that air or dirt got into.
func (p *arcPicture) oxide(x, y float64) bool {
	much := math.Max(p.signs["pool_sluggish"], p.signs["oxide_skin"])
	if much == 0 {
		return false
	}
	drift := float64(p.pool.Step/5) * 0.5
	v := math.Sin(2.1*(x+drift)+1.3*y) * math.Sin(2.7*y-0.9*drift+0.5*x)
	return v > 1-0.7*much
}

// cold is the bead or the sheet behind the arc, glowing as it is hot.
func (p *arcPicture) cold(x float64) ink {
	if x >= 0 || p.pool.At*1e3+x < 0 {
		return inkSheetA
	}
	k := int(math.Round((x*1e-3 + puddle.BandBehind) / puddle.BandEvery))
	t := p.band[max(0, min(k, len(p.band)-1))]
	for i, from := range view.GlowSteps {
		if t >= from {
			return inkGlow + ink(i)
		}
	}
	if p.bead(x) == 0 {
		return inkSheetA
	}
	return inkBead
}

// strengths gives the signs by their ids.
func strengths(signs []scoring.Sign) map[string]float64 {
	out := map[string]float64{}
	for _, s := range signs {
		out[s.ID] = s.Strength
	}
	return out
}
