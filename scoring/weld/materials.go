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

// Tungsten classes, ISO 6848 (AWS A5.12 in brackets).
const (
	WP   Tungsten = "WP"   // pure (EWP)
	WT20 Tungsten = "WT20" // 2 % thoria, radioactive (EWTh-2)
	WZ8  Tungsten = "WZ8"  // zirconia (EWZr-8)
	WL15 Tungsten = "WL15" // 1.5 % lanthana (EWLa-1.5)
	WL20 Tungsten = "WL20" // 2 % lanthana (EWLa-2)
	WC20 Tungsten = "WC20" // 2 % ceria (EWCe-2)
)

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
