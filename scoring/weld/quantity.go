package weld

import (
	"fmt"
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// Quantities hold SI units: metres, amperes, volts, metres per second, cubic
// metres per second, radians, kelvin, seconds, watts, hertz. Each prints and
// parses in metric and inch units; Parse(q.String()) gives back q exactly.
type (
	Length      float64 // m
	Current     float64 // A
	Voltage     float64 // V
	Speed       float64 // m/s
	Flow        float64 // m3/s at 20 C and 1 atm
	Angle       float64 // rad
	Temperature float64 // K
	Duration    float64 // s
	Power       float64 // W
	Frequency   float64 // Hz
	Fraction    float64 // 1; typed and printed in percent
	PPM         float64 // 1; typed and printed in parts per million by volume
)

// Units to build quantities in code: 1.4 * weld.Millimetre.
const (
	Millimetre       Length   = 1e-3
	Inch             Length   = 0.0254
	MillimetrePerMin Speed    = 1e-3 / 60
	InchPerMin       Speed    = 0.0254 / 60
	LitrePerMin      Flow     = 1e-3 / 60
	CubicFootPerHour Flow     = 0.3048 * 0.3048 * 0.3048 / 3600
	Degree           Angle    = 3.14159265358979323846 / 180
	Percent          Fraction = 0.01
	PartPerMillion   PPM      = 1e-6
)

const (
	zeroCelsius        = 273.15 // K, by definition of the Celsius scale
	maxQuantityTextLen = 48     // longer input is cut in messages
)

// MM returns the length in millimetres.
func (l Length) MM() float64 { return float64(l) / 1e-3 }

// MMPerMin returns the speed in millimetres per minute.
func (s Speed) MMPerMin() float64 { return float64(s) / float64(MillimetrePerMin) }

// LPerMin returns the flow in litres per minute.
func (f Flow) LPerMin() float64 { return float64(f) / float64(LitrePerMin) }

// Degrees returns the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a) / float64(Degree) }

// Celsius makes a temperature from degrees Celsius.
func Celsius(c float64) Temperature { return Temperature(c + zeroCelsius) }

// Celsius returns the temperature in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) - zeroCelsius }

// System is the set of units a learner reads and types without naming them.
type System uint8

// The two systems of units.
const (
	Metric System = iota
	Imperial
)

// unit is one name under which a quantity may be typed. value = number*per + offset, exactly.
type unit struct {
	names    []string // the first is the one printed
	per      *big.Rat
	offset   *big.Rat // nil for none
	decimals int      // shown by Show
}

// dimension is a kind of quantity: how it is called, and its units, the first
// metric, the second imperial (the same where the trade has only one).
type dimension struct {
	name    string
	units   []unit
	example string
}

func ratio(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("weld: bad ratio " + s)
	}
	return r
}

