package cli

import (
	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// verdictJSON is the shape of weld --json. It is stable: keys are added, never
// renamed or dropped. The help topic json describes every key, and a test
// holds the two together.
type verdictJSON struct {
	Scenario     string            `json:"scenario"`
	Seed         int64             `json:"seed"`
	ModelVersion string            `json:"model_version"`
	Outcome      scoring.Outcome   `json:"outcome"`
	Reason       string            `json:"reason"`
	Scores       scoresJSON        `json:"scores"`
	Findings     []findingJSON     `json:"findings"`
	Signs        []signJSON        `json:"signs"`
	Coupon       couponJSON        `json:"coupon"`
	Answer       map[string]string `json:"answer"`
	Rescue       *rescueJSON       `json:"rescue"`
}

// rescueJSON is the smallest change that saves a rejected answer.
type rescueJSON struct {
	Changes []changeJSON `json:"changes"`
	Scores  scoresJSON   `json:"scores"`
}

type changeJSON struct {
	Field string `json:"field"`
	From  string `json:"from"`
	To    string `json:"to"`
}

func newRescueJSON(r *scoring.Rescue) *rescueJSON {
	if r == nil {
		return nil
	}
	out := &rescueJSON{Scores: newScoresJSON(r.Verdict.Outcome, r.Verdict.Scores)}
	for _, c := range r.Changes {
		out.Changes = append(out.Changes, changeJSON{c.Field.Key, c.From, c.To})
	}
	return out
}

// scoresJSON holds nulls when the coupon is out of range and so not scored.
type scoresJSON struct {
	BurnThrough  *float64 `json:"burn_through"`
	LackOfFusion *float64 `json:"lack_of_fusion"`
	Oxide        *float64 `json:"oxide"`
}

type findingJSON struct {
	Rule     string           `json:"rule"`
	Severity scoring.Severity `json:"severity"`
	FromMM   float64          `json:"from_mm"`
	ToMM     float64          `json:"to_mm"`
	Score    string           `json:"score"`
	Got      string           `json:"got"`
	Want     string           `json:"want"`
	Why      string           `json:"why"`
	Fix      string           `json:"fix"`
	Source   string           `json:"source"`
}

type signJSON struct {
	ID       string  `json:"id"`
	Place    string  `json:"place"`
	Words    string  `json:"words"`
	Means    string  `json:"means"`
	Strength float64 `json:"strength"`
	FromMM   float64 `json:"from_mm"`
	ToMM     float64 `json:"to_mm"`
}

// couponJSON holds one array for each measure, with a value for each station.
type couponJSON struct {
	AlongMM     []float64  `json:"along_mm"`
	FaceWidthMM []float64  `json:"face_width_mm"`
	BackWidthMM []float64  `json:"back_width_mm"`
	Penetration []float64  `json:"penetration"`
	LegAMM      []float64  `json:"leg_a_mm"`
	LegBMM      []float64  `json:"leg_b_mm"`
	ThroatMM    []float64  `json:"throat_mm"`
	CapMM       []float64  `json:"cap_mm"`
	RootMM      []float64  `json:"root_mm"`
	UndercutMM  []float64  `json:"undercut_mm"`
	ToeDeg      []float64  `json:"toe_deg"`
	PeakFaceC   []float64  `json:"peak_face_c"`
	PeakBackC   []float64  `json:"peak_back_c"`
	Hole        []bool     `json:"hole"`
	Colour      []string   `json:"colour"`
	BackColour  []string   `json:"back_colour"`
	ColdLap     []bool     `json:"cold_lap"`
	Worst       worstJSON  `json:"worst"`
	Holes       []spanJSON `json:"holes"`

	PeakTemperatureC float64 `json:"peak_temperature_c"`
	HeatInputKJPerMM float64 `json:"heat_input_kj_per_mm"`
	PoolLengthMM     float64 `json:"pool_length_mm"`
	CraterMM         float64 `json:"crater_mm"`
	CoolingS         float64 `json:"cooling_s"`
	BackSample       int     `json:"back_sample"`
	Porosity         float64 `json:"porosity"`
}

// worstJSON is the extreme of each measure that speaks against the weld.
type worstJSON struct {
	FaceWidthMM float64 `json:"face_width_mm"`
	BackWidthMM float64 `json:"back_width_mm"`
	Penetration float64 `json:"penetration"`
	LegAMM      float64 `json:"leg_a_mm"`
	LegBMM      float64 `json:"leg_b_mm"`
	ThroatMM    float64 `json:"throat_mm"`
	CapMM       float64 `json:"cap_mm"`
	RootMM      float64 `json:"root_mm"`
	UndercutMM  float64 `json:"undercut_mm"`
	ToeDeg      float64 `json:"toe_deg"`
	PeakFaceC   float64 `json:"peak_face_c"`
	PeakBackC   float64 `json:"peak_back_c"`
	Hole        bool    `json:"hole"`
	Colour      string  `json:"colour"`
	BackColour  string  `json:"back_colour"`
	ColdLap     bool    `json:"cold_lap"`
}

type spanJSON struct {
	FromMM float64 `json:"from_mm"`
	ToMM   float64 `json:"to_mm"`
}

// newVerdictJSON is for a verdict of today's model.
func newVerdictJSON(sc scenarios.Scenario, a weld.Answer, v scoring.Verdict) verdictJSON {
	out := verdictJSON{
		Scenario: sc.ID, Seed: sc.Seed, ModelVersion: scoring.ModelVersion, Outcome: v.Outcome, Reason: v.Reason,
		Scores: newScoresJSON(v.Outcome, v.Scores), Findings: make([]findingJSON, 0, len(v.Findings)), Signs: make([]signJSON, 0, len(v.Signs)),
		Coupon: newCouponJSON(v.Coupon), Answer: map[string]string{},
	}
	for _, f := range v.Findings {
		out.Findings = append(out.Findings, findingJSON{
			Rule: f.Rule, Severity: f.Severity, FromMM: mm(f.From), ToMM: mm(f.To), Score: f.Score,
			Got: f.Got, Want: f.Want, Why: f.Why, Fix: f.Fix, Source: f.Source,
		})
	}
	for _, s := range v.Signs {
		means, _ := scoring.Meaning(s.ID)
		out.Signs = append(out.Signs, signJSON{s.ID, s.Place, s.Words, means, shareOf(s.Strength), mm(s.From), mm(s.To)})
	}
	for _, f := range weld.Fields {
		out.Answer[f.Key] = f.Get(a)
	}
	return out
}

func newScoresJSON(o scoring.Outcome, s scoring.Scores) scoresJSON {
	if o == scoring.OutOfRange {
		return scoresJSON{}
	}
	p := func(x float64) *float64 { x = score(x); return &x }
	return scoresJSON{p(s.BurnThrough), p(s.LackOfFusion), p(s.Oxide)}
}

func newCouponJSON(c scoring.Coupon) couponJSON {
	w := c.Worst
	return couponJSON{
		AlongMM:     along(c, func(s scoring.Station) float64 { return mm(s.At) }),
		FaceWidthMM: along(c, func(s scoring.Station) float64 { return mm(s.FaceWidth) }),
		BackWidthMM: along(c, func(s scoring.Station) float64 { return mm(s.BackWidth) }),
		Penetration: along(c, func(s scoring.Station) float64 { return shareOf(s.Penetration) }),
		LegAMM:      along(c, func(s scoring.Station) float64 { return mm(s.LegA) }),
		LegBMM:      along(c, func(s scoring.Station) float64 { return mm(s.LegB) }),
		ThroatMM:    along(c, func(s scoring.Station) float64 { return mm(s.Throat) }),
		CapMM:       along(c, func(s scoring.Station) float64 { return mm(s.Cap) }),
		RootMM:      along(c, func(s scoring.Station) float64 { return mm(s.Root) }),
		UndercutMM:  along(c, func(s scoring.Station) float64 { return mm(s.Undercut) }),
		ToeDeg:      along(c, func(s scoring.Station) float64 { return degrees(s.Toe) }),
		PeakFaceC:   along(c, func(s scoring.Station) float64 { return celsius(s.PeakFace) }),
		PeakBackC:   along(c, func(s scoring.Station) float64 { return celsius(s.PeakBack) }),
		Hole:        along(c, func(s scoring.Station) bool { return s.Hole }),
		Colour:      along(c, func(s scoring.Station) string { return s.Colour }),
		BackColour:  along(c, func(s scoring.Station) string { return s.BackColour }),
		ColdLap:     along(c, func(s scoring.Station) bool { return s.ColdLap }),
		Worst: worstJSON{
			FaceWidthMM: mm(w.FaceWidth), BackWidthMM: mm(w.BackWidth), Penetration: shareOf(w.Penetration),
			LegAMM: mm(w.LegA), LegBMM: mm(w.LegB), ThroatMM: mm(w.Throat), CapMM: mm(w.Cap),
			RootMM: mm(w.Root), UndercutMM: mm(w.Undercut), ToeDeg: degrees(w.Toe),
			PeakFaceC: celsius(w.PeakFace), PeakBackC: celsius(w.PeakBack),
			Hole: w.Hole, Colour: w.Colour, BackColour: w.BackColour, ColdLap: w.ColdLap,
		},
		Holes:            holes(c),
		PeakTemperatureC: celsius(c.PeakTemperature), HeatInputKJPerMM: heatInput(c.HeatInput), PoolLengthMM: mm(c.PoolLength),
		CraterMM: mm(c.Crater), CoolingS: round(c.Cooling, 10), BackSample: c.BackSample, Porosity: shareOf(c.Porosity),
	}
}

// along gives one measure at every station; an empty coupon gives an empty array, not null.
func along[T any](c scoring.Coupon, measure func(scoring.Station) T) []T {
	out := make([]T, 0, len(c.Stations))
	for _, s := range c.Stations {
		out = append(out, measure(s))
	}
	return out
}

func holes(c scoring.Coupon) []spanJSON {
	out := make([]spanJSON, 0, len(c.Holes))
	for _, h := range c.Holes {
		out = append(out, spanJSON{mm(h.From), mm(h.To)})
	}
	return out
}
