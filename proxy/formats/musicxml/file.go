package musicxml

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// MaxSize is the largest score that is read, unpacked, in bytes. An orchestral
// symphony has about 100 MB (from memory).
const MaxSize = 256 << 20

// ReadFile reads the score at path, of at most [MaxSize] bytes. Its errors name the path.
func ReadFile(path string) (*Document, error) { return GraceAsWritten.ReadFile(path) }

// ReadFile reads as the function ReadFile does, with grace notes played so.
func (g Grace) ReadFile(path string) (*Document, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	d, err := g.readFrom(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return d, nil
}

// ReadFrom reads a score of at most [MaxSize] bytes from r.
func ReadFrom(r io.Reader) (*Document, error) { return GraceAsWritten.readFrom(r) }

func (g Grace) readFrom(r io.Reader) (*Document, error) {
	b, err := whole(r)
	if err != nil {
		return nil, err
	}
	return g.read(b)
}

// whole is all of a file that is not too large.
func whole(r io.Reader) ([]byte, error) {
	b, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err == nil && len(b) > MaxSize {
		err = refused("the file is over %d bytes, too large for a score: split it", MaxSize)
	}
	return b, err
}

// Read reads a score: score-partwise or score-timewise, in UTF-8, UTF-16 or ISO-8859-1,
// or an .mxl file with one of them. The result keeps nothing of b. What is wrong
// with the score itself is a [*SyntaxError].
//
// These are read over, with a warning: values that are no numbers or out of range,
// notes that no MIDI key stands for, backups beyond the measure's start, chords of
// no note, jumps to marks that are not there, slurs that nothing ends.
func Read(b []byte) (*Document, error) { return GraceAsWritten.read(b) }

func (g Grace) read(b []byte) (*Document, error) {
	b, err := unpacked(b)
	if err != nil {
		return nil, err
	}
	if plain := newScanner(b); plain != nil {
		r := newReader(scanned(plain), g)
		if r.read() == nil {
			return r.score.perform()
		}
	}
	text, err := decoded(b)
	if err != nil {
		return nil, err
	}
	r := newReader(newSource(text), g)
	if err := r.read(); err != nil {
		return nil, r.placed(err)
	}
	return r.score.perform()
}

// unpacked is the score itself, whether it came in an .mxl file or plain.
func unpacked(b []byte) ([]byte, error) {
	if packed(b) {
		return unpack(b)
	}
	return b, nil
}

// Text is the text of the score at path, of at most [MaxSize] bytes, in UTF-8: unpacked, and otherwise as it
// is. Its errors name the path.
func Text(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	b, err := textFrom(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return b, nil
}

func textFrom(r io.Reader) ([]byte, error) {
	b, err := whole(r)
	if err != nil {
		return nil, err
	}
	if b, err = unpacked(b); err != nil {
		return nil, err
	}
	text, err := decoded(b)
	if err != nil {
		return nil, err
	}
	return io.ReadAll(text)
}

// Under are the paths of the scores under a folder, .mxl and .musicxml, in their order.
func Under(folder string) (paths []string, err error) {
	err = filepath.WalkDir(folder, func(path string, e fs.DirEntry, err error) error {
		if ext := filepath.Ext(path); err == nil && !e.IsDir() && (ext == ".mxl" || ext == ".musicxml") {
			paths = append(paths, path)
		}
		return err
	})
	slices.Sort(paths)
	return paths, err
}
