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
func (s *Store) AddAnswered(a session.Answered) error { return s.insertAnswered("answered", a) }

const answeredColumns = "id, at, learner, scenario, revision, kind, seed, model_version, replies, rules, share"

// insertAnswered puts one into the table of answered questions, or one like it.
func (s *Store) insertAnswered(table string, a session.Answered) error {
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
	_, err = s.db.Exec("INSERT INTO "+table+" ("+answeredColumns+") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)",
		a.ID, a.At.UnixMilli(), a.Learner, a.Scenario, a.Revision, a.Kind, a.Seed, a.ModelVersion, string(replies), string(rules), a.Right)
	return s.wrap(err)
}

// Answered gives the questions a learner answered last, at most n, oldest first.
func (s *Store) Answered(learner string, n int) ([]session.Answered, error) {
	out, err := s.answered("WHERE learner = $1 ORDER BY at DESC, id DESC LIMIT $2", learner, n)
	slices.Reverse(out)
	return out, err
}

// answered reads the answered questions that the rest of a query asks for.
func (s *Store) answered(rest string, args ...any) ([]session.Answered, error) {
	rows, err := s.db.Query("SELECT "+answeredColumns+" FROM answered "+rest, args...)
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
	return out, s.wrap(rows.Err())
}
