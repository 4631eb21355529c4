package profiles

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"syscall"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// DocumentLimit is the size of the largest document that is read, in bytes.
const DocumentLimit = 1 << 20

// readFile reads a document from an ordinary file: no more of it than a document
// may have, and one byte, by which the reader knows that it is too long.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("cannot read the document: %w", err)
	}
	r := &reader{file: path}
	switch {
	case info.IsDir():
		r.faultAt(0, 0, "", "this is a folder, wanted is a file")
	case !info.Mode().IsRegular():
		r.faultAt(0, 0, "", "this is a device, a pipe or a socket, wanted is an ordinary file")
	case info.Size() > DocumentLimit:
		r.tooLong(info.Size())
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	// Should a pipe take the file's place right now, opening it must not wait for a writer.
	f, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, fmt.Errorf("cannot read the document: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, DocumentLimit+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read the document: %w", err)
	}
	if after, err := f.Stat(); err == nil && after.Size() != int64(len(b)) && len(b) <= DocumentLimit {
		r.faultAt(0, 0, "", "the file was written while it was read; read it again when it is saved")
		return nil, r.err()
	}
	return b, nil
}

func (r *reader) tooLong(size int64) {
	r.faultAt(0, 0, "", "the file has %d bytes, allowed are %d", size, DocumentLimit)
}

// ofText reports whether b is text in UTF-8, and notes if not. A mark of UTF-8 at
// its beginning, as some editors write it, is no fault.
func (r *reader) ofText(b []byte) bool {
	utf16 := bytes.HasPrefix(b, []byte{0xFF, 0xFE}) || bytes.HasPrefix(b, []byte{0xFE, 0xFF})
	bad := len(b)
	for i := 0; i < len(b); {
		c, size := utf8.DecodeRune(b[i:])
		if c == utf8.RuneError && size == 1 || c == 0 {
			bad = i
			break
		}
		i += size
	}
	if bad == len(b) {
		return true
	}
	line := 1 + bytes.Count(b[:bad], []byte("\n"))
	column := 1 + utf8.RuneCount(b[bytes.LastIndexByte(b[:bad], '\n')+1:bad])
	switch {
	case utf16:
		r.faultAt(0, 0, "", "the file is encoded as UTF-16, allowed is UTF-8; save it as UTF-8")
	case b[bad] == 0:
		r.faultAt(line, column, "", "found a byte of value 0: the file is written by halves or is no text; save it again as UTF-8")
	default:
		r.faultAt(line, column, "", "found the byte 0x%02X, which is not UTF-8; save the file as UTF-8", b[bad])
	}
	return false
}

// document reads b as a document of ours, of whatever kind. It returns nil after
// noting why it is none.
func (r *reader) document(b []byte) *yaml.Node {
	root := r.tree(b)
	if root == nil || !r.ofVersion(root) {
		return nil
	}
	r.modernise(root)
	return root
}

// File is what a file holds: one of the kinds of documents, of which the others
// are nil.
type File struct {
	Profile       *Document
	ControllerMap *ControllerMap
	Seating       *Seating
}

// Renamed are the keys of the document that have other names now.
func (f *File) Renamed() Problems {
	switch {
	case f.Profile != nil:
		return f.Profile.Renamed
	case f.ControllerMap != nil:
		return f.ControllerMap.Renamed
	case f.Seating != nil:
		return f.Seating.Renamed
	}
	return nil
}

// ReadFile reads a document of any kind. A seating is known by its seats, a
// controller map by controller_map; what has neither is read as a profile.
func ReadFile(name string) (File, error) {
	b, err := readFile(name)
	if err != nil {
		return File{}, err
	}
	return ParseAny(name, b)
}

// ParseAny reads a document of any kind, see [ReadFile]. An error is of type [Problems].
func ParseAny(file string, b []byte) (f File, err error) {
	r := &reader{file: file}
	root := r.document(b)
	switch {
	case root == nil:
		err = r.err()
	case child(root, "seats") != nil:
		f.Seating, err = r.seating(root)
	case child(root, "controller_map") != nil:
		f.ControllerMap, err = r.controllerMap(root, b)
	default:
		f.Profile, err = r.profile(root, b)
	}
	return f, err
}
