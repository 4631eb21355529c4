package reading

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"syscall"
	"unicode/utf8"
)

// DocumentLimit is the size of the largest document that is read, in bytes.
const DocumentLimit = 1 << 20

// ReadFile reads a document from an ordinary file: no more of it than a document
// may have, and one byte, by which the reader knows that it is too long.
func ReadFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("cannot read the document: %w", err)
	}
	r := &Reader{File: path}
	switch {
	case info.IsDir():
		r.faultAt(0, 0, "", "this is a folder, wanted is a file")
	case !info.Mode().IsRegular():
		r.faultAt(0, 0, "", "this is a device, a pipe or a socket, wanted is an ordinary file")
	case info.Size() > DocumentLimit:
		r.tooLong(info.Size())
	}
	if err := r.Err(); err != nil {
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
		return nil, r.Err()
	}
	return b, nil
}

func (r *Reader) tooLong(size int64) {
	r.faultAt(0, 0, "", "the file has %d bytes, allowed are %d", size, DocumentLimit)
}

// ofText reports whether b is text in UTF-8, and notes if not. A mark of UTF-8 at
// its beginning, as some editors write it, is no fault.
func (r *Reader) ofText(b []byte) bool {
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
