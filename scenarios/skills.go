package scenarios

// skills names what a scenario can exercise and what each builds on: a skill is
// proposed once those hold. Common practice, no source: easy before hard, flat
// before overhead, the gas before what takes it away.
var skills = []struct {
	name  string
	needs []string
}{
	{"choosing amps", nil},
	{"matching travel to amps", []string{"choosing amps"}},
	{"backing off as it heats", []string{"matching travel to amps"}},
	{"sharing heat between members", []string{"choosing amps"}},
	{"aiming into a corner", []string{"choosing amps"}},
	{"starting a run", []string{"choosing amps"}},
	{"finishing a run", []string{"starting a run"}},
	{"dabbing on a gap", []string{"choosing amps", "matching rod to wall"}},
	{"matching rod to wall", nil},
	{"choosing filler", nil},
	{"filling to size", []string{"matching travel to amps", "matching rod to wall"}},
	{"keeping the rod tip in the gas", []string{"arc length and stick-out"}},
	{"arc length and stick-out", nil},
	{"torch and rod angles", nil},
	{"cup and gas flow", nil},
	{"shielding a throat", []string{"cup and gas flow", "arc length and stick-out"}},
	{"working in a draught", []string{"cup and gas flow"}},
	{"purging a root", []string{"cup and gas flow"}},
	{"cleaning", nil},
	{"venting a hollow", nil},
	{"choosing current type", nil},
	{"choosing tungsten", []string{"choosing amps"}},
	{"using a chill", []string{"choosing amps"}},
	{"welding horizontal", []string{"matching travel to amps"}},
	{"welding vertical up", []string{"welding horizontal"}},
	{"welding overhead", []string{"welding vertical up"}},
	{"welding around a tube", []string{"backing off as it heats"}},
}

// Skills names what a scenario can exercise. The list is closed so that one
// skill has one spelling in the learner's record.
var Skills = func() []string {
	names := make([]string, len(skills))
	for i, s := range skills {
		names[i] = s.name
	}
	return names
}()

// depth says how many skills stand above one another up to this one; 1 for a first one.
func depth(skill string) int {
	most := 0
	for _, n := range Needs(skill) {
		most = max(most, depth(n))
	}
	return most + 1
}

// deepest is the depth of the joint's deepest skill.
func deepest(s Scenario) int {
	most := 0
	for _, skill := range s.Skills {
		most = max(most, depth(skill))
	}
	return most
}

// Needs gives the skills a skill builds on directly; none for a first one.
func Needs(skill string) []string {
	for _, s := range skills {
		if s.name == skill {
			return s.needs
		}
	}
	return nil
}
