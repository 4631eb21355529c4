// Package atomicfile replaces files whole or not at all.
package atomicfile

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
)

// Write makes or replaces the file at path with what write writes.
//
// It goes to a temporary file in the same folder first, which takes the place
// of path once it is safely on the disk. On any error, or a panic in write, the
// temporary file is removed and what was at path is as it was. A file that was
// there keeps its permissions; a symbolic link to a file stays, and that file is
// replaced. What is there and is not a regular file (a folder, a device) is an
// error, and write is not called. Writes are buffered.
//
// Errors name the path, and wrap that of write.
func Write(path string, write func(io.Writer) error) error {
	return WriteSeek(path, func(f io.WriteSeeker) error {
		w := bufio.NewWriter(f)
		if err := write(w); err != nil {
			return err
		}
		return w.Flush()
	})
}

// WriteBytes is [Write] of what is known whole.
func WriteBytes(path string, b []byte) error {
	return Write(path, func(w io.Writer) error {
		_, err := w.Write(b)
		return err
	})
}

// WriteSeek is [Write] for what goes back in its file, as a header with a length
// in it does; nothing is buffered.
func WriteSeek(path string, write func(io.WriteSeeker) error) error {
	target, mode, err := resolve(path)
	if err != nil {
		return err
	}
	tmp, err := create(target)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("cannot write %s: %w; make that folder, or choose another", path, &fs.PathError{Op: "open", Path: filepath.Dir(target), Err: fs.ErrNotExist})
	}
	if err != nil {
		return fmt.Errorf("cannot write %s: %w; choose a folder that you may write to", path, errors.Unwrap(err))
	}
	defer os.Remove(tmp.Name()) // in vain once it has been renamed
	defer tmp.Close()
	if err := fill(tmp, mode, write); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	if err := os.Rename(tmp.Name(), target); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, errors.Unwrap(err))
	}
	return nil
}

// resolve follows path to the file that is to be replaced, and returns its
// permissions, or 0 if there is none yet.
func resolve(path string) (target string, mode fs.FileMode, err error) {
	target, err = filepath.EvalSymlinks(path)
	if errors.Is(err, fs.ErrNotExist) {
		return path, 0, nil
	}
	if err != nil {
		return "", 0, fmt.Errorf("cannot write %s: %w", path, err)
	}
	info, err := os.Stat(target)
	if err != nil {
		return "", 0, fmt.Errorf("cannot write %s: %w", path, err)
	}
	if !info.Mode().IsRegular() {
		return "", 0, fmt.Errorf("cannot write %s: it is not a regular file; choose another name", path)
	}
	return target, info.Mode().Perm(), nil
}

// create makes a new file beside target. Unlike os.CreateTemp it leaves its
// permissions to the user's umask. Its error is a *PathError of a name that
// means nothing to the user.
func create(target string) (*os.File, error) {
	const attempts = 100
	for i := 0; ; i++ {
		name := filepath.Join(filepath.Dir(target), ".swellbox-"+strconv.FormatUint(rand.Uint64(), 36))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) || i == attempts {
			return f, err
		}
	}
}

// fill writes the file and closes it, with its bytes on the disk.
func fill(f *os.File, mode fs.FileMode, write func(io.WriteSeeker) error) error {
	if err := write(f); err != nil {
		return err
	}
	if mode != 0 {
		if err := f.Chmod(mode); err != nil {
			return err
		}
	}
	if err := f.Sync(); err != nil {
		return err
	}
	return f.Close()
}
