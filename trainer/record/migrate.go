package record

import (
	"embed"
	"fmt"
	"path"
	"slices"
)

// applicationID marks the file as a puddlewise record: the letters "pdlw".
const applicationID = 0x70646c77

//go:embed migrations/*.sql
var migrationFiles embed.FS

// migrations bring the schema from one version to the next, in order of file
// name. A file that has been released is never changed.
var migrations = readMigrations()

func readMigrations() []string {
	entries, err := migrationFiles.ReadDir("migrations")
	if err != nil {
		panic("record: " + err.Error())
	}
	var out []string
	for _, e := range entries { // sorted by name
		b, err := migrationFiles.ReadFile(path.Join("migrations", e.Name()))
		if err != nil {
			panic("record: " + err.Error())
		}
		out = append(out, string(b))
	}
	return slices.Clip(out)
}

// checkOwner reads the schema version and refuses what is not ours to write.
func (s *Store) checkOwner() (version int, err error) {
	var app, tables int
	// The tables first: another trainer may be making the file just now, and its
	// tables and its mark come in one commit, so tables seen here are marked below.
	for _, read := range []struct {
		query string
		into  *int
	}{
		{"SELECT COUNT(*) FROM sqlite_master", &tables},
		{"PRAGMA application_id", &app},
		{"PRAGMA user_version", &version},
	} {
		if err := s.db.QueryRow(read.query).Scan(read.into); err != nil {
			return 0, s.wrap(err)
		}
	}
	if tables > 0 && app != applicationID {
		return 0, fmt.Errorf("%s is another program's database; it was not touched\nmove it elsewhere, or keep puddlewise's data in another folder", s.path)
	}
	if version > len(migrations) {
		return 0, &NewerError{s.path, version, len(migrations)}
	}
	return version, nil
}

// migrate applies what is missing, all of it or nothing.
func (s *Store) migrate() error {
	tx, err := s.db.Begin()
	if err != nil {
		return s.wrap(err)
	}
	defer tx.Rollback()
	// Another trainer may have done it while this one waited for the lock.
	var version int
	if err := tx.QueryRow("PRAGMA user_version").Scan(&version); err != nil {
		return s.wrap(err)
	}
	for ; version < len(migrations); version++ {
		if _, err := tx.Exec(migrations[version]); err != nil {
			return fmt.Errorf("%s cannot be brought to schema %d: %w", s.path, version+1, err)
		}
	}
	for _, pragma := range []string{
		fmt.Sprintf("PRAGMA application_id = %d", applicationID),
		fmt.Sprintf("PRAGMA user_version = %d", version),
	} {
		if _, err := tx.Exec(pragma); err != nil {
			return s.wrap(err)
		}
	}
	return s.wrap(tx.Commit())
}
