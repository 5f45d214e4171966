package cli

import (
	"math"

	"puddlewise/trainer/verify"
)

// rules prints what the model says of the trade's rules.
func (o *verifyOptions) rules() error {
	if o.Cases != "" || o.All {
		return usageError("--rules goes with neither --cases nor --all: it compares nothing\npuddlewise verify --help says what it prints")
	}
	r, err := verify.ComputeRules()
	if err != nil {
		return err
	}
	if o.JSON {
		return printJSON(o.Out, newRulesJSON(r))
	}
	return r.WriteText(o.Out)
}

// rulesJSON is what verify --rules --json prints.
type rulesJSON struct {
	Amps      []ampsJSON      `json:"amps"`
	Dabs      []dabsJSON      `json:"dabs"`
	Published []publishedJSON `json:"published"`
	Constants []constantJSON  `json:"constants"`
}

type ampsJSON struct {
	Joint   string       `json:"joint"`
	Metal   string       `json:"metal"`
	Windows []windowJSON `json:"windows"`
}

// windowJSON is a window of current; null where the model gives no edge.
type windowJSON struct {
	Wall    float64  `json:"wall_mm"`
	Travel  float64  `json:"travel_mm_min"`
	Low     *float64 `json:"low_a"`
	High    *float64 `json:"high_a"`
	Open    bool     `json:"open"`
	PerThou *float64 `json:"per_thou"`
	Error   string   `json:"error"`
}

type dabsJSON struct {
	Joint string    `json:"joint"`
	Wall  float64   `json:"wall_mm"`
	Dabs  []dabJSON `json:"dabs"`
}

type dabJSON struct {
	Gap     float64 `json:"gap_mm"`
	Spacing float64 `json:"spacing_mm"`
	Stop    string  `json:"stop"` // the rule that stops a wider one
	Error   string  `json:"error"`
}

type publishedJSON struct {
	ID       string     `json:"id"`
	Joint    string     `json:"joint"`
	Material string     `json:"material"`
	Wall     float64    `json:"wall_mm"`
	AmpsLow  float64    `json:"amps_low"`
	AmpsHigh float64    `json:"amps_high"`
	Slow     float64    `json:"travel_low_mm_min"`
	Quick    float64    `json:"travel_high_mm_min"`
	Window   windowJSON `json:"window"`
	Inside   bool       `json:"inside"`
	Meets    bool       `json:"meets"`
	Source   string     `json:"source"`
}

type constantJSON struct {
	Name   string  `json:"name"`
	Used   float64 `json:"used"`
	Unit   string  `json:"unit"`
	Range  string  `json:"range"`
	Source string  `json:"source"`
}

func newRulesJSON(r verify.Rules) rulesJSON {
	var out rulesJSON
	for _, row := range r.Amps {
		a := ampsJSON{Joint: string(row.Joint), Metal: string(row.Metal)}
		for _, w := range row.Windows {
			a.Windows = append(a.Windows, newWindowJSON(w))
		}
		out.Amps = append(out.Amps, a)
	}
	for _, row := range r.Dabs {
		d := dabsJSON{Joint: string(row.Joint), Wall: mm(row.Wall)}
		for _, x := range row.Dabs {
			d.Dabs = append(d.Dabs, dabJSON{mm(x.Gap), round(x.Spacing.MM(), 10), x.Stop, errorText(x.Err)})
		}
		out.Dabs = append(out.Dabs, d)
	}
	for _, row := range r.Published {
		out.Published = append(out.Published, publishedJSON{
			row.ID, row.Joint, row.Material, mm(row.Wall), float64(row.Amps[0]), float64(row.Amps[1]),
			round(row.Travel[0].MMPerMin(), 1), round(row.Travel[1].MMPerMin(), 1), newWindowJSON(row.Window), row.Inside(), row.Meets(), row.Source,
		})
	}
	for _, c := range r.Constants {
		out.Constants = append(out.Constants, constantJSON{c.Name, round(c.Used, 1e4), c.Unit, c.Range, c.Source})
	}
	return out
}

func newWindowJSON(w verify.Window) windowJSON {
	out := windowJSON{Wall: mm(w.Wall), Travel: round(w.Travel.MMPerMin(), 1), Open: w.Open(), Error: errorText(w.Err)}
	if w.Err == nil {
		out.Low, out.High = finite(float64(w.Range.Low), 1), finite(float64(w.Range.High), 1)
	}
	if w.Open() {
		out.PerThou = finite(w.PerThou(), 100)
	}
	return out
}

// finite gives v to the nearest 1/per, nil when it is not a number.
func finite(v, per float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	v = round(v, per)
	return &v
}

func errorText(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}
