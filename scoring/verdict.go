package scoring

import "puddlewise/scoring/weld"

// Outcome is what a visual inspector would say of the coupon.
type Outcome string

// Outcomes.
const (
	Accept     Outcome = "accept"
	Reject     Outcome = "reject"
	OutOfRange Outcome = "out-of-range" // outside what the model can say anything about: not scored
)

// Severity of a finding.
type Severity string

// Severities: a defect rejects the coupon; a fault lowers a score and would be
// talked about; a remark is worth knowing.
const (
	Defect Severity = "defect"
	Fault  Severity = "fault"
	Remark Severity = "remark"
)

// Verdict is a welded coupon, judged.
type Verdict struct {
	Outcome  Outcome
	Reason   string // one line: what decided
	Scores   Scores
	Findings []Finding // worst first; those with one cause are told once
	Signs    []Sign    // what a welder would see while it is made, strongest first
	Coupon   Coupon
}

// Scores run from 0 to 100; 50 is the limit of what is accepted.
type Scores struct {
	BurnThrough  float64
	LackOfFusion float64
	Oxide        float64
}

// Limit is the score at which a coupon is just accepted.
const Limit = 50.0

// Finding is one thing to say about the weld.
type Finding struct {
	Rule     string // stable id, such as keyhole
	Severity Severity
	From, To weld.Length // along the seam; equal or zero when it has no place
	Score    string      // which score it lowers: burn-through, lack of fusion, oxide; empty for none
	Got      string      // the number that decided, as text
	Want     string      // what would have been right
	Why      string      // one sentence in the trade's words
	Fix      string      // what to do
	Source   string      // standard or handbook, "model", or "common practice, no source"
}

// Coupon is the welded piece as it can be looked at and measured.
type Coupon struct {
	Stations        []Station // along the seam, start to end
	Worst           Station   // the extreme of each measure that speaks against the weld
	PeakTemperature weld.Temperature
	HeatInput       float64 // kJ/mm, arc energy times 0.6: EN 1011-1 / ISO/TR 17671-1 for TIG
	PoolLength      weld.Length
	Holes           []Span      // burnt or blown through
	Crater          weld.Length // depth of the hollow where the arc went out
	Cooling         float64     // s from 800 to 500 C, EN 1011-2; 0 where that standard does not apply: ferritic steel only
	Porosity        float64     // 0 sound, 1 pores all along; an estimate
	BackSample      int         // AWS D18.2 sample weld whose colour a stainless back has, 1 to 10; 0 where none applies
}

// Span is a stretch of the seam.
type Span struct{ From, To weld.Length }

// Station is one place along the seam.
type Station struct {
	At          weld.Length
	FaceWidth   weld.Length
	BackWidth   weld.Length // melted width on the back; for a fillet the wider of the two far sides
	Down        weld.Length // edges: how deep they melted
	Penetration float64     // butt: share of the wall; fillet: share of the way to a fused root, 1 is fused
	LegA, LegB  weld.Length // fillets: from the corner to the toe on each member
	Throat      weld.Length // fillets: from the corner to the bead's face, without what bulges out
	Cap         weld.Length // height of the bead above the face, on a fillet beyond the line from toe to toe; negative is sunk or hollow
	Root        weld.Length // butts and corners: how far the melted back stands out; negative is drawn in
	Undercut    weld.Length // the deeper groove along a toe
	Toe         weld.Angle  // between the bead's face and the plate, through the metal: 180 deg is flush
	PeakFace    weld.Temperature
	PeakBack    weld.Temperature
	Hole        bool
	Colour      string // of the face: bright, straw, blue, grey, black
	BackColour  string // of the back where it got hot
	ColdLap     bool
}
