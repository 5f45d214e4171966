package record

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// Settings are what the trainer remembers about its learner.
type Settings struct {
	CautionsSeen bool
	Units        weld.System
	Name         string
}

// unitNames says how a system of units is kept and typed.
var unitNames = map[weld.System]string{weld.Metric: "metric", weld.Imperial: "inch"}

// Settings gives what was saved last; nothing saved gives the zero value.
func (s *Store) Settings() (Settings, error) {
	var out Settings
	rows, err := s.db.Query("SELECT key, value FROM setting")
	if err != nil {
		return out, s.wrap(err)
	}
	defer rows.Close()
	for rows.Next() {
		var key, value string
		if err := rows.Scan(&key, &value); err != nil {
			return out, s.wrap(err)
		}
		switch key {
		case "cautions_seen":
			out.CautionsSeen = value == "yes"
		case "units":
			if value == unitNames[weld.Imperial] {
				out.Units = weld.Imperial
			}
		case "name":
			out.Name = value
		}
	}
	return out, s.wrap(rows.Err())
}

// SaveSettings keeps the settings, all of them or, on error, none.
func (s *Store) SaveSettings(v Settings) error {
	seen := "no"
	if v.CautionsSeen {
		seen = "yes"
	}
	units, ok := unitNames[v.Units]
	if !ok {
		return fmt.Errorf("no system of units has the number %d", v.Units)
	}
	_, err := s.db.Exec(`INSERT INTO setting (key, value)
		VALUES ('cautions_seen', $1), ('units', $2), ('name', $3)
		ON CONFLICT (key) DO UPDATE SET value = excluded.value`, seen, units, v.Name)
	return s.wrap(err)
}
