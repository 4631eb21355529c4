package seqtest

import (
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"
)

// archive writes a cpio archive in the "newc" format, which the kernel unpacks as
// its first file system. Several archives may follow one another in one image.
//
// Source: Linux, Documentation/driver-api/early-userspace/buffer-format.rst.
type archive struct {
	w     io.Writer
	err   error // the first one; nothing is written after it
	inode int
	seen  map[string]bool
}

func newArchive(w io.Writer) *archive {
	return &archive{w: w, seen: map[string]bool{"": true, ".": true, "/": true}}
}

// File types in the mode field, from the same source (they are those of stat).
const (
	modeDir     = 0o040000
	modeRegular = 0o100000
)

// file adds a regular file, and the directories above it that are not there yet.
// A name given twice is written once: the first stays.
func (a *archive) file(name string, mode fs.FileMode, data []byte) {
	name = strings.TrimPrefix(path.Clean(name), "/")
	if a.seen[name] {
		return
	}
	a.dir(path.Dir(name))
	a.entry(name, modeRegular|int(mode.Perm()), data)
}

// dir adds a directory and those above it.
func (a *archive) dir(name string) {
	name = strings.TrimPrefix(path.Clean(name), "/")
	if a.seen[name] {
		return
	}
	a.dir(path.Dir(name))
	a.entry(name, modeDir|0o755, nil)
}

// close writes the trailer and returns the first error of all.
func (a *archive) close() error {
	a.entry("TRAILER!!!", 0, nil)
	return a.err
}

func (a *archive) entry(name string, mode int, data []byte) {
	a.seen[name] = true
	a.inode++
	// magic, then inode, mode, uid, gid, links, mtime, size, device (2), special
	// device (2), length of the name with its zero byte, checksum (unused in newc)
	header := fmt.Sprintf("070701%08x%08x%08x%08x%08x%08x%08x%08x%08x%08x%08x%08x%08x",
		a.inode, mode, 0, 0, 1, 0, len(data), 0, 0, 0, 0, len(name)+1, 0)
	a.padded([]byte(header + name + "\x00"))
	a.padded(data)
}

// padded writes b and zeros up to the next multiple of four bytes. Every entry
// begins on one, so padding each piece by its own length comes to the same.
func (a *archive) padded(b []byte) {
	for _, piece := range [][]byte{b, make([]byte, -len(b)&3)} {
		if a.err == nil {
			_, a.err = a.w.Write(piece)
		}
	}
}