var (
	lengthDim = &dimension{"length", []unit{
		{[]string{"mm"}, ratio("1/1000"), nil, 2},
		{[]string{"in", "inch", "inches", "\""}, ratio("127/5000"), nil, 3},
		{[]string{"thou", "thousandths", "mil"}, ratio("127/5000000"), nil, 0},
		{[]string{"cm"}, ratio("1/100"), nil, 2},
		{[]string{"um", "µm"}, ratio("1/1000000"), nil, 0},
		{[]string{"m"}, ratio("1"), nil, 4},
		{[]string{"ft"}, ratio("381/1250"), nil, 3},
	}, "1.4 mm, 0.055 in, 55 thou or 1/16 in"}
	currentDim = &dimension{"current", []unit{
		{[]string{"A", "amp", "amps", "ampere", "amperes"}, ratio("1"), nil, 0},
	}, "60 A"}
	voltageDim = &dimension{"voltage", []unit{
		{[]string{"V", "volt", "volts"}, ratio("1"), nil, 1},
	}, "10 V"}
	speedDim = &dimension{"speed", []unit{
		{[]string{"mm/min"}, ratio("1/60000"), nil, 0},
		{[]string{"ipm", "in/min"}, ratio("127/300000"), nil, 1},
		{[]string{"mm/s"}, ratio("1/1000"), nil, 2},
		{[]string{"cm/min"}, ratio("1/6000"), nil, 1},
		{[]string{"m/s"}, ratio("1"), nil, 2},
		{[]string{"m/min"}, ratio("1/60"), nil, 2},
	}, "120 mm/min, 5 ipm or 2 mm/s"}
	flowDim = &dimension{"gas flow", []unit{
		{[]string{"L/min", "l/min", "lpm"}, ratio("1/60000"), nil, 1},
		{[]string{"cfh", "CFH", "ft3/h"}, new(big.Rat).Quo(ratio("55306341/1953125000"), ratio("3600")), nil, 0},
		{[]string{"m3/s"}, ratio("1"), nil, 6},
	}, "9 L/min or 20 cfh"}
	angleDim = &dimension{"angle", []unit{
		{[]string{"deg", "°", "degrees"}, new(big.Rat).SetFloat64(float64(Degree)), nil, 0},
		{[]string{"rad"}, ratio("1"), nil, 3},
	}, "75 deg"}
	temperatureDim = &dimension{"temperature", []unit{
		{[]string{"C", "°C", "degC"}, ratio("1"), ratio("273.15"), 0},
		{[]string{"F", "°F", "degF"}, ratio("5/9"), ratio("45967/180"), 0},
		{[]string{"K"}, ratio("1"), nil, 0},
	}, "150 C or 300 F"}
	durationDim = &dimension{"time", []unit{
		{[]string{"s", "sec", "second", "seconds"}, ratio("1"), nil, 1},
		{[]string{"min"}, ratio("60"), nil, 1},
		{[]string{"ms"}, ratio("1/1000"), nil, 0},
	}, "8 s"}
	powerDim = &dimension{"power", []unit{
		{[]string{"W", "watt", "watts"}, ratio("1"), nil, 0},
		{[]string{"kW"}, ratio("1000"), nil, 2},
	}, "500 W"}
	frequencyDim = &dimension{"frequency", []unit{
		{[]string{"Hz", "hz"}, ratio("1"), nil, 0},
	}, "100 Hz"}
	fractionDim = &dimension{"share", []unit{
		{[]string{"%", "percent"}, ratio("1/100"), nil, 0},
	}, "70 %"}
	ppmDim = &dimension{"share of gas", []unit{
		{[]string{"ppm"}, ratio("1/1000000"), nil, 0},
		{[]string{"%", "percent"}, ratio("1/100"), nil, 2},
	}, "50 ppm or 0.1 %"}
)

// inSystem is the unit a system prints.
func (d *dimension) inSystem(s System) unit {
	if s == Imperial && len(d.units) > 1 && d != angleDim && d != durationDim && d != powerDim && d != ppmDim {
		return d.units[1]
	}
	return d.units[0]
}

var (
	decimalRE  = regexp.MustCompile(`^[+-]?(\d{1,25}\.?\d{0,25}|\.\d{1,25})([eE][+-]?\d{1,3})?$`)
	fractionRE = regexp.MustCompile(`^([+-]?)(?:(\d{1,4})[ -])?(\d{1,4})/(\d{1,4})$`)
	// unclearRE finds 1,400: 1.4 in one country, fourteen hundred in another.
	unclearRE = regexp.MustCompile(`^[+-]?[1-9]\d{0,2},\d{3}(\D|$)`)
	// quantityRE splits a number (decimal, or a fraction such as 1 1/16) from its unit.
	quantityRE = regexp.MustCompile(`^([+-]?(?:(?:\d{1,4}[ -])?\d{1,4}/\d{1,4}|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?))\s*(.*)$`)
)

// number reads a decimal number or a fraction such as 1/16 or 1 1/16.
func number(s string) (*big.Rat, bool) {
	if decimalRE.MatchString(s) {
		return new(big.Rat).SetString(s)
	}
	m := fractionRE.FindStringSubmatch(s)
	if m == nil {
		return nil, false
	}
	r, ok := new(big.Rat).SetString(m[3] + "/" + m[4])
	if !ok { // division by zero
		return nil, false
	}
	if m[2] != "" {
		r.Add(r, ratio(m[2]))
	}
	if m[1] == "-" {
		r.Neg(r)
	}
	return r, true
}

// A QuantityError says what was read and what is allowed.
type QuantityError struct {
	Text    string // as typed, cut to a readable length
	What    string // "length", "gas flow"...
	Problem string
	Example string
}

func (e *QuantityError) Error() string {
	a := "a"
	if strings.ContainsRune("aeio", rune(e.What[0])) {
		a = "an"
	}
	return fmt.Sprintf("%q is not %s %s: %s\nwrite %s", e.Text, a, e.What, e.Problem, e.Example)
}

