package learner

import (
	"fmt"
	"strings"
)

// band is what a chance of doing a skill right at a joint of level 3 is called.
func band(right float64) string {
	switch {
	case right < 0.6:
		return "weak"
	case right < 0.8:
		return "shaky"
	case right < 0.92:
		return "fair"
	}
	return "sound"
}

// Word says in a word or two how strong the skill is, with doubt where there is any.
func (s Skill) Word() string {
	if s.Seen == 0 {
		return "not seen yet"
	}
	three := ofLevel(3)
	low, high := rating{s.Strength - s.SD, 0}.chance(three), rating{s.Strength + s.SD, 0}.chance(three)
	word := band(s.Right)
	if s.Seen < 3 || band(low) != word && band(high) != word {
		return "perhaps " + word
	}
	return word
}

// Words says it in a line: "dabbing on a gap: shaky, seen 6 times, last 9 days ago".
func (s Skill) Words() string {
	if s.Seen == 0 {
		return s.Name + ": " + s.Word()
	}
	return s.Name + ": " + s.Word() + ", " + s.When()
}

// When says how often and when the skill came up last: "seen 6 times, last 9 days ago".
func (s Skill) When() string {
	switch s.Seen {
	case 0:
		return "not seen yet"
	case 1:
		return "seen once, " + ago(s.Days)
	}
	return fmt.Sprintf("seen %d times, last %s", s.Seen, ago(s.Days))
}

func ago(days int) string {
	switch days {
	case 0:
		return "today"
	case 1:
		return "a day ago"
	}
	return fmt.Sprintf("%d days ago", days)
}

// why says in words what the joint was chosen for and how it should go.
func why(c Choice) string {
	s := c.Skill
	name := strings.ToUpper(s.Name[:1]) + s.Name[1:]
	var first string
	switch {
	case s.Seen == 0:
		first = name + " has not come up yet."
	case s.Right < 0.8 && s.Days > 0:
		first = fmt.Sprintf("%s is %s and last came up %s.", name, s.Word(), ago(s.Days))
	case s.Right < 0.8:
		first = fmt.Sprintf("%s is %s and comes up again.", name, s.Word())
	case s.Due >= 1:
		first = fmt.Sprintf("%s is due again: it last came up %s.", name, ago(s.Days))
	default:
		first = fmt.Sprintf("%s is %s; this keeps it so.", name, s.Word())
	}
	return first + " " + odds(c.Chance)
}

// odds says how many of ten such coupons should come out right.
func odds(p float64) string {
	switch n := int(p*10 + 0.5); {
	case n >= 10:
		return "It should come out right."
	case n <= 1:
		return "It will be hard: few of these come out right yet."
	default:
		return fmt.Sprintf("About %d in 10 should come out right.", n)
	}
}
