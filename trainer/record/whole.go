package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// WriteWhole puts v on disk as JSON: the file is the old one or the new one, whatever
// happens in between.
func WriteWhole(name string, v any) error {
	raw, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		return err
	}
	dir := filepath.Dir(name)
	tmp, err := os.CreateTemp(dir, ".puddlewise-*")
	var pe *fs.PathError
	if errors.As(err, &pe) { // nobody asked for the file it names
		return fmt.Errorf("folder %s: %w", dir, pe.Err)
	}
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name())
	_, err = tmp.Write(append(raw, '\n'))
	if err = errors.Join(err, tmp.Sync(), tmp.Close()); err != nil {
		return err
	}
	if err := os.Rename(tmp.Name(), name); err != nil {
		return err
	}
	if runtime.GOOS == "windows" { // which does not open folders
		return nil
	}
	d, err := os.Open(dir) // the new name is on disk with its folder
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// ReadWhole reads a file of at most so many bytes; one more says that it is larger.
func ReadWhole(name string, most int64) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, most+1))
}
