package weld

// One block per quantity: strict parsing, exact printing, rounded printing.

// ParseLength reads a length with its unit; the error says what was read and what is allowed.
func ParseLength(s string) (Length, error) { v, err := lengthDim.parse(s, nil); return Length(v), err }

// String prints the quantity exactly: ParseLength of it is the same value.
func (q Length) String() string { return lengthDim.exact(float64(q), lengthDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Length) Show(s System) string { return lengthDim.show(float64(q), s) }

// ParseCurrent reads a current with its unit; the error says what was read and what is allowed.
func ParseCurrent(s string) (Current, error) {
	v, err := currentDim.parse(s, nil)
	return Current(v), err
}

// String prints the quantity exactly: ParseCurrent of it is the same value.
func (q Current) String() string { return currentDim.exact(float64(q), currentDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Current) Show(s System) string { return currentDim.show(float64(q), s) }

// ParseVoltage reads an arc voltage with its unit; the error says what was read and what is allowed.
func ParseVoltage(s string) (Voltage, error) {
	v, err := voltageDim.parse(s, nil)
	return Voltage(v), err
}

// String prints the quantity exactly: ParseVoltage of it is the same value.
func (q Voltage) String() string { return voltageDim.exact(float64(q), voltageDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Voltage) Show(s System) string { return voltageDim.show(float64(q), s) }

// ParseSpeed reads a speed with its unit; the error says what was read and what is allowed.
func ParseSpeed(s string) (Speed, error) { v, err := speedDim.parse(s, nil); return Speed(v), err }

// String prints the quantity exactly: ParseSpeed of it is the same value.
func (q Speed) String() string { return speedDim.exact(float64(q), speedDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Speed) Show(s System) string { return speedDim.show(float64(q), s) }

// ParseFlow reads a gas flow with its unit; the error says what was read and what is allowed.
func ParseFlow(s string) (Flow, error) { v, err := flowDim.parse(s, nil); return Flow(v), err }

// String prints the quantity exactly: ParseFlow of it is the same value.
func (q Flow) String() string { return flowDim.exact(float64(q), flowDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Flow) Show(s System) string { return flowDim.show(float64(q), s) }

// ParseAngle reads an angle with its unit; the error says what was read and what is allowed.
func ParseAngle(s string) (Angle, error) { v, err := angleDim.parse(s, nil); return Angle(v), err }

// String prints the quantity exactly: ParseAngle of it is the same value.
func (q Angle) String() string { return angleDim.exact(float64(q), angleDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Angle) Show(s System) string { return angleDim.show(float64(q), s) }

// ParseTemperature reads a temperature with its unit; the error says what was read and what is allowed.
func ParseTemperature(s string) (Temperature, error) {
	v, err := temperatureDim.parse(s, nil)
	return Temperature(v), err
}

// String prints the quantity exactly: ParseTemperature of it is the same value.
func (q Temperature) String() string {
	return temperatureDim.exact(float64(q), temperatureDim.units[0])
}

// Show prints the quantity rounded, in the system's unit.
func (q Temperature) Show(s System) string { return temperatureDim.show(float64(q), s) }

// ParseDuration reads a time with its unit; the error says what was read and what is allowed.
func ParseDuration(s string) (Duration, error) {
	v, err := durationDim.parse(s, nil)
	return Duration(v), err
}

// String prints the quantity exactly: ParseDuration of it is the same value.
func (q Duration) String() string { return durationDim.exact(float64(q), durationDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Duration) Show(s System) string { return durationDim.show(float64(q), s) }

// ParsePower reads a power with its unit; the error says what was read and what is allowed.
func ParsePower(s string) (Power, error) { v, err := powerDim.parse(s, nil); return Power(v), err }

// String prints the quantity exactly: ParsePower of it is the same value.
func (q Power) String() string { return powerDim.exact(float64(q), powerDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Power) Show(s System) string { return powerDim.show(float64(q), s) }

// ParseFrequency reads a frequency with its unit; the error says what was read and what is allowed.
func ParseFrequency(s string) (Frequency, error) {
	v, err := frequencyDim.parse(s, nil)
	return Frequency(v), err
}

// String prints the quantity exactly: ParseFrequency of it is the same value.
func (q Frequency) String() string { return frequencyDim.exact(float64(q), frequencyDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Frequency) Show(s System) string { return frequencyDim.show(float64(q), s) }

// ParseFraction reads a share in percent with its unit; the error says what was read and what is allowed.
func ParseFraction(s string) (Fraction, error) {
	v, err := fractionDim.parse(s, nil)
	return Fraction(v), err
}

// String prints the quantity exactly: ParseFraction of it is the same value.
func (q Fraction) String() string { return fractionDim.exact(float64(q), fractionDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q Fraction) Show(s System) string { return fractionDim.show(float64(q), s) }

// ParsePPM reads a share in parts per million with its unit; the error says what was read and what is allowed.
func ParsePPM(s string) (PPM, error) { v, err := ppmDim.parse(s, nil); return PPM(v), err }

// String prints the quantity exactly: ParsePPM of it is the same value.
func (q PPM) String() string { return ppmDim.exact(float64(q), ppmDim.units[0]) }

// Show prints the quantity rounded, in the system's unit.
func (q PPM) Show(s System) string { return ppmDim.show(float64(q), s) }
