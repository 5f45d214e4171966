package weld

import "sync"

// Answer is everything the welder decides: settings and technique. A scenario
// gives most of it and asks for the rest; Fields says how each is typed.
type Answer struct {
	// Machine and tungsten.
	Polarity    Polarity
	Amps        Current // at the start of the seam
	AmpsEnd     Current // at its end; see CurrentAt for the way between
	ACBalance   Fraction
	ACFrequency Frequency
	Tungsten    Tungsten
	TungstenDia Length
	TipAngle    Angle // included
	// Torch and gas.
	Cup      Cup
	Lens     bool
	Gas      Gas
	Flow     Flow
	PreFlow  Duration
	PostFlow Duration
	// Rod.
	Filler       Filler
	Rod          Length // diameter
	DabSpacing   Length // along the seam, from one dab to the next
	DabSize      Length // length of rod melted at each dab; zero: as much as the bead needs
	RodWithdrawn Length // how far the hot tip is drawn back from the pool's edge between dabs
	// Hands.
	ArcLength  Length
	StickOut   Length // of the tungsten beyond the cup
	TorchAngle Angle  // between torch and work along the travel, 90 is upright
	WorkAngle  Angle  // across the seam, from member A; a fillet is split at 45
	RodAngle   Angle  // between rod and work
	RodFrom    RodFrom
	Aim        Length // fillets: how far the arc points onto A, away from the corner
	Travel     Speed
	Direction  Direction
	Start      Start
	SlopeDown  Duration // current eased out at the end
	Sequence   Sequence
	// Around the joint.
	Cleaned     bool // degreased and brushed before welding
	Solvent     Solvent
	Brush       Brush
	Back        Back
	PurgeFlow   Flow
	PurgeTime   Duration // argon behind the seam before the arc
	PurgeOxygen PPM
	Dam         bool // foil dam to hold gas in a tight corner
	Vent        bool // a closed hollow has a way out for the air
	TackSpacing Length
	TacksClean  bool   // brushed bright before the run goes over them
	Trail       Length // length of a trailing shield behind the cup; zero without one
}

// defaults is a plain set-up, as text so that every value is exactly what is typed.
var defaults = map[string]string{
	"polarity": "DCEN", "amps": "60 A", "ac_balance": "70 %", "ac_frequency": "100 Hz",
	"tungsten": "WL15", "tungsten_diameter": "1.6 mm", "tip_angle": "30 deg",
	"cup": "8", "lens": "yes", "gas": "argon", "flow": "9 L/min", "preflow": "0.5 s", "postflow": "8 s",
	"filler": "ER70S-2", "rod": "1.2 mm", "dab": "2.5 mm", "rod_tip": "5 mm",
	"arc_length": "1.5 mm", "stick_out": "6 mm", "torch_angle": "75 deg", "work_angle": "45 deg",
	"rod_angle": "15 deg", "rod_from": "ahead", "aim": "0.5 mm", "travel": "120 mm/min", "direction": "push",
	"start": "wait for the pool", "slope_down": "2 s", "sequence": "end to end",
	"cleaned": "yes", "solvent": "acetone", "brush": "own stainless", "back": "open air",
	"purge_flow": "6 L/min", "purge_time": "300 s", "purge_oxygen": "100 ppm", "vent": "yes", "tacks": "40 mm",
	"tacks_clean": "yes", "trail": "0 mm",
}

// Defaults is an answer with a plain set-up in every field; scenarios and
// learners overwrite what they name.
func Defaults() Answer { return defaultAnswer() }

// defaultAnswer reads the texts once: screens ask for it at every frame.
var defaultAnswer = sync.OnceValue(func() Answer {
	var a Answer
	for key, text := range defaults {
		f, ok := FieldByKey(key)
		if !ok {
			panic("weld: no field " + key)
		}
		if err := f.SetStrict(&a, text); err != nil {
			panic("weld: default " + err.Error())
		}
	}
	return a
})

// CurrentAt gives the current at the share 0..1 of the seam. A foot that eases off
// follows the part as it heats up: most of the way in the first third, the rest slowly.
func (a Answer) CurrentAt(share float64) Current {
	if a.AmpsEnd == 0 {
		return a.Amps
	}
	left := 1 - min(1, max(0, share))
	return a.AmpsEnd + Current(float64(a.Amps-a.AmpsEnd)*float64(left*float64(left*left)))
}
