package weld

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
)

// Field is one thing a learner can be asked for: how it is called, how it is
// typed and what is allowed. Every front end and file reads answers through it.
type Field struct {
	Key     string // in files and in JSON
	Label   string // on the form
	Hint    string // one sentence for a learner who asks
	Choices []string
	// Smallest and largest value the trainer takes, as text; empty for choices.
	Min, Max string

	ptr   func(*Answer) any
	other map[string]string // the choices' other names, lower case: AWS for a class of ISO
}

// Fields lists everything an answer holds, in the order it is asked.
var Fields = []Field{
	choice("polarity", "current type", "Which way the current runs: DCEN for steel and stainless, AC to break the skin on aluminium.",
		func(a *Answer) *Polarity { return &a.Polarity }, DCEN, DCEP, AC),
	quantity("amps", "amps", "About an amp for each thousandth of an inch of wall is where to start looking.", "1 A", "400 A", func(a *Answer) any { return &a.Amps }),
	quantity("amps_end", "amps at the end", "What the pedal comes back to as the part heats up, most of it in the first third; 0 A means the same all along.", "0 A", "400 A", func(a *Answer) any { return &a.AmpsEnd }),
	quantity("ac_balance", "AC balance, electrode negative", "More electrode negative digs and cools the tungsten, less cleans.", "30 %", "95 %", func(a *Answer) any { return &a.ACBalance }),
	quantity("ac_frequency", "AC frequency", "Higher is a tighter arc.", "20 Hz", "400 Hz", func(a *Answer) any { return &a.ACFrequency }),
	also(choice("tungsten", "tungsten", "The class of ISO 6848, or its AWS name: EWLa-1.5 is WL15.", func(a *Answer) *Tungsten { return &a.Tungsten }, Tungstens...), Tungsten.AWS, Tungstens),
	quantity("tungsten_diameter", "tungsten diameter", "Thick enough for the current, thin enough for a steady small arc.", "0.5 mm", "6.4 mm", func(a *Answer) any { return &a.TungstenDia }),
	quantity("tip_angle", "tip angle", "Included angle of the ground tip.", "5 deg", "180 deg", func(a *Answer) any { return &a.TipAngle }),
	quantity("cup", "cup number", "The bore in sixteenths of an inch.", "4", "16", func(a *Answer) any { return &a.Cup }),
	yesno("lens", "gas lens", "A lens straightens the gas and lets the tungsten stand out further.", func(a *Answer) *bool { return &a.Lens }),
	choice("gas", "gas", "The shielding gas of ISO 14175.", func(a *Answer) *Gas { return &a.Gas }, Argon, Helium, ArHe25, ArHe50, ArHe75, ArH2, ArCO2),
	quantity("flow", "gas flow", "Too little leaves the pool bare, too much swallows air.", "0 L/min", "60 L/min", func(a *Answer) any { return &a.Flow }),
	quantity("preflow", "pre-flow", "Gas before the arc.", "0 s", "10 s", func(a *Answer) any { return &a.PreFlow }),
	quantity("postflow", "post-flow", "Gas after the arc, until crater and tungsten are cool.", "0 s", "60 s", func(a *Answer) any { return &a.PostFlow }),
	also(choice("filler", "filler class", "The rod's class, matched to the base metal or named by the WPS.",
		func(a *Answer) *Filler { return &a.Filler }, Fillers...), Filler.ISO, Fillers),
	quantity("rod", "rod diameter", "No thicker than the sheet: a thick rod chills the pool.", "0.5 mm", "5 mm", func(a *Answer) any { return &a.Rod }),
	quantity("dab", "dab every", "Distance along the seam from one dab to the next.", "0.3 mm", "30 mm", func(a *Answer) any { return &a.DabSpacing }),
	quantity("dab_size", "rod melted a dab", "Length of rod each dab melts; 0 mm means as much as the bead needs.", "0 mm", "30 mm", func(a *Answer) any { return &a.DabSize }),
	quantity("rod_tip", "rod tip drawn back", "How far the hot tip is drawn back from the pool between dabs: keep it in the gas.", "0 mm", "100 mm", func(a *Answer) any { return &a.RodWithdrawn }),
	quantity("arc_length", "arc length", "About the tungsten's diameter or less.", "0.2 mm", "12 mm", func(a *Answer) any { return &a.ArcLength }),
	quantity("stick_out", "stick-out", "Tungsten beyond the cup.", "0 mm", "40 mm", func(a *Answer) any { return &a.StickOut }),
	quantity("torch_angle", "torch angle", "Between torch and work along the travel; 90 deg is upright.", "20 deg", "90 deg", func(a *Answer) any { return &a.TorchAngle }),
	quantity("work_angle", "work angle", "Across the seam, from the base; 45 deg splits a fillet.", "0 deg", "90 deg", func(a *Answer) any { return &a.WorkAngle }),
	quantity("rod_angle", "rod angle", "Between rod and work.", "0 deg", "90 deg", func(a *Answer) any { return &a.RodAngle }),
	choice("rod_from", "rod from", "Ahead of the pool, under the cup; from the side where ahead there is no room.", func(a *Answer) *RodFrom { return &a.RodFrom }, Ahead, Aside),
	quantity("aim", "aim onto the base", "How far the arc points onto the base, away from the corner.", "-10 mm", "10 mm", func(a *Answer) any { return &a.Aim }),
	quantity("travel", "travel", "Speed along the seam.", "5 mm/min", "1500 mm/min", func(a *Answer) any { return &a.Travel }),
	choice("direction", "lean", "Push: the torch leans back and the rod meets the pool from the front.", func(a *Answer) *Direction { return &a.Direction }, Push, Drag),
	choice("start", "start", "Stand still until the pool is there, or move at once.", func(a *Answer) *Start { return &a.Start }, WaitForPool, GoAtOnce),
	quantity("slope_down", "slope down", "Time to ease the current out over the crater.", "0 s", "15 s", func(a *Answer) any { return &a.SlopeDown }),
	choice("sequence", "sequence", "End to end in one go, back-step in short lengths against the travel, or skip to and fro: a long seam on thin sheet pulls.",
		func(a *Answer) *Sequence { return &a.Sequence }, EndToEnd, BackStep, Skip),
	yesno("cleaned", "cleaned", "Degreased, then brushed or ground to bright metal.", func(a *Answer) *bool { return &a.Cleaned }),
	choice("solvent", "degreased with", "Degrease first, brush after, and let it dry.", func(a *Answer) *Solvent { return &a.Solvent }, Acetone, Alcohol, Chlorinated, NoSolvent),
	choice("brush", "brushed with", "Own stainless: a stainless brush kept for this metal.", func(a *Answer) *Brush { return &a.Brush }, OwnBrush, SharedBrush, SteelBrush, NoBrush),
	choice("back", "back of the joint", "What keeps air from the back where it melts through.", func(a *Answer) *Back { return &a.Back }, OpenAir, Purged, BackTape),
	quantity("purge_flow", "purge flow", "Argon to the back.", "0 L/min", "60 L/min", func(a *Answer) any { return &a.PurgeFlow }),
	quantity("purge_time", "purge before the arc", "How long argon runs behind the seam before the arc: five to ten times what the hollow holds.", "0 s", "3600 s", func(a *Answer) any { return &a.PurgeTime }),
	quantity("purge_oxygen", "oxygen left in the purge", "What the analyser reads when the arc starts.", "0 ppm", "210000 ppm", func(a *Answer) any { return &a.PurgeOxygen }),
	yesno("dam", "dam", "Foil or tape that traps the gas in a tight corner.", func(a *Answer) *bool { return &a.Dam }),
	yesno("vent", "vent", "A way out for the air in a closed hollow.", func(a *Answer) *bool { return &a.Vent }),
	quantity("tacks", "tack every", "Distance between tacks.", "5 mm", "500 mm", func(a *Answer) any { return &a.TackSpacing }),
	yesno("tacks_clean", "tacks brushed", "Tacks brushed bright before the run goes over them: what a tack took from the air goes into the pool.", func(a *Answer) *bool { return &a.TacksClean }),
	quantity("trail", "trailing shield", "Length of a gas box towed behind the cup; 0 mm is none. Titanium needs one.", "0 mm", "200 mm", func(a *Answer) any { return &a.Trail }),
}

