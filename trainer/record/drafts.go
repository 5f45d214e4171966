package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// draftKey tells a variation's draft from the joint's: no id holds a #.
func draftKey(scenario string, seed int64) string {
	if seed == 0 {
		return scenario
	}
	return scenario + "#" + strconv.FormatInt(seed, 10)
}

// KeepDraft puts the draft in the place of the learner's one before it at the same joint,
// and returns when it is safe on disk.
func (s *Store) KeepDraft(d session.Draft) error {
	units, ok := unitNames[d.System]
	if !ok || d.Scenario == "" {
		return errors.New("a draft without scenario or units cannot be kept")
	}
	typed, err := json.Marshal(d.Typed)
	if err != nil {
		return err
	}
	hinted, err := json.Marshal(d.Hinted)
	if err != nil {
		return err
	}
	_, err = s.db.Exec(`INSERT INTO draft (learner, scenario, at, units, typed, hinted) VALUES ($1, $2, $3, $4, $5, $6)
		ON CONFLICT (learner, scenario) DO UPDATE SET at = excluded.at, units = excluded.units, typed = excluded.typed, hinted = excluded.hinted`,
		d.Learner, draftKey(d.Scenario, d.Seed), d.At.UnixMilli(), units, string(typed), string(hinted))
	return s.wrap(err)
}

// DropDraft forgets a learner's draft of a joint; there need not be one.
func (s *Store) DropDraft(learner, scenario string, seed int64) error {
	_, err := s.db.Exec("DELETE FROM draft WHERE learner = $1 AND scenario = $2", learner, draftKey(scenario, seed))
	return s.wrap(err)
}

// Drafts gives what a learner has on its way, newest first.
func (s *Store) Drafts(learner string) ([]session.Draft, error) {
	rows, err := s.db.Query("SELECT scenario, at, units, typed, hinted FROM draft WHERE learner = $1 ORDER BY at DESC, scenario", learner)
	if err != nil {
		return nil, s.wrap(err)
	}
	defer rows.Close()
	var out []session.Draft
	for rows.Next() {
		d := session.Draft{Learner: learner}
		var at int64
		var units, typed, hinted string
		if err := rows.Scan(&d.Scenario, &at, &units, &typed, &hinted); err != nil {
			return nil, s.wrap(err)
		}
		if id, seed, varied := strings.Cut(d.Scenario, "#"); varied {
			d.Scenario = id
			if d.Seed, err = strconv.ParseInt(seed, 10, 64); err != nil {
				return nil, fmt.Errorf("%s: the draft of %s: its variation is not a number", s.path, id)
			}
		}
		d.At = time.UnixMilli(at).UTC()
		if units == unitNames[weld.Imperial] {
			d.System = weld.Imperial
		}
		if err := errors.Join(json.Unmarshal([]byte(typed), &d.Typed), json.Unmarshal([]byte(hinted), &d.Hinted)); err != nil {
			return nil, fmt.Errorf("%s: the draft of %s: %w", s.path, d.Scenario, err)
		}
		out = append(out, d)
	}
	return out, s.wrap(rows.Err())
}
