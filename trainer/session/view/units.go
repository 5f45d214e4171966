package view

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"puddlewise/scoring/weld"
)

// quantities finds lengths, speeds, flows and temperatures in a sentence of the model,
// alone or as a range: "7.1 mm", "25 to 50 mm".
var quantities = regexp.MustCompile(`(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? (mm/min|mm|L/min|m/s|C)\b`)

// Said gives a sentence of the model, which speaks metric, in the learner's units.
func Said(sentence string, sys weld.System) string {
	if sys == weld.Metric {
		return sentence
	}
	return quantities.ReplaceAllStringFunc(sentence, func(found string) string {
		m := quantities.FindStringSubmatch(found)
		out := show(m[1], m[3], sys)
		if m[2] != "" {
			number, _, _ := strings.Cut(out, " ")
			out = number + " to " + show(m[2], m[3], sys)
		}
		return out
	})
}

// show gives a number of a metric unit in the units of sys.
func show(number, unit string, sys weld.System) string {
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return number + " " + unit
	}
	switch unit {
	case "mm":
		return weld.Length(v * float64(weld.Millimetre)).Show(sys)
	case "mm/min":
		return weld.Speed(v * float64(weld.MillimetrePerMin)).Show(sys)
	case "L/min":
		return weld.Flow(v * float64(weld.LitrePerMin)).Show(sys)
	case "C":
		return weld.Celsius(v).Show(sys)
	}
	return wind(v, sys)
}

// Wind prints the speed of air across a joint.
func Wind(v weld.Speed, sys weld.System) string { return wind(float64(v), sys) }

// wind prints the speed of air, m/s.
func wind(v float64, sys weld.System) string {
	if sys == weld.Imperial {
		return fmt.Sprintf("%.0f ft/min", v*60/0.3048)
	}
	return strconv.FormatFloat(v, 'f', 1, 64) + " m/s"
}
