package musicxml

import (
	"errors"
	"os"
	"strings"
	"testing"
)

// FuzzRead: reading never panics, gives a document or an error of one sentence, and what
// a document holds is in order and within its limits; reading again gives the same. The seeds are
// the compositions, whole and damaged.
func FuzzRead(f *testing.F) {
	for _, path := range compositions(f) {
		b, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
		f.Add(b[:len(b)*2/3])
		text := string(b)
		f.Add([]byte(strings.ReplaceAll(text, "<duration>2<", "<duration>1e9<")))
		f.Add([]byte(strings.ReplaceAll(text, "stop", "start")))
		f.Add([]byte(strings.ReplaceAll(text, "forward", "backward")))
		f.Add([]byte(strings.ReplaceAll(text, "backup", "forward")))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		d, err := Read(b)
		if (d == nil) == (err == nil) {
			t.Fatalf("document %v and error %v", d, err)
		}
		if err != nil {
			var e *SyntaxError
			if !errors.As(err, &e) || strings.ContainsAny(e.Reason, "\n") || e.Reason == "" {
				t.Fatalf("error %q", err)
			}
			return
		}
		check(t, d)
		again, err := Read(b)
		if err != nil {
			t.Fatalf("the second reading: %v", err)
		}
		if dump(d) != dump(again) {
			t.Fatal("the second reading gives another document")
		}
	})
}
