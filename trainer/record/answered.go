package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"puddlewise/trainer/session"
)

var _ session.Answers = (*Store)(nil)

// AddAnswered records an answered question and returns when it is safe on disk.
func (s *Store) AddAnswered(a session.Answered) error {
	if a.ID == "" || a.Scenario == "" || a.Kind == "" {
		return errors.New("an answered question without id, joint or kind cannot be recorded")
	}
	replies, err := json.Marshal(a.Replies)
	if err != nil {
		return err
	}
	rules, err := json.Marshal(a.Rules)
	if err != nil {
		return err
	}
	_, err = s.db.Exec(`INSERT INTO answered (id, at, learner, scenario, revision, kind, seed, model_version, replies, rules, share)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		a.ID, a.At.UnixMilli(), a.Learner, a.Scenario, a.Revision, a.Kind, a.Seed, a.ModelVersion, string(replies), string(rules), a.Right)
	return s.wrap(err)
}

// Answered gives the questions a learner answered last, at most n, oldest first.
func (s *Store) Answered(learner string, n int) ([]session.Answered, error) {
	rows, err := s.db.Query(`SELECT id, at, learner, scenario, revision, kind, seed, model_version, replies, rules, share
		FROM answered WHERE learner = $1 ORDER BY at DESC, id DESC LIMIT $2`, learner, n)
	if err != nil {
		return nil, s.wrap(err)
	}
	defer rows.Close()
	var out []session.Answered
	for rows.Next() {
		var a session.Answered
		var at int64
		var replies, rules string
		if err := rows.Scan(&a.ID, &at, &a.Learner, &a.Scenario, &a.Revision, &a.Kind, &a.Seed, &a.ModelVersion, &replies, &rules, &a.Right); err != nil {
			return nil, s.wrap(err)
		}
		a.At = time.UnixMilli(at).UTC()
		if err := errors.Join(json.Unmarshal([]byte(replies), &a.Replies), json.Unmarshal([]byte(rules), &a.Rules)); err != nil {
			return nil, fmt.Errorf("%s: answered question %s: %w", s.path, a.ID, err)
		}
		out = append(out, a)
	}
	slices.Reverse(out)
	return out, s.wrap(rows.Err())
}
