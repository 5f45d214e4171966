package verify

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/puddle"
)

// few are enough cases to see that all kinds are read and run; the rest weld for half a minute.
var few = []string{"C03", "D1", "P1", "P3", "T1"}

func TestTheModelMeetsEveryReference(t *testing.T) {
	all, err := Cases()
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(all), 13)
	if testing.Short() || raced {
		all = slices.DeleteFunc(all, func(c *Case) bool { return !slices.Contains(few, c.ID) })
		require.Len(t, all, len(few))
	}
	for _, r := range Run(all) {
		require.NoError(t, r.Err, r.Case.ID)
		assert.Less(t, r.Energy, 1e-9, "%s: share of the heat lost track of", r.Case.ID)
		for _, x := range r.Readings {
			assert.False(t, x.Missed(), "%s:%d: %s %s: model %.2f, reference %.2f, allowed %.2f", r.Case.File, x.Probe.Line, x.Probe.Quantity, x.Probe.Where, x.Model, x.Probe.Value, x.Allowed)
		}
		for _, h := range r.History {
			assert.Less(t, h.RMS, 0.005*r.Case.Peak(), "%s: %s over time", r.Case.ID, h.Name)
		}
	}
}

// A tolerance that no model can miss would prove nothing.
func TestAWrongModelMisses(t *testing.T) {
	c := load(t, plate)
	require.Zero(t, c.Run().Missed(), "the case as it is")
	c.heat.Power *= 1.1
	assert.Greater(t, c.Run().Missed(), 0, "10 %% more power")
	c = load(t, plate)
	c.heat.Thickness *= 1.1
	assert.Greater(t, c.Run().Missed(), 0, "10 %% more wall")
}

func TestWhatIsAllowed(t *testing.T) {
	c := load(t, strings.NewReplacer(
		"value: 1412.5, uncertainty: 3", "value: 1412.5, uncertainty: 20",
		"value: 3.54, uncertainty: 0.03", "value: 2, uncertainty: 0.03").Replace(plate))
	r := c.Run()
	require.NoError(t, r.Err)
	assert.InDelta(t, 1392.5, c.Peak(), 1e-9)
	assert.InDelta(t, 0.03*1392.5+20, r.Readings[0].Allowed, 1e-9, "an unsure reference has its uncertainty added")
	assert.True(t, r.Readings[0].Added)
	assert.Equal(t, MinLength, r.Readings[1].Allowed, "5 % of 2 mm is less than 0.15 mm")
	assert.False(t, r.Readings[1].Added)
	assert.Len(t, r.Worst(), 2)
}

// Every quantity of every kind can be read, and the surroundings are told from the part.
func TestEveryQuantityCanBeAsked(t *testing.T) {
	keys := map[string]string{
		"side": "side: back", "at": "at: web_back", "member": "member: web", "x_mm": "x_mm: 12", "y_mm": "y_mm: 1", "distance_mm": "distance_mm: 3",
		"ahead_mm": "ahead_mm: -1", "arc_x_mm": "arc_x_mm: 12", "time_s": "time_s: 3", "isotherm": "isotherm_c: 600",
	}
	for kind, text := range map[puddle.CaseKind]string{puddle.PlateQuasiSteady: steady, puddle.PlateTransient: plate, puddle.TeeTransient: tee} {
		head, _, _ := strings.Cut(text, "expect:")
		var b strings.Builder
		b.WriteString(head + "expect:\n")
		n := 0
		for _, q := range quantities {
			if q.keys(kind) == "" {
				continue
			}
			row := "quantity: " + q.name
			for _, key := range strings.Fields(q.keys(kind)) {
				row += ", " + keys[key]
			}
			fmt.Fprintf(&b, "  - {%s, value: 10}\n", row)
			n++
		}
		c := load(t, b.String())
		r := c.Run()
		require.NoError(t, r.Err, kind)
		require.Len(t, r.Readings, n)
		for _, x := range r.Readings {
			assert.False(t, math.IsNaN(x.Model) || x.Model <= 0, "%s: %s %s is %g", kind, x.Probe.Quantity, x.Probe.Where, x.Model)
		}
	}
}

