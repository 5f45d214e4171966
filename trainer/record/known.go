package record

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
)

// Known is what one build of the program has worked out on this machine and need not work
// out again: a file of lines, each the SHA-256 of a question, the check sum of the line
// and the answer. It holds no name and nothing that could not be had again. Several
// programs may have it open; each sees what stood there when it opened it, and its own.
type Known struct {
	mu   sync.Mutex
	file *os.File
	have map[[sha256.Size]byte]string
	room int64
}

const knownPrefix = "known-"

// mostKnown is the size, bytes, at which the file is begun anew: some 150,000 coupons.
const mostKnown = 16 << 20

// OpenKnown opens what the build, a word that differs from one to the next, knows in the
// folder, and makes it where there is none. What other builds knew is deleted: a program
// trusts no other.
func OpenKnown(dir, build string) (*Known, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("what is welded cannot be kept: %w", err)
	}
	name := filepath.Join(dir, knownPrefix+build)
	others, _ := filepath.Glob(filepath.Join(dir, knownPrefix+"*")) // only a wrong pattern fails
	for _, o := range others {
		info, err := os.Stat(o)
		if o != name || err == nil && info.Size() >= mostKnown {
			_ = os.Remove(o) // one in use elsewhere stays until the next time
		}
	}
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		return nil, fmt.Errorf("what is welded cannot be kept: %w", err)
	}
	k := &Known{file: f, have: map[[sha256.Size]byte]string{}, room: mostKnown}
	in := bufio.NewReader(f)
	for {
		line, err := in.ReadString('\n')
		k.room -= int64(len(line))
		if key, value, ok := knownLine(strings.TrimSuffix(line, "\n")); ok {
			k.have[key] = value
		}
		switch {
		case errors.Is(err, io.EOF) && line != "": // torn by a kill: what comes next begins its own line
			if _, err := f.WriteString("\n"); err != nil {
				return nil, errors.Join(fmt.Errorf("what is welded cannot be kept: %w", err), f.Close())
			}
			return k, nil
		case errors.Is(err, io.EOF):
			return k, nil
		case err != nil:
			return nil, errors.Join(fmt.Errorf("what was welded cannot be read: %w", err), f.Close())
		}
	}
}

// knownLine reads a line; one that is torn or spoilt is none.
func knownLine(line string) (key [sha256.Size]byte, value string, ok bool) {
	if len(line) < 9+2*sha256.Size {
		return key, "", false
	}
	rest := line[9:]
	sum, err := strconv.ParseUint(line[:8], 16, 32)
	if err != nil || uint32(sum) != crc32.ChecksumIEEE([]byte(rest)) {
		return key, "", false
	}
	_, err = hex.Decode(key[:], []byte(rest[:2*sha256.Size]))
	return key, strings.TrimPrefix(rest[2*sha256.Size:], " "), err == nil
}

// Get gives the answer to a question; ok is false where it is not known.
func (k *Known) Get(question string) (answer string, ok bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	answer, ok = k.have[sha256.Sum256([]byte(question))]
	return answer, ok
}

// Put keeps an answer, of one line. What cannot be written is not kept: it is worked out
// again the next time.
func (k *Known) Put(question, answer string) {
	key := sha256.Sum256([]byte(question))
	k.mu.Lock()
	defer k.mu.Unlock()
	if _, ok := k.have[key]; ok {
		return
	}
	k.have[key] = answer
	line := strings.TrimSuffix(fmt.Sprintf("%x %s", key, answer), " ")
	line = fmt.Sprintf("%08x %s\n", crc32.ChecksumIEEE([]byte(line)), line)
	if k.room -= int64(len(line)); k.room >= 0 && !strings.Contains(answer, "\n") {
		_, _ = k.file.WriteString(line) // at once: one line is whole or torn, and a torn one is none
	}
}

// Close closes the file.
func (k *Known) Close() error { return k.file.Close() }
