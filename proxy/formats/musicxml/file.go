package musicxml

import (
	"fmt"
	"io"
	"os"
)

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
	b, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err != nil {
		return nil, err
	}
	if len(b) > MaxSize {
		return nil, refused("the file is over %d bytes, too large for a score: split it", MaxSize)
	}
	return g.read(b)
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
	if packed(b) {
		plain, err := unpack(b)
		if err != nil {
			return nil, err
		}
		b = plain
	}
	if plain := newScanner(b); plain != nil {
		r := &reader{xml: scanned(plain), byID: map[string]*part{}, placing: g}
		if r.read() == nil {
			return r.played()
		}
	}
	text, err := decoded(b)
	if err != nil {
		return nil, err
	}
	r := &reader{xml: newSource(text), byID: map[string]*part{}, placing: g}
	if err := r.read(); err != nil {
		return nil, r.placed(err)
	}
	return r.played()
}

// played is what was read, played out.
func (r *reader) played() (*Document, error) {
	r.xml, r.now, r.measureName = nil, nil, ""
	return r.perform()
}

// Text is the text of the score at path, of at most [MaxSize] bytes, in UTF-8: unpacked, and otherwise as it
// is. Its errors name the path.
func Text(path string) ([]byte, error) {
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	if len(b) > MaxSize {
		return nil, fmt.Errorf("%s: %w", path, refused("the file is over %d bytes, too large for a score: split it", MaxSize))
	}
	if packed(b) {
		if b, err = unpack(b); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	text, err := decoded(b)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return io.ReadAll(text)
}
