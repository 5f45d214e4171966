package cli

import (
	"fmt"
	"path/filepath"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring"
)

const jointsFlagHelp = "a `DIR` with joints of your own, beside those of the bank"

// bank loads the shipped joints and, when dir is given, the user's own.
func bank(dir string) ([]scenarios.Scenario, error) {
	all, err := scenarios.Bank()
	if err != nil {
		return nil, fmt.Errorf("the bank of joints is spoilt, which is a bug in puddlewise: %w", err)
	}
	if dir == "" {
		return all, nil
	}
	own, err := loader().LoadDir(dir)
	if err != nil {
		return nil, badFile(err)
	}
	for _, s := range own {
		if _, err := scenarios.Find(all, s.ID); err == nil {
			return nil, badFile(fmt.Errorf("%s: %s has the id of a joint in the bank\nrename the file", dir, s.ID))
		}
	}
	return append(all, own...), nil
}

// loader reads joints and holds their mistakes to the findings the judge can make.
func loader() scenarios.Loader { return scenarios.Loader{Findings: scoring.RuleIDs()} }

// scenario gives the joint by its id, or from a file when name looks like one.
func scenario(name, dir string) (scenarios.Scenario, error) {
	if strings.ContainsAny(name, `/\`) || filepath.Ext(name) == ".yaml" || filepath.Ext(name) == ".yml" {
		s, err := loader().LoadFile(name)
		if err != nil {
			return s, badFile(err)
		}
		return s, nil
	}
	all, err := bank(dir)
	if err != nil {
		return scenarios.Scenario{}, err
	}
	s, err := scenarios.Find(all, name)
	if err != nil {
		return s, badFile(fmt.Errorf("%w\npuddlewise joints lists them", err))
	}
	return s, nil
}
