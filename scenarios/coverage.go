package scenarios

import (
	"fmt"
	"slices"

	"puddlewise/scoring/weld"
)

// Topic is a thing a shop meets that joint, metal and position do not tell.
type Topic string

// Topics a file names, because nothing else in it says so.
const (
	TubeToPlate Topic = "tube to plate"
	Repair      Topic = "repair of a hole"
	FirstPass   Topic = "first pass of two"
	CapPass     Topic = "cap pass"
)

// Topics lists those a file may name.
var Topics = []Topic{TubeToPlate, Repair, FirstPass, CapPass}

// Where a stick-out is long and a part hot: common practice, no source.
const longStickOut = 10 * weld.Millimetre

var hotPart = weld.Celsius(60)

// readTopics are those that the rest of the file tells, in the order they are shown.
var readTopics = []struct {
	topic Topic
	in    func(s Scenario) bool
}{
	{"walls that differ", func(s Scenario) bool { return s.Task.A.Thickness != s.Task.B.Thickness }},
	{"one wall twice the other", func(s Scenario) bool { return s.Task.Thicker() >= 2*s.Task.Thinner() }},
	{"two metals", func(s Scenario) bool { return s.Task.A.Metal != s.Task.B.Metal }},
	{"gap that widens", func(s Scenario) bool { return s.Task.GapEnd != s.Task.Gap }},
	{"tight throat", func(s Scenario) bool { return s.Task.Throat }},
	{"long stick-out", func(s Scenario) bool { return s.Model.StickOut >= longStickOut }},
	{"downhill", func(s Scenario) bool { return s.Task.Position == weld.PG || s.Task.Position == weld.PJ }},
	{"closed section", func(s Scenario) bool { return s.Task.ClosedVolume }},
	{"back purge", func(s Scenario) bool { return s.Model.Back == weld.Purged }},
	{"copper behind or beside", func(s Scenario) bool {
		return s.Task.Chill == weld.CopperChill || s.Task.Chill == weld.BackingBar
	}},
	{"tacks and sequence", func(s Scenario) bool {
		return slices.ContainsFunc(s.Ask, func(k string) bool { return k == "tacks" || k == "tacks_clean" || k == "sequence" })
	}},
	{"heat of an earlier run", func(s Scenario) bool { return s.Task.Earlier > 0 }},
	{"hot or preheated part", func(s Scenario) bool { return s.Task.PartTemp >= hotPart }},
	{"dirty stock", func(s Scenario) bool { return s.Task.Surface != weld.BrightMetal }},
	{"wrong rod on the bench", func(s Scenario) bool {
		return slices.ContainsFunc(s.Mistakes, func(m Mistake) bool { return m.Finding == "wrong_filler" })
	}},
	{"moving air", func(s Scenario) bool { return s.Task.Draught > 0 }},
	{"no rod", func(s Scenario) bool { return s.Model.Filler == weld.NoFiller }},
}

// Count is how many joints show one thing.
type Count struct {
	Name   string
	Joints int
}

// Row is one line of a table of counts.
type Row struct {
	Name   string
	Counts []Count // a count below 0: there is no such joint
	Kinds  int     // how many different ones stand behind the counts: walls of a metal
}

// Coverage says what ground a bank of joints covers.
type Coverage struct {
	Joints    int
	Positions []Row   // joint types by position
	Metals    []Row   // metals by wall, each metal and wall once a joint
	Gaps      []Count // the wider end against the thinner wall
	Levels    []Count
	Skills    []Count
	Topics    []Count
}

// band is a stretch of a quantity, up to but without its end.
type band struct {
	name string
	end  float64
}

// Walls in mm; gaps in parts of the thinner wall. The last has no end.
var (
	wallBands = []band{{"under 1", 0.999}, {"1 to 1.4", 1.499}, {"1.5 to 1.9", 1.999}, {"2 to 2.9", 2.999}, {"3 to 4", 99}}
	gapBands  = []band{{"no gap", 1e-9}, {"up to 1/4 of the wall", 0.2501}, {"up to 1/2", 0.5001}, {"up to 3/4", 0.7501}, {"more", 99}}
)

func bandOf(bands []band, v float64) int {
	return slices.IndexFunc(bands, func(b band) bool { return v < b.end })
}

func emptyCounts(bands []band) []Count {
	out := make([]Count, len(bands))
	for i, b := range bands {
		out[i].Name = b.name
	}
	return out
}

// Cover counts what the joints cover.
func Cover(all []Scenario) Coverage {
	c := Coverage{Joints: len(all), Gaps: emptyCounts(gapBands)}
	for _, j := range weld.Joints {
		row := Row{Name: string(j)}
		for _, p := range weld.Positions {
			n := Count{Name: string(p), Joints: -1}
			if p.Suits(j) {
				n.Joints = countIf(all, func(s Scenario) bool { return s.Task.Joint == j && s.Task.Position == p })
			}
			row.Counts = append(row.Counts, n)
		}
		c.Positions = append(c.Positions, row)
	}
	for _, m := range weld.Metals {
		row := Row{Name: string(m), Counts: emptyCounts(wallBands)}
		walls := map[weld.Length]bool{}
		for _, s := range all {
			for i, part := range []weld.Member{s.Task.A, s.Task.B} {
				if part.Metal != m || i == 1 && part.Metal == s.Task.A.Metal && part.Thickness == s.Task.A.Thickness {
					continue
				}
				row.Counts[bandOf(wallBands, part.Thickness.MM())].Joints++
				walls[part.Thickness] = true
			}
		}
		row.Kinds = len(walls)
		c.Metals = append(c.Metals, row)
	}
	for _, s := range all {
		c.Gaps[bandOf(gapBands, float64(max(s.Task.Gap, s.Task.GapEnd)/s.Task.Thinner()))].Joints++
	}
	for level := 1; level <= 5; level++ {
		c.Levels = append(c.Levels, Count{fmt.Sprint(level), countIf(all, func(s Scenario) bool { return s.Level == level })})
	}
	for _, skill := range Skills {
		c.Skills = append(c.Skills, Count{skill, countIf(all, func(s Scenario) bool { return slices.Contains(s.Skills, skill) })})
	}
	topics := slices.Clone(Topics)
	for _, t := range readTopics {
		topics = append(topics, t.topic)
	}
	for _, t := range topics {
		c.Topics = append(c.Topics, Count{string(t), countIf(all, func(s Scenario) bool { return slices.Contains(TopicsOf(s), t) })})
	}
	return c
}

// TopicsOf lists the topics of a joint: those its file names and those it shows.
func TopicsOf(s Scenario) []Topic {
	out := append([]Topic{}, s.Topics...)
	for _, t := range readTopics {
		if t.in(s) {
			out = append(out, t.topic)
		}
	}
	return out
}

func countIf(all []Scenario, is func(Scenario) bool) int {
	n := 0
	for _, s := range all {
		if is(s) {
			n++
		}
	}
	return n
}
