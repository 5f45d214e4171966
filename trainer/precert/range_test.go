package precert_test

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/trainer/precert"
)

const table = "../../testdata/precert/ranges.csv"

// question writes the designation that asks for a row of the table, and the variable it is about.
func question(t *testing.T, group, input string) (designation, variable string) {
	position := strings.Fields(input)[0]
	switch group {
	case "ISO9606-1 BW s":
		return "141 P BW FM1 S s" + input + " PA ss nb", "deposited thickness"
	case "ISO9606-1 FW t":
		return "141 P FW FM1 S t" + input + " PB", "material thickness"
	case "ISO9606-1 D":
		return "141 T BW FM1 S s2 D" + input + " PA ss nb", "outside diameter"
	case "ISO9606-1 BW pos":
		return "141 T BW FM1 S s2 D60.3 " + input + " ss nb", "position"
	case "ISO9606-1 FW pos":
		return "141 T FW FM1 S t2 D60.3 " + input, "position"
	case "ISO9606-1 filler":
		return "141 P BW " + input + " S s2 PA ss nb", "filler group"
	case "ISO9606-1 backing":
		sides := "ss "
		if input == "bs" {
			sides = ""
		}
		return "141 P BW FM1 S s2 PA " + sides + input, "backing"
	case "ISO9606-1 process":
		return input + " P BW FM1 S s2 PA ss nb", "process"
	case "ISO9606-2 BW t":
		return "ISO 9606-2 141 P BW 22 S t" + input + " PA ss nb", "thickness"
	case "ISO9606-2 FW t":
		return "ISO 9606-2 141 P FW 22 S t" + input + " PB", "thickness"
	case "ASME QW-452.3 OD":
		return "ASME IX T BW s3 D" + input + " 6G nb", "outside diameter"
	case "ASME QW-452.1(b) t=3.9":
		return "ASME IX P BW s3.9 1G nb 1l", "deposited thickness"
	case "ASME QW-452.1(b) t=13 layers=2":
		return "ASME IX P BW s13 1G nb 2l", "deposited thickness"
	case "ASME QW-452.1(b) t=13 layers=3":
		return "ASME IX P BW s13 1G nb 3l", "deposited thickness"
	case "ASME QW-461.9 groove":
		if strings.HasSuffix(input, "tube") {
			return "ASME IX T BW s3 D60.3 " + position + " nb", "position, grooves"
		}
		return "ASME IX P BW s3 " + position + " nb", "position, grooves"
	case "AWS D1.1 T6.11":
		return "AWS D1.1 P BW s" + strings.TrimPrefix(input, "t=") + " 3G nb", "thickness"
	case "AWS D1.1 T6.10 groove":
		return "AWS D1.1 P BW s10 " + input + " nb", "position"
	}
	t.Fatalf("no question for %s", group)
	return "", ""
}

// TestRanges asks for every row of the table; its source stands beside it.
func TestRanges(t *testing.T) {
	f, err := os.Open(table)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 80)
	for _, row := range rows[1:] {
		designation, variable := question(t, row[0], row[1])
		test, err := precert.ParseTest(designation)
		require.NoError(t, err, designation)
		got := ""
		for _, c := range test.Range() {
			if c.Variable == variable {
				got = c.Covers
			}
		}
		assert.Equal(t, spoken(row[2]), got, "%s: %s (%s)", designation, variable, row[3])
	}
}

// spoken puts a range of the table into the words of a cover: 3-inf is 3 mm and up.
func spoken(want string) string {
	want = strings.TrimSuffix(want, " (>=3 layers)")
	if to, ok := strings.CutPrefix(want, "<="); ok {
		return "up to " + to + " mm"
	}
	from, to, ok := strings.Cut(want, "-")
	switch {
	case !ok:
		return want
	case to == "inf":
		return from + " mm and up"
	}
	return from + " to " + to + " mm"
}

func read(t *testing.T, s string) map[string]precert.Cover {
	test, err := precert.ParseTest(s)
	require.NoError(t, err)
	out := map[string]precert.Cover{}
	for _, c := range test.Range() {
		assert.NotEmpty(t, c.Covers, c.Variable)
		assert.NotEmpty(t, c.Source, c.Variable)
		out[c.Variable] = c
	}
	return out
}

