package record

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Backup writes a copy of the record to a file that is not there yet, for its owner
// alone. The record may be in use: the copy is of one moment.
func (s *Store) Backup(path string) (err error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already; it was not touched\nname a file that is not there yet", path)
	}
	if err != nil {
		return fmt.Errorf("the backup cannot be made: %w", err)
	}
	defer func() {
		err = errors.Join(err, f.Close())
		if err != nil {
			os.Remove(path) // half a backup is worse than none
		}
	}()
	if _, err := s.db.Exec("VACUUM INTO $1", path); err != nil { // takes an empty file
		return s.wrap(fmt.Errorf("the backup cannot be made: %w", err))
	}
	return f.Sync()
}

// Learner is somebody who has welded or answered questions here.
type Learner struct {
	Name        string // as it was set; may be empty
	Coupons     int
	Answers     int // questions answered
	First, Last time.Time
}

// Learners lists them by name.
func (s *Store) Learners() ([]Learner, error) {
	rows, err := s.db.Query(`SELECT learner, SUM(coupons), SUM(answers), MIN(first), MAX(last) FROM (
		SELECT learner, COUNT(*) AS coupons, 0 AS answers, MIN(at) AS first, MAX(at) AS last FROM attempt INDEXED BY attempt_brief GROUP BY learner
		UNION ALL SELECT learner, 0, COUNT(*), MIN(at), MAX(at) FROM answered GROUP BY learner
		) AS both GROUP BY learner ORDER BY learner`)
	if err != nil {
		return nil, s.wrap(err)
	}
	defer rows.Close()
	var out []Learner
	for rows.Next() {
		var l Learner
		var first, last int64
		if err := rows.Scan(&l.Name, &l.Coupons, &l.Answers, &first, &last); err != nil {
			return nil, s.wrap(err)
		}
		l.First, l.Last = time.UnixMilli(first).UTC(), time.UnixMilli(last).UTC()
		out = append(out, l)
	}
	return out, s.wrap(rows.Err())
}

// ForgetLearner deletes everything of one learner: coupons, answered questions, what
// is typed and not welded, and the name where the trainer is set to it. It gives how many
// coupons there were.
func (s *Store) ForgetLearner(name string) (coupons int, err error) {
	return s.forget(
		forgetting{"DELETE FROM attempt WHERE learner = $1", []any{name}},
		forgetting{"DELETE FROM answered WHERE learner = $1", []any{name}},
		forgetting{"DELETE FROM draft WHERE learner = $1", []any{name}},
		forgetting{"DELETE FROM setting WHERE key = 'name' AND value = $1", []any{name}},
	)
}

// ForgetAll deletes everything of everybody, damaged records that were set aside and
// what is known of coupons included. It gives how many coupons there were.
func (s *Store) ForgetAll() (coupons int, err error) {
	coupons, err = s.forget(forgetting{"DELETE FROM attempt", nil}, forgetting{"DELETE FROM answered", nil}, forgetting{"DELETE FROM draft", nil}, forgetting{"DELETE FROM setting", nil})
	if err != nil {
		return coupons, err
	}
	aside, err := s.Damaged()
	known, _ := filepath.Glob(filepath.Join(filepath.Dir(s.path), knownPrefix+"*")) // only a wrong pattern fails
	for _, path := range append(aside, known...) {
		err = errors.Join(err, os.Remove(path))
	}
	return coupons, err
}

// Damaged lists the files of records that were set aside.
func (s *Store) Damaged() ([]string, error) {
	entries, err := os.ReadDir(filepath.Dir(s.path))
	var out []string
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), filepath.Base(s.path)+damagedMark) {
			out = append(out, filepath.Join(filepath.Dir(s.path), e.Name()))
		}
	}
	return out, err
}

type forgetting struct {
	statement string
	args      []any
}

// forget deletes all of it or nothing, and leaves nothing of it in the file. The
// first statement's count is given.
func (s *Store) forget(all ...forgetting) (count int, err error) {
	// What is deleted is written over, not only given free.
	if _, err := s.db.Exec("PRAGMA secure_delete = ON"); err != nil {
		return 0, s.wrap(err)
	}
	tx, err := s.db.Begin()
	if err != nil {
		return 0, s.wrap(err)
	}
	defer tx.Rollback()
	for i, f := range all {
		result, err := tx.Exec(f.statement, f.args...)
		if err != nil {
			return 0, s.wrap(err)
		}
		if i == 0 {
			n, err := result.RowsAffected()
			if err != nil {
				return 0, s.wrap(err)
			}
			count = int(n)
		}
	}
	if err := tx.Commit(); err != nil {
		return 0, s.wrap(err)
	}
	// Pages that were shared out anew still hold old text in their gaps, and the
	// journal the pages as they were.
	if _, err := s.db.Exec("VACUUM"); err != nil {
		return count, s.wrap(fmt.Errorf("it is deleted, but traces stay in the file: %w", err))
	}
	var busy, pages, done int
	if err := s.db.QueryRow("PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &pages, &done); err != nil {
		return count, s.wrap(err)
	}
	if busy != 0 {
		return count, fmt.Errorf("%s: it is deleted, but another program is reading the record and traces stay in its journal\nclose every trainer; the last one to close takes them away", s.path)
	}
	return count, nil
}
