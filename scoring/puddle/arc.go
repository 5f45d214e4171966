package puddle

import (
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/weld"
)

// Constants of the arc. They are the few that are calibrated or assumed; each
// stands here with its published range, and none is set per joint or thickness.
const (
	// EfficiencyDC is the share of the arc's power that enters the work, electrode
	// negative. Literature mean 0.77-0.78, range 0.36-0.90 (Stenbacka et al. 2012);
	// 0.67 (DuPont and Marder 1995). Value used: 0.70.
	EfficiencyDC = 0.70
	// EfficiencyAC on aluminium, at 70 % electrode negative. Few data, 0.5-0.7 from memory.
	EfficiencyAC = 0.55
	// EfficiencyDCEP: with the tungsten positive most of the heat stays in it. Assumed.
	EfficiencyDCEP = 0.45
	// efficiencyPerMM is lost with each mm of arc beyond 1.5 mm; longer arcs heat less
	// (Niles and Jackson 1975, trend from memory).
	efficiencyPerMM = 0.03
	usualArc        = 1.5 // mm

	// Arc voltage 8.5 V + 0.9 V/mm + 0.006 V/A in argon: 9-12 V at 50-150 A in
	// practice (from memory). AC adds 2 V; helium adds up to 5 V.
	voltsBase, voltsPerMM, voltsPerAmp = 8.5, 0.9, 0.006
	voltsAC, voltsHelium               = 2.0, 5.0

	// Radius of the heat, standard deviation: 1.3 mm (I/100)^0.3 (0.5 + 0.25 L/mm),
	// a fifth wider on AC. Trend of Tsai and Eagar 1985; scaling assumed. Below 40 A arcs are not Gaussian.
	sigmaAt100, sigmaPower, sigmaFixed, sigmaPerMM, sigmaAC = 1.3e-3, 0.3, 0.5, 0.25, 1.2

	// Arc pressure at the middle, Pa at 100 A, growing with I^1.7: known to a factor of 2
	// (Lin and Eagar 1986 measured 300-600 A; estimate).
	pressureAt100, pressurePower = 150.0, 1.7
)

// helium gives the helium share of a gas.
func helium(g weld.Gas) float64 {
	return map[weld.Gas]float64{weld.Helium: 1, weld.ArHe25: 0.25, weld.ArHe50: 0.5, weld.ArHe75: 0.75}[g]
}

// Volts gives the arc's voltage at current i.
func Volts(a weld.Answer, i weld.Current) weld.Voltage {
	v := voltsBase + float64(voltsPerMM*a.ArcLength.MM()) + float64(voltsPerAmp*float64(i)) + float64(voltsHelium*helium(a.Gas))
	if a.Polarity == weld.AC {
		v += voltsAC
	}
	return weld.Voltage(v)
}

// Absorbed gives the heat that enters the work at current i.
func Absorbed(a weld.Answer, i weld.Current) weld.Power {
	eta := EfficiencyDC
	switch a.Polarity {
	case weld.AC:
		// More electrode negative puts more of the heat into the work.
		eta = EfficiencyAC + float64(0.25*(float64(a.ACBalance)-0.70))
	case weld.DCEP:
		eta = EfficiencyDCEP
	}
	eta -= float64(efficiencyPerMM * (a.ArcLength.MM() - usualArc))
	return weld.Power(float64(math.Max(eta, 0.2)*float64(i)) * float64(Volts(a, i)))
}

// Spread gives the standard deviation of the heat on the work at current i.
func Spread(a weld.Answer, i weld.Current) weld.Length {
	s := float64(float64(sigmaAt100*detmath.Pow(float64(i)/100, sigmaPower)) * (sigmaFixed + float64(sigmaPerMM*a.ArcLength.MM())))
	if a.Polarity == weld.AC {
		s = float64(s * sigmaAC)
	}
	// A torch laid over spreads its heat along the seam.
	lean := math.Max(0.5, detmath.Sin(float64(a.TorchAngle)))
	return weld.Length(s / math.Sqrt(lean))
}

// Pressure gives the arc's pressure at its middle, Pa.
func Pressure(i weld.Current) float64 {
	return float64(pressureAt100 * detmath.Pow(float64(i)/100, pressurePower))
}