// Whole tests, worked by hand from ISO 9606-1:2012's tables.
func TestWorkedExamples(t *testing.T) {
	r := read(t, "141 T BW FM1 S s3 D60.3 PH ss nb")
	assert.Equal(t, "3 to 6 mm", r["deposited thickness"].Covers)
	assert.Equal(t, "30.15 mm and up", r["outside diameter"].Covers)
	assert.Equal(t, "plate as well", r["outside diameter"].Note)
	assert.Equal(t, "PA PE PF", r["position"].Covers)
	assert.Equal(t, "FM1 FM2", r["filler group"].Covers)
	assert.Equal(t, "S M", r["filler"].Covers)
	r = read(t, "EN ISO 9606-1 141 T BW FM5 S s1.0 D12 H-L045 ss gb")
	assert.Equal(t, "1 to 3 mm", r["deposited thickness"].Covers)
	assert.Contains(t, r["outside diameter"].Note, "no plate")
	assert.Equal(t, "mb bs gb", r["backing"].Covers)
	r = read(t, "141 P FW FM1 S t1.5 PB sl")
	assert.Equal(t, "sl", r["layers"].Covers)
	r = read(t, "ASME IX P BW s3 3G nb")
	assert.Contains(t, r["position, grooves"].Note, "AWS D1.1 gives F H V", "where sources disagree it is said")
	r = read(t, "AWS D1.1 P BW s2 3G nb")
	assert.Equal(t, "nothing", r["thickness"].Covers, "D1.1 begins at 3 mm")
}

func TestWrongDesignationsAreTold(t *testing.T) {
	for in, want := range map[string]string{
		"":                                 "a designation is missing",
		"141 T BW FM1 S s3 D60.3 PX ss nb": `"PX" is no word`,
		"141 T BW FM1 S D60.3 s3 PH ss nb": "stands too late or twice",
		"141 T BW FM1 S s3 PH ss nb":       "a tube's diameter is missing",
		"141 P BW FM1 S s3 D60.3 PA ss nb": "plate has no diameter",
		"141 P BW FM1 S PA ss nb":          "the thickness is missing",
		"141 P BW FM1 S s3 3G ss nb":       "3G is not how ISO 9606-1 writes a position",
		"ISO 9606-2 141 P BW FM1 S t3 PA":  "FM1 does not go with ISO 9606-2",
		"141 P BW FM1 S s3 PB ss nb":       "PB is a position of fillets",
		"141 P BW FM1 S s-3 PA":            `"s-3" is no word`,
		"141 P BW FM1 S s1e9 PA":           `"s1e9" is no word`,
		"ASME IX P BW sNaN 1G":             `"sNaN" is no word`,
		"P BW s3 PA":                       "the process is missing",
		"141 P BW FM1 S s3 PA ss nb sl":    "sl is said of fillets",
	} {
		_, err := precert.ParseTest(in)
		require.Error(t, err, in)
		assert.Contains(t, err.Error(), want)
		assert.Contains(t, err.Error(), "\n", "a hint")
	}
}

// What is written is read as the same test.
func TestDesignationsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		of := func(words ...string) string { return rapid.SampledFrom(words).Draw(t, "word") }
		s := of("", "ISO 9606-1 ") + of("141", "142", "111") + " " + of("T D", "P ")
		product, _, _ := strings.Cut(s, " T D")
		var rest string
		if product == s {
			rest = " P BW FM5 S s" + of("0.8", "1.6", "12") + " " + of("PA", "PF") + of(" ss nb", " bs", "")
			s = strings.TrimSuffix(s, " P ")
		} else {
			s, rest = product, " T FW FM1 nm t"+of("1", "2.55")+" D"+of("12", "60.3")+" "+of("PH", "PB")+of("", " ml")
		}
		test, err := precert.ParseTest(s + rest)
		require.NoError(t, err)
		again, err := precert.ParseTest(test.String())
		require.NoError(t, err)
		assert.Equal(t, test, again)
	})
}

func FuzzParseTest(f *testing.F) {
	for _, s := range []string{"141 T BW FM1 S s3 D60.3 PH ss nb", "ASME IX P BW s13 2G+5G nb 3l", "AWS D1.1 P BW s25 4G", "ISO 9606-2 141 P FW 22 S t2.5 PB"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		test, err := precert.ParseTest(s)
		if err != nil {
			return
		}
		for _, c := range test.Range() {
			if c.Covers == "" || strings.Contains(c.Covers, "NaN") {
				t.Errorf("%q: %s covers %q", s, c.Variable, c.Covers)
			}
		}
		if again, err := precert.ParseTest(test.String()); err != nil || again.String() != test.String() {
			t.Errorf("%q is written %q, which is read as %q, %v", s, test, again, err)
		}
	})
}

func TestValidity(t *testing.T) {
	day := time.Date(2026, 3, 4, 0, 0, 0, 0, time.UTC)
	dates := func(c precert.Code) (out []string) {
		for _, d := range c.Validity(day) {
			out = append(out, d.On.Format(time.DateOnly))
		}
		return out
	}
	assert.Equal(t, []string{"2026-09-04", "2028-03-04", "2029-03-04"}, dates(precert.ISO1))
	assert.Equal(t, []string{"2026-09-04", "2028-03-04"}, dates(precert.ISO2))
	assert.Equal(t, []string{"2026-09-04"}, dates(precert.ASME))
	assert.Empty(t, dates(precert.D11), "no source at hand")
}