func quantity(key, label, hint, lo, hi string, ptr func(*Answer) any) Field {
	return Field{Key: key, Label: label, Hint: hint, Min: lo, Max: hi, ptr: ptr}
}

func choice[T ~string](key, label, hint string, ptr func(*Answer) *T, values ...T) Field {
	f := Field{Key: key, Label: label, Hint: hint, ptr: func(a *Answer) any {
		p := ptr(a)
		return word{func() string { return string(*p) }, func(s string) { *p = T(s) }}
	}}
	for _, v := range values {
		f.Choices = append(f.Choices, string(v))
	}
	return f
}

// also takes the choices of f by another name too.
func also[T ~string](f Field, name func(T) string, values []T) Field {
	f.other = map[string]string{}
	for _, v := range values {
		if n := name(v); n != "" {
			f.other[strings.ToLower(n)] = string(v)
		}
	}
	return f
}

// word reads and writes a field that holds one of a few names.
type word struct {
	get func() string
	set func(string)
}

func yesno(key, label, hint string, ptr func(*Answer) *bool) Field {
	return Field{Key: key, Label: label, Hint: hint, Choices: []string{"yes", "no"}, ptr: func(a *Answer) any { return ptr(a) }}
}

// FieldByKey finds a field; ok is false when no field has the key.
func FieldByKey(key string) (Field, bool) {
	i := slices.IndexFunc(Fields, func(f Field) bool { return f.Key == key })
	if i < 0 {
		return Field{}, false
	}
	return Fields[i], true
}