// parse reads number and unit. A bare number is taken in bare's unit, or refused when bare is nil.
func (d *dimension) parse(text string, bare *unit) (float64, error) {
	shown := text
	if len(shown) > maxQuantityTextLen {
		shown = strings.ToValidUTF8(shown[:maxQuantityTextLen], "") + "..."
	}
	fail := func(problem string) (float64, error) {
		return 0, &QuantityError{shown, d.name, problem, d.example}
	}
	s := strings.TrimSpace(text)
	if s == "" {
		return fail("nothing was given")
	}
	if len(s) > 4*maxQuantityTextLen {
		return fail("too long")
	}
	if unclearRE.MatchString(s) {
		return fail("it can be read two ways: write a point for decimals and nothing for thousands")
	}
	// A comma is the decimal sign in many shops; with a point beside it the number is unclear.
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	m := quantityRE.FindStringSubmatch(s)
	if m == nil {
		return fail("it does not begin with a number")
	}
	n, ok := number(strings.TrimSpace(m[1]))
	if !ok {
		return fail(fmt.Sprintf("%q is not a number", m[1]))
	}
	u := bare
	if name := strings.TrimSpace(m[2]); name != "" {
		if u = d.find(name); u == nil {
			return fail(fmt.Sprintf("unknown unit %q, allowed are %s", name, d.unitNames()))
		}
	}
	if u == nil {
		return fail("the unit is missing, allowed are " + d.unitNames())
	}
	v := new(big.Rat).Mul(n, u.per)
	if u.offset != nil {
		v.Add(v, u.offset)
	}
	f, _ := v.Float64()
	if f > 1e30 || f < -1e30 {
		return fail("far too large")
	}
	return f, nil
}

func (d *dimension) find(name string) *unit {
	for _, fold := range []bool{false, true} {
		for i := range d.units {
			for _, n := range d.units[i].names {
				if n == name || fold && strings.EqualFold(n, name) {
					return &d.units[i]
				}
			}
		}
	}
	return nil
}

func (d *dimension) unitNames() string {
	var names []string
	for _, u := range d.units {
		names = append(names, u.names[0])
	}
	return strings.Join(names, ", ")
}

// exact prints v in u with the fewest digits that parse back to v.
func (d *dimension) exact(v float64, u unit) string {
	r := new(big.Rat)
	if r.SetFloat64(v) == nil {
		return "not a number" // never parses; quantities are finite
	}
	if u.offset != nil {
		r.Sub(r, u.offset)
	}
	r.Quo(r, u.per)
	f := new(big.Float).SetPrec(200).SetRat(r)
	for digits := 1; ; digits++ {
		s := trimZeros(f.Text('g', digits)) + " " + u.names[0]
		if back, err := d.parse(s, nil); err == nil && back == v || digits == 40 {
			return s
		}
	}
}

// trimZeros turns 6e+01 into 60 and keeps exponents out of everyday numbers.
func trimZeros(s string) string {
	mant, exp, found := strings.Cut(s, "e")
	if !found {
		return s
	}
	e, err := strconv.Atoi(exp)
	if err != nil || e < -6 || e > 12 { // parse takes at most 25 decimals
		return s
	}
	f, ok := new(big.Float).SetPrec(200).SetString(mant + "e" + exp)
	if !ok {
		return s
	}
	digits := len(strings.TrimLeft(strings.ReplaceAll(mant, ".", ""), "-0")) // significant digits
	return f.Text('f', max(0, digits-1-e))
}

// show prints v rounded for reading: at most u.decimals decimals, no trailing zeros.
func (d *dimension) show(v float64, s System) string {
	u := d.inSystem(s)
	return d.bare(v, s) + " " + u.names[0]
}

// bare prints v as show does, without the unit.
func (d *dimension) bare(v float64, s System) string {
	u := d.inSystem(s)
	r := new(big.Rat)
	if r.SetFloat64(v) == nil {
		return "?"
	}
	if u.offset != nil {
		r.Sub(r, u.offset)
	}
	r.Quo(r, u.per)
	// 1/8 in is 3.175 mm but for the last bit: round what was typed, not that bit.
	t := ratio(new(big.Float).SetPrec(200).SetRat(r).Text('g', 15)).FloatString(u.decimals)
	if strings.Contains(t, ".") {
		t = strings.TrimRight(strings.TrimRight(t, "0"), ".")
	}
	if t == "-0" {
		t = "0"
	}
	return t
}
