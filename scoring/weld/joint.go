package weld

// Joint is the kind of joint and weld.
type Joint string

// The joints the trainer knows.
const (
	SquareButt    Joint = "square butt"
	TeeFillet     Joint = "tee fillet"
	LapFillet     Joint = "lap fillet"
	OutsideCorner Joint = "outside corner"
	EdgeWeld      Joint = "edge"
	TubeButt      Joint = "tube butt"
	TubeSaddle    Joint = "tube saddle"
)

// Joints lists them in the order they are shown.
var Joints = []Joint{SquareButt, TeeFillet, LapFillet, OutsideCorner, EdgeWeld, TubeButt, TubeSaddle}

// Fillet says whether the weld is a fillet: the root must fuse, the far sides must not melt through.
func (j Joint) Fillet() bool { return j == TeeFillet || j == LapFillet || j == TubeSaddle }

// Tube says whether the seam runs around a tube.
func (j Joint) Tube() bool { return j == TubeButt || j == TubeSaddle }

// Members gives what a shop calls the two members, A and B.
func (j Joint) Members() (a, b string) {
	switch j {
	case TeeFillet:
		return "base", "web"
	case LapFillet:
		return "lower sheet", "upper sheet"
	case OutsideCorner:
		return "flat side", "standing side"
	case TubeSaddle:
		return "through tube", "branch"
	case TubeButt:
		return "tube", "tube"
	}
	return "sheet A", "sheet B"
}

// Position is a welding position by its ISO 6947 code.
type Position string

// Positions of ISO 6947.
const (
	PA Position = "PA" // flat
	PB Position = "PB" // horizontal fillet
	PC Position = "PC" // horizontal groove
	PD Position = "PD" // overhead fillet
	PE Position = "PE" // overhead groove
	PF Position = "PF" // vertical up
	PG Position = "PG" // vertical down
	PH Position = "PH" // tube axis horizontal and fixed, welded up
	PJ Position = "PJ" // tube axis horizontal and fixed, welded down
)

// Positions lists them in the order they are shown.
var Positions = []Position{PA, PB, PC, PD, PE, PF, PG, PH, PJ}

// AWS gives the AWS A3.0 name for the joint, such as 2F; empty when there is none.
func (p Position) AWS(j Joint) string {
	names := map[Position][2]string{ // groove, fillet
		PA: {"1G", "1F"}, PB: {"", "2F"}, PC: {"2G", ""}, PD: {"", "4F"}, PE: {"4G", ""},
		PF: {"3G up", "3F up"}, PG: {"3G down", "3F down"}, PH: {"5G up", "5F up"}, PJ: {"5G down", "5F down"},
	}[p]
	if j.Fillet() {
		return names[1]
	}
	return names[0]
}

// Words says the position in plain words, as it is on the joint.
func (p Position) Words(j Joint) string {
	if j.Tube() {
		switch p {
		case PA:
			return "flat, the tube turned under the torch"
		case PB:
			return "horizontal fillet, the branch upright and fixed"
		case PC:
			return "horizontal, the tube upright and fixed"
		}
	}
	return map[Position]string{
		PA: "flat", PB: "horizontal fillet", PC: "horizontal", PD: "overhead fillet", PE: "overhead",
		PF: "vertical, welded up", PG: "vertical, welded down",
		PH: "tube fixed, axis horizontal, welded up", PJ: "tube fixed, axis horizontal, welded down",
	}[p]
}

// Suits says whether the joint can be in this position: a fillet is never PC or PE, a
// groove never PB or PD. A tube is turned under the torch (PA), stands upright (a butt
// PC, a branch PB) or lies level (PH, PJ).
func (p Position) Suits(j Joint) bool {
	level := p == PH || p == PJ
	if j.Tube() {
		return level || p == PA || p == PB && j.Fillet() || p == PC && !j.Fillet()
	}
	return p.AWS(j) != "" && !level
}