func TestATeesPlaces(t *testing.T) {
	if raced {
		t.Skip("one goroutine")
	}
	for _, at := range []string{"corner", "base_top, distance_mm: 1", "web_face, distance_mm: 1", "base_back, distance_mm: -2", "web_back, distance_mm: 1", "base_back_hottest", "web_back_hottest"} {
		for _, leg := range []string{"0", "1.5"} {
			head, _, _ := strings.Cut(tee, "expect:")
			head = strings.Replace(head, "fillet_leg_mm: 0", "fillet_leg_mm: "+leg, 1)
			c := load(t, head+"expect:\n  - {quantity: peak_temperature_c, at: "+at+", x_mm: 12, value: 1000}\n")
			r := c.Run()
			require.NoError(t, r.Err)
			assert.Greater(t, r.Readings[0].Model, 300.0, "%s, leg %s", at, leg)
			assert.Less(t, r.Readings[0].Model, 2500.0, "%s, leg %s", at, leg)
		}
	}
}

// A part that starts warm in warm surroundings is as much hotter everywhere, as long as nothing else depends on temperature.
func TestAmbient(t *testing.T) {
	if raced {
		t.Skip("one goroutine")
	}
	cold, err := read(fstest.MapFS{"c.yaml": {Data: []byte(steady)}}, "c.yaml", shown)
	require.NoError(t, err)
	warm, err := read(fstest.MapFS{"c.yaml": {Data: []byte(strings.Replace(steady, "ambient_c: 20", "ambient_c: 220", 1))}}, "c.yaml", shown)
	require.NoError(t, err)
	a, b := cold.Run(), warm.Run()
	require.NoError(t, a.Err)
	require.NoError(t, b.Err)
	assert.InDelta(t, a.Readings[0].Model+200, b.Readings[0].Model, 0.5)
}

func TestHistory(t *testing.T) {
	all, err := Cases()
	require.NoError(t, err)
	i := slices.IndexFunc(all, func(c *Case) bool { return c.ID == "D1" })
	require.GreaterOrEqual(t, i, 0)
	h := all[i].History
	require.NotNil(t, h)
	assert.Len(t, h.Columns, 8)
	assert.Empty(t, h.Unread)
	assert.Equal(t, puddle.Back, h.Columns[7].place.Side)
	assert.InDelta(t, 8e-3, h.Columns[7].place.Y, 1e-12)
	for column, known := range map[string]bool{"top_y0_c": true, "back_y12.5_c": true, "side_y2_c": false, "top_y-2_c": false, "corner_c": false, "top_y2": false} {
		_, ok := placeOf(column, puddle.PlateTransient)
		assert.Equal(t, known, ok, column)
	}
	for column, known := range map[string]bool{"corner_c": true, "base_top_2_c": true, "web_face_d4_c": true, "web_back_6_c": true, "top_y0_c": false} {
		_, ok := placeOf(column, puddle.TeeTransient)
		assert.Equal(t, known, ok, column)
	}
}

func TestFilesAndFolders(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	_, err := Read(dir)
	assert.ErrorContains(t, err, "there is no case here")
	one := write("one.yaml", steady)
	write("two.yml", steady)
	write(".hidden.yaml", "nonsense")
	write("notes.txt", "nonsense")
	all, err := Read(one)
	require.NoError(t, err)
	assert.Equal(t, one, all[0].File)
	all, err = Read(dir)
	require.NoError(t, err)
	require.Len(t, all, 2)
	assert.Equal(t, one, all[0].File)

	bad := write("bad.yaml", strings.Replace(steady, "thickness_mm: 2", "thickness_mm: two", 1))
	write("worse.yaml", "- 1\n")
	_, err = Read(dir)
	assert.ErrorContains(t, err, bad+`:6: plate.thickness_mm: "two" is not a number from 0.3 to 25 mm`)
	assert.ErrorContains(t, err, "worse.yaml:1: ")
	_, err = Read(filepath.Join(dir, "none.yaml"))
	assert.ErrorContains(t, err, "none.yaml: no such file")
	for _, name := range []string{"", ".", "..", "/"} {
		_, err = Read(name)
		assert.Error(t, err, name)
	}
}