// A FieldError says which field was wrong, what was read and what is allowed.
type FieldError struct {
	Key, Text, Problem string
}

func (e *FieldError) Error() string { return e.Key + ": " + e.Problem }

// Set reads text into the field of a. A bare number is taken in the system's
// unit. On error a is unchanged.
func (f Field) Set(a *Answer, text string, s System) error {
	v, err := f.parse(a, text, &s)
	if err != nil {
		return err
	}
	return f.store(a, v)
}

// SetStrict is Set for files: every number needs its unit (cup numbers have none).
func (f Field) SetStrict(a *Answer, text string) error {
	v, err := f.parse(a, text, nil)
	if err != nil {
		return err
	}
	return f.store(a, v)
}

// parse gives the value in SI for numbers, or the chosen string, or a bool.
func (f Field) parse(a *Answer, text string, bare *System) (any, error) {
	fail := func(problem string) error {
		if len(text) > maxQuantityTextLen {
			text = strings.ToValidUTF8(text[:maxQuantityTextLen], "") + "..."
		}
		return &FieldError{f.Key, text, problem}
	}
	if f.Choices != nil {
		t := strings.ToLower(strings.Join(strings.Fields(text), " "))
		if c, ok := f.other[t]; ok {
			return c, nil
		}
		for _, c := range f.Choices {
			if strings.ToLower(c) == t || f.isYesNo() && t != "" && (t == c[:1] || t == strconv.FormatBool(c == "yes")) {
				if f.isYesNo() {
					return c == "yes", nil
				}
				return c, nil
			}
		}
		hint := ""
		if n := Nearest(t, f.Choices); n != "" {
			hint = fmt.Sprintf("\ndid you mean %q?", n)
		}
		shown := text
		if len(shown) > maxQuantityTextLen {
			shown = strings.ToValidUTF8(shown[:maxQuantityTextLen], "") + "..."
		}
		return nil, fail(fmt.Sprintf("%q is not one of: %s%s", shown, strings.Join(f.Choices, ", "), hint))
	}
	d := f.dimension(a)
	if d == nil { // cup
		t := strings.TrimPrefix(strings.TrimSpace(text), "#")
		n, err := strconv.Atoi(t)
		if err != nil || n < minCup || n > maxCup {
			return nil, fail(fmt.Sprintf("%.20q is not a cup number: a whole number from %d to %d", text, minCup, maxCup))
		}
		return float64(n), nil
	}
	var u *unit
	if bare != nil {
		b := d.inSystem(*bare)
		u = &b
	}
	v, err := d.parse(text, u)
	if err != nil {
		return nil, fail(err.Error())
	}
	lo, _ := d.parse(f.Min, nil)
	hi, _ := d.parse(f.Max, nil)
	sys := Metric
	if bare != nil {
		sys = *bare
		// A limit can be typed as the message shows it, though its last digit is rounded.
		for _, limit := range []float64{lo, hi} {
			if d.bare(v, sys) == d.bare(limit, sys) {
				v = min(hi, max(lo, v))
			}
		}
	}
	if v < lo || v > hi {
		return nil, fail(fmt.Sprintf("%s is outside what the trainer takes: %s to %s", strings.TrimSpace(text), d.show(lo, sys), d.show(hi, sys)))
	}
	return v, nil
}

func (f Field) isYesNo() bool { return len(f.Choices) == 2 && f.Choices[0] == "yes" }

func (f Field) store(a *Answer, v any) error {
	switch p := f.ptr(a).(type) {
	case word:
		p.set(v.(string))
	case *bool:
		*p = v.(bool)
	case *Cup:
		*p = Cup(v.(float64))
	default:
		*f.number(a) = v.(float64)
	}
	return nil
}

