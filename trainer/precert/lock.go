package precert

import (
	"bytes"
	"crypto/pbkdf2"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"time"

	"puddlewise/trainer/record"
)

// Lock keeps a machine to one learner's test until an instructor takes it off. It is an
// agreement and not a wall: whoever may delete its file, use another account, another
// machine or another program is not held by it.
type Lock struct {
	Format  int       `json:"puddlewise_lock"`
	Piece   string    `json:"piece"` // id, or a file's whole path
	Learner string    `json:"learner"`
	Seed    int64     `json:"seed"`
	File    string    `json:"file"` // of the test, whole path
	Since   time.Time `json:"since"`
	Begun   bool      `json:"begun"` // the test's file was there once
	Salt    string    `json:"salt"`
	Key     string    `json:"key"` // of the passphrase, PBKDF2-HMAC-SHA256
}

const (
	lockFormat = 1
	// rounds of PBKDF2: under 0.1 s. It keeps a passphrase from being read off the file; the
	// file itself can be deleted, so that more would gain nothing.
	rounds = 200_000
	// LeastPhrase and MostPhrase bound a passphrase, bytes.
	LeastPhrase, MostPhrase = 8, 256
)

// NewLock makes a lock that the passphrase takes off.
func NewLock(piece, learner string, seed int64, file string, since time.Time, phrase string) (Lock, error) {
	l := Lock{Format: lockFormat, Piece: piece, Learner: learner, Seed: seed, File: file, Since: since.UTC().Truncate(time.Second)}
	if len(phrase) < LeastPhrase || len(phrase) > MostPhrase {
		return Lock{}, fmt.Errorf("the passphrase has %d letters, %d to %d are taken\na line of words nobody guesses will do", len(phrase), LeastPhrase, MostPhrase)
	}
	salt := make([]byte, 16)
	if _, err := rand.Read(salt); err != nil {
		return Lock{}, err
	}
	l.Salt = hex.EncodeToString(salt)
	key, err := l.derive(phrase)
	l.Key = hex.EncodeToString(key)
	return l, err
}

func (l Lock) derive(phrase string) ([]byte, error) {
	salt, err := hex.DecodeString(l.Salt)
	if err != nil {
		return nil, err
	}
	return pbkdf2.Key(sha256.New, phrase, salt, rounds, 32)
}

// Opens says whether the passphrase is the lock's.
func (l Lock) Opens(phrase string) bool {
	want, err := hex.DecodeString(l.Key)
	if err != nil || len(want) != 32 || len(phrase) > MostPhrase {
		return false
	}
	key, err := l.derive(phrase)
	return err == nil && subtle.ConstantTimeCompare(key, want) == 1
}

// Write puts the lock on.
func (l Lock) Write(name string) error { return record.WriteWhole(name, l) }

// ReadLock reads the lock that is on; ok is false when there is none.
func ReadLock(name string) (l Lock, ok bool, err error) {
	if _, err := os.Stat(name); err != nil { // nor is there one where there is no folder for it
		return Lock{}, false, nil
	}
	raw, err := os.ReadFile(name)
	if err == nil {
		dec := json.NewDecoder(bytes.NewReader(raw))
		dec.DisallowUnknownFields()
		err = dec.Decode(&l)
	}
	if err == nil && l.Format != lockFormat {
		err = errors.New("it is none of this program's")
	}
	if err != nil {
		return Lock{}, true, fmt.Errorf("the lock in %s cannot be read: %w\nwhoever put it on may delete the file", name, err)
	}
	return l, true, nil
}
