// Package record keeps attempts and settings safely on disk, in one embedded
// database file that two trainers may have open at once.
//
// What Add and SaveSettings returned without error for is on disk and survives
// a crash of the program or of the machine. A database that is damaged is set
// aside under a new name, never written over; one made by a newer puddlewise
// is refused and left as it is.
package record

import (
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// FileName is the database's name in the data folder.
const FileName = "record.db"

const (
	// patience is how long one trainer waits for another that is writing.
	patience = 10 * time.Second
	// Files up to this size are read through at the start, which finds any
	// damage and is not noticed; in larger ones damage is found where it is read.
	readThrough = 8 << 20
)

// Store is an open record. It is safe for use by several goroutines.
type Store struct {
	db    *sql.DB
	path  string
	aside string
}

// NewerError says that the database was made by a newer puddlewise.
type NewerError struct {
	Path        string
	Have, Known int // schema of the file, newest schema this program knows
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("%s was written by a newer puddlewise (its schema is %d, this one knows %d); it was not touched\nupdate puddlewise to read it", e.Path, e.Have, e.Known)
}

// errDamaged marks a file whose content cannot be a sound database.
var errDamaged = errors.New("the database is damaged")

// Open opens the record at path, making it and its folder when they are
// missing. A damaged file is set aside and a new record begun; SetAside then
// says where the damaged one is.
func Open(path string) (*Store, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("the record's place cannot be found: %w", err)
	}
	seen, err := prepare(path)
	if err != nil {
		return nil, err
	}
	s, err := open(path)
	if !damaged(err) {
		return s, err
	}
	aside, err := setAside(path, seen)
	if err != nil {
		return nil, fmt.Errorf("%s is damaged and cannot be set aside: %w", path, err)
	}
	if _, err := prepare(path); err != nil {
		return nil, err
	}
	if s, err = open(path); err != nil {
		return nil, err
	}
	s.aside = aside
	return s, nil
}

// prepare makes folder and file with rights for the owner alone.
func prepare(path string) (os.FileInfo, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("the record's folder cannot be made: %w", err)
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, fmt.Errorf("the record cannot be opened: %w", err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, fmt.Errorf("the record cannot be opened: %w", err)
	}
	if info.Mode().Perm()&0o077 != 0 {
		// Best effort: a file system without owners, or another's file, keeps its mode.
		_ = f.Chmod(0o600)
	}
	return info, nil
}

func open(path string) (*Store, error) {
	c, err := sqlite.NewConnector(dsn(path))
	if err != nil {
		return nil, fmt.Errorf("%s cannot be opened: %w", path, err)
	}
	s := &Store{db: sql.OpenDB(c), path: path}
	// One connection: writers queue in Go, which is fair, not in the database, which is not.
	s.db.SetMaxOpenConns(1)
	if err := s.start(); err != nil {
		s.db.Close()
		return nil, err
	}
	return s, nil
}

func dsn(path string) string {
	p := filepath.ToSlash(path)
	if !strings.HasPrefix(p, "/") {
		p = "/" + p // a drive letter
	}
	q := url.Values{
		"_txlock": {"immediate"},
		"_pragma": {fmt.Sprintf("busy_timeout(%d)", patience.Milliseconds()), "synchronous(FULL)", "foreign_keys(ON)"},
	}
	return (&url.URL{Scheme: "file", Path: p, RawQuery: q.Encode()}).String()
}

// start checks the file before anything is written to it, then brings it up to date.
func (s *Store) start() error {
	version, err := s.checkOwner()
	if err != nil {
		return err
	}
	if err := s.useWAL(); err != nil {
		return s.wrap(err)
	}
	if version < len(migrations) {
		if err := s.migrate(); err != nil {
			return err
		}
	}
	return s.checkSound()
}

// useWAL makes readers and a writer not wait for each other. The change of
// mode does not queue as other statements do, so it is tried again.
func (s *Store) useWAL() error {
	for deadline := time.Now().Add(patience); ; time.Sleep(5 * time.Millisecond) {
		var mode string
		err := s.db.QueryRow("PRAGMA journal_mode = WAL").Scan(&mode)
		switch {
		case err == nil && mode != "wal":
			// Some network disks: the database stays safe, only slower.
			return nil
		case err == nil || code(err) != sqlite3.SQLITE_BUSY || time.Now().After(deadline):
			return err
		}
	}
}

func (s *Store) checkSound() error {
	info, err := os.Stat(s.path)
	if err != nil {
		return s.wrap(err)
	}
	check := "SELECT 'ok' FROM (SELECT COUNT(*) FROM (SELECT id FROM attempt ORDER BY at DESC, id DESC LIMIT 1))"
	if info.Size() <= readThrough {
		check = "PRAGMA quick_check(1)"
	}
	var result string
	if err := s.db.QueryRow(check).Scan(&result); err != nil {
		return s.wrap(err)
	}
	if result != "ok" {
		return fmt.Errorf("%s: %w: %s", s.path, errDamaged, result)
	}
	return nil
}

// Close releases the file.
func (s *Store) Close() error { return s.wrap(s.db.Close()) }

// Path says where the record is.
func (s *Store) Path() string { return s.path }

// SetAside says where Open put a damaged record, or "" when there was none.
func (s *Store) SetAside() string { return s.aside }

func (s *Store) wrap(err error) error {
	switch {
	case err == nil:
		return nil
	case code(err) == sqlite3.SQLITE_BUSY:
		return fmt.Errorf("%s: another program has been writing to the record for too long: %w", s.path, err)
	default:
		return fmt.Errorf("%s: %w", s.path, err)
	}
}

// code is the primary result code of the database, 0 for other errors.
func code(err error) int {
	var e *sqlite.Error
	if errors.As(err, &e) {
		return e.Code() & 0xff
	}
	return 0
}

func damaged(err error) bool {
	c := code(err)
	return c == sqlite3.SQLITE_CORRUPT || c == sqlite3.SQLITE_NOTADB || errors.Is(err, errDamaged)
}

// damagedMark stands between a set aside record's name and the time.
const damagedMark = ".damaged-"

// setAside renames the damaged file seen before, with its journal, which may
// hold what can be saved. It does nothing when another trainer did so already.
func setAside(path string, seen os.FileInfo) (string, error) {
	now, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) || err == nil && !os.SameFile(seen, now) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	aside := path + damagedMark + time.Now().UTC().Format("20060102-150405.000")
	if _, err := os.Lstat(aside); err == nil {
		return "", fmt.Errorf("%s is there already", aside)
	}
	for _, suffix := range []string{"-wal", "-shm", ""} {
		if err := os.Rename(path+suffix, aside+suffix); err != nil && !(suffix != "" && errors.Is(err, fs.ErrNotExist)) {
			return "", err
		}
	}
	return aside, nil
}
