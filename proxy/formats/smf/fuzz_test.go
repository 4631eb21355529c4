package smf

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// FuzzRead: reading never panics, and what is accepted can be written and reads
// back as the same. The seeds are the golden files, whole and damaged.
func FuzzRead(f *testing.F) {
	paths, err := filepath.Glob(filepath.Join(folder, "*.mid"))
	if err != nil {
		f.Fatal(err)
	}
	if len(paths) == 0 {
		f.Fatalf("no golden files in %s to start from", folder)
	}
	for _, path := range paths {
		b, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
		f.Add(b[:len(b)-5])                          // no end of track
		f.Add(append(slices.Clone(b), 0, 0, 0))      // padded
		f.Add(slices.Replace(b, 18, 22, 0, 0, 0, 0)) // length never filled in
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		got, err := Read(b)
		if (got == nil) == (err == nil) {
			t.Fatalf("file %v and error %v", got, err)
		}
		if err == nil {
			again(t, got)
		}
	})
}