func shown(name string) string { return name }

func load(t *testing.T, text string) *Case {
	t.Helper()
	c, err := read(fstest.MapFS{"c.yaml": {Data: []byte(text)}, "steel.csv": {Data: []byte(steelTable)}}, "c.yaml", shown)
	require.NoError(t, err)
	return c
}

// Small cases of each kind; the plate's values are the model's own.
const (
	steady = `id: S
kind: plate-quasi-steady
reference: none
metal: {conductivity_w_mk: 30, density_kg_m3: 7850, specific_heat_j_kgk: 690}
ambient_c: 20
plate: {thickness_mm: 2}
source: {absorbed_w: 500, sigma_mm: 2, speed_mm_s: 4}
expect:
  - {quantity: temperature_c, side: top, ahead_mm: 0, y_mm: 0, value: 1600}
`
	plate = `id: P
kind: plate-transient
reference: none
metal:
  density_kg_m3: 7850
  properties: steel.csv
  solidus_c: 1475
  liquidus_c: 1525
loss: {convection_w_m2k: 15, emissivity: 0.8}
ambient_c: 20
plate: {length_mm: 24, width_mm: 24, thickness_mm: 1.4}
source: {absorbed_w: 400, sigma_mm: 1.8, speed_mm_s: 3, start_x_mm: 4, end_x_mm: 20}
expect:
  - {quantity: peak_temperature_c, side: back, x_mm: 12, y_mm: 0, value: 1412.5, uncertainty: 3}
  - {quantity: isotherm_width_mm, side: top, x_mm: 12, isotherm_c: 1400, value: 3.54, uncertainty: 0.03}
`
	tee = `id: T
kind: tee-transient
reference: none
metal:
  density_kg_m3: 7850
  properties: steel.csv
  solidus_c: 1475
  liquidus_c: 1525
loss: {convection_w_m2k: 15, emissivity: 0.8}
ambient_c: 20
tee: {length_mm: 24, base_width_mm: 24, base_thickness_mm: 2, web_height_mm: 12, web_thickness_mm: 1.5, fillet_leg_mm: 0}
source: {absorbed_w: 650, sigma_mm: 1.8, speed_mm_s: 3, start_x_mm: 4, end_x_mm: 20, work_angle_deg: 45, aim: corner}
expect:
  - {quantity: melt_leg_mm, member: base, x_mm: 12, isotherm: solidus, value: 3}
`
	// A steel of one conductivity and heat capacity, with latent heat between 1475 and 1525 C.
	steelTable = `T_degC,k_W_mK,H_J_m3_from20C_with_latent,kirchhoff_theta_W_m_from20C
20,30,0,0
1475,30,7.88e9,43650
1525,30,10.27e9,45150
3000,30,18.26e9,89400
`
)

