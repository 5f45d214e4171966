package puddle

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"gopkg.in/yaml.v3"
	"puddlewise/scoring/metal"
)

func f(v any) float64 {
	switch x := v.(type) {
	case float64:
		return x
	case int:
		return float64(x)
	}
	return 0
}
func str(v any) string { s, _ := v.(string); return s }

func TestRef(t *testing.T) {
	dir := "/work/shared/reference/open"
	files, _ := filepath.Glob(dir + "/*.yaml")
	only := os.Getenv("ONLY")
	for _, fn := range files {
		b, _ := os.ReadFile(fn)
		var m map[string]any
		yaml.Unmarshal(b, &m)
		if only != "" && m["id"] != only {
			continue
		}
		me := m["metal"].(map[string]any)
		c := &Case{Kind: CaseKind(str(m["kind"]))}
		if p, ok := me["properties"]; ok {
			fh, _ := os.Open(dir + "/" + str(p))
			rows, _ := csv.NewReader(fh).ReadAll()
			var cv metal.Curve
			for _, r := range rows[1:] {
				g := func(i int) float64 { v, _ := strconv.ParseFloat(r[i], 64); return v }
				cv.T = append(cv.T, g(0))
				cv.H = append(cv.H, g(3))
				cv.Theta = append(cv.Theta, g(4))
			}
			c.Table = metal.NewTable(cv, nil)
			c.Solidus, c.Liquidus = f(me["solidus_c"]), f(me["liquidus_c"])
		} else {
			k, rho, cp := f(me["conductivity_w_mk"]), f(me["density_kg_m3"]), f(me["specific_heat_j_kgk"])
			var cv metal.Curve
			for T := 20.0; T <= 4020; T += 10 {
				cv.T = append(cv.T, T)
				cv.H = append(cv.H, rho*cp*(T-20))
				cv.Theta = append(cv.Theta, k*(T-20))
			}
			c.Table = metal.NewTable(cv, nil)
			c.Diffusivity = k / rho / cp
		}
		if l, ok := m["loss"].(map[string]any); ok {
			c.Spec.Convection, c.Spec.Emissivity = f(l["convection_w_m2k"]), f(l["emissivity"])
		}
		if p, ok := m["plate"].(map[string]any); ok {
			c.Length, c.Width, c.Thickness = f(p["length_mm"])/1e3, f(p["width_mm"])/1e3, f(p["thickness_mm"])/1e3
		}
		if p, ok := m["tee"].(map[string]any); ok {
			c.Length, c.Width, c.Thickness = f(p["length_mm"])/1e3, f(p["base_width_mm"])/1e3, f(p["base_thickness_mm"])/1e3
			c.WebHeight, c.WebThickness, c.FilletLeg = f(p["web_height_mm"])/1e3, f(p["web_thickness_mm"])/1e3, f(p["fillet_leg_mm"])/1e3
		}
		so := m["source"].(map[string]any)
		c.Power, c.Sigma, c.Speed, c.StartX, c.EndX, c.WorkAngle = f(so["absorbed_w"]), f(so["sigma_mm"])/1e3, f(so["speed_mm_s"])/1e3, f(so["start_x_mm"])/1e3, f(so["end_x_mm"])/1e3, f(so["work_angle_deg"])*math.Pi/180
		var probes []Probe
		var ex []map[string]any
		for _, e := range m["expect"].([]any) {
			e := e.(map[string]any)
			ex = append(ex, e)
			p := Probe{Side: str(e["side"]), X: f(e["x_mm"]) / 1e3, Y: f(e["y_mm"]) / 1e3, Ahead: f(e["ahead_mm"]) / 1e3, Time: f(e["time_s"])}
			if a := str(e["at"]); a != "" {
				p.Side = a
				p.Y = f(e["distance_mm"]) / 1e3
			}
			if a := str(e["member"]); a != "" {
				p.Side = a
			}
			if e["arc_x_mm"] != nil {
				p.X = f(e["arc_x_mm"]) / 1e3
			}
			switch e["isotherm"] {
			case "liquidus":
				p.Isotherm = c.Liquidus
			case "solidus":
				p.Isotherm = c.Solidus
			}
			if e["isotherm_c"] != nil {
				p.Isotherm = f(e["isotherm_c"])
			}
			q := str(e["quantity"])
			switch q {
			case "peak_temperature_c":
				p.Quantity = "peak_temperature"
			case "temperature_c":
				p.Quantity = "temperature"
			case "melt_width_mm", "isotherm_width_mm":
				p.Quantity = "melt_width"
			case "pool_length_mm", "isotherm_length_mm":
				p.Quantity = "pool_length"
			case "melt_depth_mm", "isotherm_depth_mm":
				p.Quantity = "melt_depth"
			case "melt_leg_mm":
				p.Quantity = "melt_leg"
			case "melt_depth_bisector_mm":
				p.Quantity = "melt_depth_bisector"
			default:
				t.Fatal(q)
			}
			probes = append(probes, p)
		}
		if v := os.Getenv("TAU"); v != "" {
			c.Spec.Tau, _ = strconv.ParseFloat(v, 64)
		}
		if v := os.Getenv("CELL"); v != "" {
			k, _ := strconv.ParseFloat(v, 64)
			c.Cell = k * CellFor(c.Thickness, c.Sigma)
		}
		t0 := time.Now()
		vals, cl, err := c.Run(probes)
		fmt.Println(m["id"], time.Since(t0), cl, err)
		if err != nil {
			continue
		}
		maxv := 0.0
		for i := range probes {
			if probes[i].Quantity == "peak_temperature" || probes[i].Quantity == "temperature" {
				maxv = math.Max(maxv, f(ex[i]["value"])-20)
			}
		}
		for i, p := range probes {
			v := vals[i]
			want := f(ex[i]["value"])
			if p.Quantity == "peak_temperature" || p.Quantity == "temperature" {
				e := 100 * (v - want) / maxv
				if math.Abs(e) > 1 || os.Getenv("ONLY") != "" {
					fmt.Printf("  %-20s %-10s x%.0f y%.0f a%.1f want %.1f got %.1f  %.2f%%\n", p.Quantity, p.Side, p.X*1e3, p.Y*1e3, p.Ahead*1e3, want, v, e)
				}
			} else {
				v *= 1e3
				e := v - want
				bad := ""
				if math.Abs(e) > math.Max(0.15, 0.05*want) {
					bad = "BAD"
				}
				if math.Abs(e) > 0.05 || os.Getenv("ONLY") != "" {
					fmt.Printf("  %-20s %-10s iso%.0f want %.3f got %.3f  %.3f %s\n", p.Quantity, p.Side, p.Isotherm, want, v, e, bad)
				}
			}
		}
	}
}
