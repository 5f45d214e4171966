package weld

// Metal is a base metal by its everyday grade name.
type Metal string

// Base metals.
const (
	CarbonSteel Metal = "carbon steel"
	Steel4130   Metal = "4130"
	SS304       Metal = "304"
	SS316L      Metal = "316L"
	Al6061      Metal = "6061"
	Al5052      Metal = "5052"
	Al3003      Metal = "3003"
	TitaniumCP  Metal = "CP titanium"
)

// Metals lists them in the order they are shown.
var Metals = []Metal{CarbonSteel, Steel4130, SS304, SS316L, Al6061, Al5052, Al3003, TitaniumCP}

// Family groups metals that are welded alike.
type Family string

// Families.
const (
	Ferritic   Family = "carbon and low-alloy steel"
	Stainless  Family = "austenitic stainless"
	Aluminium  Family = "aluminium"
	TitaniumMF Family = "titanium"
)

// Family of the metal.
func (m Metal) Family() Family {
	switch m {
	case SS304, SS316L:
		return Stainless
	case Al6061, Al5052, Al3003:
		return Aluminium
	case TitaniumCP:
		return TitaniumMF
	}
	return Ferritic
}

// Polarity is the type of current and, for direct current, which side the tungsten is on.
type Polarity string

// Polarities. DCEN: the tungsten is negative. DCEP: positive.
const (
	DCEN Polarity = "DCEN"
	DCEP Polarity = "DCEP"
	AC   Polarity = "AC"
)

// Tungsten is an electrode class of ISO 6848.
type Tungsten string

// Tungsten classes.
const (
	WP   Tungsten = "WP"   // pure
	WT10 Tungsten = "WT10" // 1 % thoria, radioactive
	WT20 Tungsten = "WT20" // 2 % thoria, radioactive
	WZ3  Tungsten = "WZ3"  // 0.3 % zirconia
	WZ8  Tungsten = "WZ8"  // 0.8 % zirconia
	WL10 Tungsten = "WL10" // 1 % lanthana
	WL15 Tungsten = "WL15" // 1.5 % lanthana
	WL20 Tungsten = "WL20" // 2 % lanthana
	WC20 Tungsten = "WC20" // 2 % ceria
)

// Tungstens lists them in the order they are shown.
var Tungstens = []Tungsten{WP, WT20, WZ8, WL15, WL20, WC20, WT10, WZ3, WL10}

// AWS gives the name of the class in AWS A5.12 (secondary source).
func (t Tungsten) AWS() string {
	return map[Tungsten]string{
		WP: "EWP", WT10: "EWTh-1", WT20: "EWTh-2", WZ3: "EWZr-1", WZ8: "EWZr-8",
		WL10: "EWLa-1", WL15: "EWLa-1.5", WL20: "EWLa-2", WC20: "EWCe-2",
	}[t]
}

// Thoriated says whether the class holds thoria, which is radioactive.
func (t Tungsten) Thoriated() bool { return t == WT10 || t == WT20 }

// Gas is a shielding gas by its ISO 14175 group and make-up.
type Gas string

// Shielding gases.
const (
	Argon       Gas = "argon"            // I1
	Helium      Gas = "helium"           // I2
	ArHe25      Gas = "argon 25 helium"  // I3
	ArHe50      Gas = "argon 50 helium"  // I3
	ArHe75      Gas = "argon 75 helium"  // I3
	ArH2        Gas = "argon 5 hydrogen" // R1: austenitic stainless only
	ArCO2       Gas = "argon 18 CO2"     // M21: never with a tungsten electrode
	NoFiller        = Filler("none")
	maxCup          = 16
	minCup          = 4
	cupUnitInch     = 16 // a cup number is the bore in sixteenths of an inch
)

// Filler is a rod by its AWS A5.x class, or "none".
type Filler string

// Filler classes.
const (
	ER70S2  Filler = "ER70S-2"
	ER70S6  Filler = "ER70S-6"
	ER80SD2 Filler = "ER80S-D2"
	ER308L  Filler = "ER308L"
	ER309L  Filler = "ER309L"
	ER316L  Filler = "ER316L"
	ER4043  Filler = "ER4043"
	ER5356  Filler = "ER5356"
	ERTi2   Filler = "ERTi-2"
)