// number points at the SI value of a numeric field, nil for others.
func (f Field) number(a *Answer) *float64 {
	switch p := f.ptr(a).(type) {
	case *Length:
		return (*float64)(p)
	case *Current:
		return (*float64)(p)
	case *Speed:
		return (*float64)(p)
	case *Flow:
		return (*float64)(p)
	case *Angle:
		return (*float64)(p)
	case *Duration:
		return (*float64)(p)
	case *Frequency:
		return (*float64)(p)
	case *Fraction:
		return (*float64)(p)
	case *PPM:
		return (*float64)(p)
	}
	return nil
}

func (f Field) dimension(a *Answer) *dimension {
	switch f.ptr(a).(type) {
	case *Length:
		return lengthDim
	case *Current:
		return currentDim
	case *Speed:
		return speedDim
	case *Flow:
		return flowDim
	case *Angle:
		return angleDim
	case *Duration:
		return durationDim
	case *Frequency:
		return frequencyDim
	case *Fraction:
		return fractionDim
	case *PPM:
		return ppmDim
	}
	return nil
}

// Numeric says whether the field is a quantity that can be varied smoothly.
func (f Field) Numeric() bool { var a Answer; return f.number(&a) != nil }

// Value gives the SI value of a numeric field; ok is false for others.
func (f Field) Value(a Answer) (v float64, ok bool) {
	if p := f.number(&a); p != nil {
		return *p, true
	}
	return 0, false
}

// SetValue stores an SI value in a numeric field, held inside what the field allows.
func (f Field) SetValue(a *Answer, v float64) {
	d := f.dimension(a)
	if d == nil {
		return
	}
	lo, _ := d.parse(f.Min, nil)
	hi, _ := d.parse(f.Max, nil)
	*f.number(a) = min(hi, max(lo, v))
}

// Get prints the field exactly, as SetStrict reads it.
func (f Field) Get(a Answer) string {
	return f.text(a, func(d *dimension, v float64) string { return d.exact(v, d.units[0]) })
}

// Show prints the field rounded, in the system's unit.
func (f Field) Show(a Answer, s System) string {
	return f.text(a, func(d *dimension, v float64) string { return d.show(v, s) })
}

// Bare prints the field as Show does but without the unit, for a form that stands the unit beside it.
func (f Field) Bare(a Answer, s System) string {
	return f.text(a, func(d *dimension, v float64) string { return d.bare(v, s) })
}

func (f Field) text(a Answer, number func(*dimension, float64) string) string {
	switch p := f.ptr(&a).(type) {
	case word:
		return p.get()
	case *bool:
		if *p {
			return "yes"
		}
		return "no"
	case *Cup:
		return strconv.Itoa(int(*p))
	}
	return number(f.dimension(&a), *f.number(&a))
}

// Unit names the unit a bare number is taken in; empty for choices and cups.
func (f Field) Unit(s System) string {
	var a Answer
	if d := f.dimension(&a); d != nil {
		return d.inSystem(s).names[0]
	}
	return ""
}

// UnitSize gives the SI size of the unit a bare number is taken in; 1 for choices and cups.
func (f Field) UnitSize(s System) float64 {
	var a Answer
	if d := f.dimension(&a); d != nil {
		size, _ := d.inSystem(s).per.Float64()
		return size
	}
	return 1
}

// Ruler gives a length that is a whole number of 64ths of an inch as a rule is read,
// such as 3/32; empty for other lengths, whole inches and what is no length.
func (f Field) Ruler(a Answer) string {
	if f.dimension(&a) != lengthDim {
		return ""
	}
	n := *f.number(&a) / (float64(Inch) / 64)
	whole := math.Round(n)
	if int(whole)%64 == 0 || math.Abs(n-whole) > 1e-9 {
		return ""
	}
	r := big.NewRat(int64(whole), 64)
	if inches := new(big.Int).Quo(r.Num(), r.Denom()); inches.Sign() != 0 {
		return inches.String() + " " + new(big.Rat).Sub(r, new(big.Rat).SetInt(inches)).RatString()
	}
	return r.RatString()
}

// Nearest gives the candidate spelled most like s, or "" when none is close.
func Nearest(s string, candidates []string) string {
	best, bestCost := "", max(2, len(s)/3)+1
	if len(s) > 64 {
		return ""
	}
	for _, c := range candidates {
		if cost := editDistance(strings.ToLower(s), strings.ToLower(c)); cost < bestCost {
			best, bestCost = c, cost
		}
	}
	return best
}

// editDistance is the Levenshtein distance.
func editDistance(a, b string) int {
	prev := make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := range len(a) {
		diag := prev[0]
		prev[0] = i + 1
		for j := range len(b) {
			cost := diag
			if a[i] != b[j] {
				cost++
			}
			diag = prev[j+1]
			prev[j+1] = min(cost, prev[j]+1, diag+1)
		}
	}
	return prev[len(b)]
}
