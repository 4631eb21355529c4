package store

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// BenchmarkSave is a save into a history of a thousand changes.
func BenchmarkSave(b *testing.B) {
	thousand(b, func(s *Store, last string, i int) string { return saved(b, s, last, i) })
}

// BenchmarkAdopt is what the daemon does at each reload of an editor's change.
func BenchmarkAdopt(b *testing.B) {
	thousand(b, func(s *Store, _ string, i int) string {
		next := fmt.Sprintf("b: %d\n", i)
		if err := os.WriteFile(filepath.Join(s.dir, doc), []byte(next), 0o666); err != nil {
			b.Fatal(err)
		}
		if _, err := s.Adopt(doc, "Anna"); err != nil {
			b.Fatal(err)
		}
		return next
	})
}

// BenchmarkHistory reads a history of a thousand changes that nobody has read before.
func BenchmarkHistory(b *testing.B) {
	thousand(b, func(s *Store, last string, _ int) string {
		fresh, err := Open(s.dir, Options{})
		if err != nil {
			b.Fatal(err)
		}
		if list, err := fresh.History(doc); err != nil || len(list) != 1000 {
			b.Fatal(len(list), err)
		}
		return last
	})
}

func saved(b *testing.B, s *Store, last string, i int) string {
	next, base := fmt.Sprintf("a: %d\n", i), Hash("")
	if last != "" {
		base = HashOf([]byte(last))
	}
	if _, err := s.Save(doc, []byte(next), base, "Anna"); err != nil {
		b.Fatal(err)
	}
	return next
}

func thousand(b *testing.B, step func(s *Store, last string, i int) string) {
	s, err := Open(b.TempDir(), Options{})
	if err != nil {
		b.Fatal(err)
	}
	last := ""
	for i := range 1000 {
		last = saved(b, s, last, i)
	}
	for i := 1000; b.Loop(); i++ {
		last = step(s, last, i)
	}
}