// Fillers lists them in the order they are shown.
var Fillers = []Filler{ER70S2, ER70S6, ER80SD2, ER308L, ER309L, ER316L, ER4043, ER5356, ERTi2, NoFiller}

// ISO gives the class that comes nearest in the ISO standards for rods: 636-A for plain
// steel, 14343-A for stainless, 18273 for aluminium, 24034 for titanium (from memory,
// medium); "" where none is known.
func (f Filler) ISO() string {
	return map[Filler]string{
		ER70S2: "W 2Ti", ER70S6: "W 4Si1", ER308L: "W 19 9 L", ER309L: "W 23 12 L", ER316L: "W 19 12 3 L",
		ER4043: "Al 4043", ER5356: "Al 5356", ERTi2: "Ti 0120",
	}[f]
}

// Cup is a nozzle by its number: the bore in sixteenths of an inch.
type Cup int

// Bore of the cup.
func (c Cup) Bore() Length { return Length(float64(c) * float64(Inch) / cupUnitInch) }

// Surface is the condition of the metal as found.
type Surface string

// Surfaces.
const (
	BrightMetal Surface = "bright metal"
	MillScale   Surface = "mill scale"
	LightRust   Surface = "light rust"
	Oily        Surface = "oily"
	OldOxide    Surface = "old oxide" // aluminium not brushed today
	Painted     Surface = "painted"
	Zinc        Surface = "zinc coated"
)

// Surfaces lists them in the order they are shown.
var Surfaces = []Surface{BrightMetal, MillScale, LightRust, Oily, OldOxide, Painted, Zinc}

// Chill is what draws heat from the joint besides the air.
type Chill string

// Chills.
const (
	FreeInAir   Chill = "free in air"
	ClampBars   Chill = "clamp bars"         // steel bars either side, about 20 mm from the seam
	OnBench     Chill = "flat on the bench"  // the back rests on a steel bench away from the seam
	CopperChill Chill = "copper chill"       // copper blocks close to the seam
	BackingBar  Chill = "copper backing bar" // copper under the seam itself
)

// Chills lists them in the order they are shown.
var Chills = []Chill{FreeInAir, ClampBars, OnBench, CopperChill, BackingBar}

// Back is what touches the back of the seam.
type Back string

// Backs.
const (
	OpenAir  Back = "open air"
	Purged   Back = "argon purge"
	BackTape Back = "backing tape"
)

// Start is how the run begins.
type Start string

// Starts.
const (
	WaitForPool Start = "wait for the pool"
	GoAtOnce    Start = "go at once"
)

// Direction of travel against the torch lean.
type Direction string

// Directions.
const (
	Push Direction = "push"
	Drag Direction = "drag"
)

// RodFrom is where the rod reaches the pool from.
type RodFrom string

// Ways for the rod.
const (
	Ahead RodFrom = "ahead"
	Aside RodFrom = "side"
)

// Sequence is the order in which the lengths of a seam are welded.
type Sequence string

// Sequences.
const (
	EndToEnd Sequence = "end to end"
	BackStep Sequence = "back-step" // short lengths, each welded back towards the last
	Skip     Sequence = "skip"      // short lengths apart from each other, the rest later
)

// Solvent is what the metal is degreased with.
type Solvent string

// Solvents.
const (
	Acetone     Solvent = "acetone"
	Alcohol     Solvent = "alcohol"
	Chlorinated Solvent = "chlorinated" // never: its vapour turns to phosgene in the arc's light
	NoSolvent   Solvent = "none"
)

// Brush is what the metal is brushed with.
type Brush string

// Brushes.
const (
	OwnBrush    Brush = "own stainless"    // kept for this metal
	SharedBrush Brush = "shared stainless" // used on other metals too
	SteelBrush  Brush = "carbon steel"
	NoBrush     Brush = "none"
)