func TestWhatIsWrongIsTold(t *testing.T) {
	long := strings.Repeat("x", strict.MaxSize)
	for name, c := range map[string]struct {
		from, old, new string
		want           string
	}{
		"no number":          {steady, "absorbed_w: 500", "absorbed_w: NaN", `c.yaml:7: source.absorbed_w: "NaN" is not a number from 1 to 20000 W`},
		"huge":               {steady, "sigma_mm: 2", "sigma_mm: 1e308", `c.yaml:7: source.sigma_mm: "1e308" is not a number from 0.3 to 20 mm`},
		"endless":            {steady, "speed_mm_s: 4", "speed_mm_s: .inf", `source.speed_mm_s: ".inf" is not a number`},
		"negative":           {steady, "thickness_mm: 2", "thickness_mm: -2", `c.yaml:6: plate.thickness_mm: "-2" is not a number`},
		"missing":            {steady, "ambient_c: 20\n", "", "ambient_c: is missing"},
		"misspelt":           {steady, "sigma_mm", "sigam_mm", `there is no key "sigam_mm" here`},
		"unknown kind":       {steady, "plate-quasi-steady", "plate-quasi-stedy", "did you mean plate-quasi-steady?"},
		"unknown quantity":   {steady, "temperature_c,", "temprature_c,", "did you mean temperature_c?"},
		"not of a plate":     {steady, "quantity: temperature_c", "quantity: melt_leg_mm", `"melt_leg_mm" is not one of`},
		"place":              {steady, "ahead_mm: 0", "x_mm: 0", "expect[1].x_mm: does not belong to this quantity"},
		"place missing":      {steady, "ahead_mm: 0, ", "", "expect[1].ahead_mm: is missing"},
		"no value":           {steady, ", value: 1600", "", "expect[1].value: is missing"},
		"loss":               {steady, "ambient_c: 20", "ambient_c: 20\nloss: {convection_w_m2k: 10, emissivity: 0}", "loss: a quasi-steady plate is insulated"},
		"colder than 20":     {steady, "ambient_c: 20", "ambient_c: -20", `ambient_c: "-20" is not a number from 20 to 1000 C`},
		"history":            {steady, "ambient_c: 20", "ambient_c: 20\nhistory: h.csv", "history: a quasi-steady case has no history"},
		"both metals":        {plate, "properties: steel.csv", "properties: steel.csv\n  conductivity_w_mk: 30", "metal.conductivity_w_mk: is given beside a property table"},
		"no metal":           {plate, "  properties: steel.csv\n", "", "metal.conductivity_w_mk: is missing"},
		"melting range":      {plate, "liquidus_c: 1525", "liquidus_c: 1400", "metal.liquidus_c: is not above the solidus"},
		"isotherm by name":   {steady, "quantity: temperature_c, side: top, ahead_mm: 0, y_mm: 0", "quantity: melt_width_mm, side: top, isotherm: solidus", "the metal has no melting range"},
		"two isotherms":      {plate, "isotherm_c: 1400", "isotherm_c: 1400, isotherm: solidus", "is given beside isotherm"},
		"no isotherm":        {plate, "isotherm_c: 1400, ", "", "isotherm: is missing"},
		"beyond the end":     {plate, "end_x_mm: 20", "end_x_mm: 25", "source.end_x_mm: is beyond the part's end"},
		"backwards":          {plate, "end_x_mm: 20", "end_x_mm: 3", "source.end_x_mm: is not after start_x_mm"},
		"beside the plate":   {plate, "y_mm: 0", "y_mm: 12.5", "y_mm: is outside the plate"},
		"off the end":        {plate, "x_mm: 12, y_mm: 0", "x_mm: 30, y_mm: 0", `x_mm: "30" is not a number from 0 to 24 mm`},
		"elsewhere":          {plate, "steel.csv", "../steel.csv", "is not the plain name of a .csv file"},
		"no table":           {plate, "steel.csv", "copper.csv", "copper.csv: no such file"},
		"history of nothing": {plate, "ambient_c: 20", "ambient_c: 20\nhistory: steel.csv", "histories are taken at x = 30 mm, which this part does not reach"},
		"a plate's tee":      {plate, "ambient_c: 20", "ambient_c: 20\ntee: {length_mm: 3}", "tee: a plate case has no tee"},
		"a tee's plate":      {tee, "ambient_c: 20", "ambient_c: 20\nplate: {length_mm: 3}", "plate: a tee has no plate"},
		"angle":              {tee, "work_angle_deg: 45", "work_angle_deg: 90", `source.work_angle_deg: "90" is not a number from 5 to 85 degrees`},
		"leg":                {tee, "fillet_leg_mm: 0", "fillet_leg_mm: 9", "tee.fillet_leg_mm: is more than half of what the members have room for"},
		"narrow base":        {tee, "web_thickness_mm: 1.5", "web_thickness_mm: 9", "tee.base_width_mm: is less than three times the web's thickness"},
		"text":               {steady, "expect:\n  - {quantity: temperature_c, side: top, ahead_mm: 0, y_mm: 0, value: 1600}", "expect: none", "expect: \"none\" where a list belongs"},
		"alias":              {steady, "thickness_mm: 2", "thickness_mm: *a", "unknown anchor"},
		"too long":           {steady, "reference: none", "reference: " + long, "c.yaml: is larger than 256 KB"},
		"nothing expected":   {steady, "expect:\n  - {quantity: temperature_c, side: top, ahead_mm: 0, y_mm: 0, value: 1600}", "expect: []", "expect: nothing is expected"},
	} {
		require.Contains(t, c.from, c.old, name)
		text := strings.Replace(c.from, c.old, c.new, 1)
		_, err := read(fstest.MapFS{"c.yaml": {Data: []byte(text)}, "steel.csv": {Data: []byte(steelTable)}}, "c.yaml", shown)
		var problems strict.Problems
		require.ErrorAs(t, err, &problems, name)
		assert.ErrorContains(t, err, c.want, name)
		for _, p := range problems {
			assert.NotEmpty(t, p.File, name)
		}
	}
}

