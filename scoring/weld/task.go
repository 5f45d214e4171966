package weld

// Task is a joint as the metal and the drawing give it: everything about the
// weld that the learner does not decide.
type Task struct {
	Joint    Joint
	Position Position
	// A and B are the two members. Butt and edge: the two sheets. Tee: A the base
	// (welded on), B the web (standing). Lap: A the lower sheet, B the upper.
	// Outside corner: A flat, B standing. Tube saddle: A the through tube, B the branch.
	A, B Member
	// Gap between the members at the start and at the end of the seam, linear between.
	Gap, GapEnd Length
	Seam        Length // length of the weld
	RunOut      Length // metal beyond each end of the weld
	Overlap     Length // lap only
	Diameter    Length // tube outside diameter: the tube of a butt, the branch of a saddle
	Through     Length // saddle only: outside diameter of the tube the branch stands on
	Branch      Angle  // saddle only: between the two tubes' axes, 90 is square
	Chill       Chill
	PartTemp    Temperature // of the whole part when the arc starts
	// Earlier is how long ago an earlier run with the same settings ended: up the other
	// half of a fixed tube, else along this seam. Only its heat is kept. Zero: none.
	Earlier      Duration
	Surface      Surface
	Draught      Speed // air across the joint
	ClosedVolume bool  // the weld closes a hollow: needs a vent
	Throat       bool  // a tight inside angle the cup cannot enter
	Blocked      bool  // something stands ahead of the seam: a rod cannot lie flat there
	Drawing      Drawing
	// Happens is what comes up while a hand welds the seam live; a weld by settings knows none of it.
	Happens Happenings `json:",omitzero"`
}

// Member is one part of the joint.
type Member struct {
	Metal     Metal
	Thickness Length
	Width     Length // from the joint to the free edge; a web's height
}

// Drawing is what the drawing or the code asks of the weld.
type Drawing struct {
	FullPenetration bool   // a butt always; a corner when asked
	Leg             Length // fillets: least leg; zero means the thinner wall
	BrightRoot      bool   // stainless: no oxide allowed on the back
	FillerFixed     Filler // a WPS names the class: empty when it does not
}

// Thinner gives the smaller of the two walls.
func (t Task) Thinner() Length { return min(t.A.Thickness, t.B.Thickness) }

// Thicker gives the larger of the two walls.
func (t Task) Thicker() Length { return max(t.A.Thickness, t.B.Thickness) }

// GapAt gives the gap at the distance x along the seam.
func (t Task) GapAt(x Length) Length {
	if t.Seam <= 0 {
		return t.Gap
	}
	share := min(1, max(0, float64(x)/float64(t.Seam)))
	return t.Gap + Length(float64(t.GapEnd-t.Gap)*share)
}

// LegAsked gives the least leg of a fillet: the drawing's, or the thinner wall.
func (t Task) LegAsked() Length {
	if t.Drawing.Leg > 0 {
		return t.Drawing.Leg
	}
	return t.Thinner()
}