func TestTablesAreHeldToRise(t *testing.T) {
	for name, c := range map[string]struct{ old, new, want string }{
		"no number":    {"45150", "NaN", `steel.csv:4: kirchhoff_theta_W_m_from20C: "NaN" is not a number`},
		"endless":      {"18.26e9", "1e999", `steel.csv:5: H_J_m3_from20C_with_latent: "1e999" is not a number`},
		"falls":        {"10.27e9", "7e9", "steel.csv:4: H_J_m3_from20C_with_latent: 7e+09 does not follow on 7.88e+09"},
		"no column":    {"T_degC", "T_C", "steel.csv:1: T_degC: there is no such column"},
		"starts late":  {"20,30,0,0", "25,30,0,0", "steel.csv:2: T_degC: begins with 25, allowed is 20"},
		"short line":   {"1475,30,7.88e9,43650", "1475,30", "steel.csv:3: cannot be read as CSV"},
		"ends at once": {"\n1475,30,7.88e9,43650\n1525,30,10.27e9,45150\n3000,30,18.26e9,89400", "", "steel.csv: has fewer than two rows of numbers"},
		"empty":        {steelTable, "", "steel.csv: has fewer than two rows"},
		"too hot":      {"3000,", "9000,", "steel.csv:5: T_degC: ends at 9000 C"},
	} {
		require.Contains(t, steelTable, c.old, name)
		text := strings.Replace(steelTable, c.old, c.new, 1)
		_, err := read(fstest.MapFS{"c.yaml": {Data: []byte(plate)}, "steel.csv": {Data: []byte(text)}}, "c.yaml", shown)
		assert.ErrorContains(t, err, c.want, name)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(steady), []byte(steelTable))
	f.Add([]byte(plate), []byte(steelTable))
	f.Add([]byte(tee), []byte("a\n1\n2\n"))
	f.Fuzz(func(t *testing.T, text, csv []byte) {
		c, err := read(fstest.MapFS{"c.yaml": {Data: text}, "steel.csv": {Data: csv}}, "c.yaml", shown)
		var problems strict.Problems
		if err != nil {
			require.ErrorAs(t, err, &problems)
			return
		}
		assert.NotEmpty(t, c.Probes)
	})
}

// BenchmarkReference welds the cases that finite elements solved, as long as the
// arc is on: compare with solve_s under cost in the case's file.
func BenchmarkReference(b *testing.B) {
	all, err := Cases()
	require.NoError(b, err)
	for _, c := range all {
		if !strings.HasPrefix(c.Reference, "finite elements") {
			continue
		}
		b.Run(c.ID, func(b *testing.B) {
			var probes []puddle.Probe
			for _, p := range c.Probes {
				probes = append(probes, p.probe)
			}
			for b.Loop() {
				heat := c.heat
				heat.CoolFor = 0
				_, _, err := heat.Run(probes)
				require.NoError(b, err)
			}
		})
	}
}
