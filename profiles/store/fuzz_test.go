package store

import (
	"strings"
	"testing"
	"time"
)

func seeds() []string {
	whole := &change{
		document: doc, content: HashOf([]byte("a: 1\n")), size: 5, parents: []Hash{HashOf(nil), HashOf([]byte("x"))},
		time: time.Date(2026, 3, 1, 12, 0, 0, 123, time.UTC), author: "Anna B", note: "vibrato.depth_low_cents: 40 → 55",
	}
	first := &change{document: "x.yml", content: HashOf(nil), time: time.Unix(0, 0).UTC(), aside: true}
	a, b := string(whole.encode()), string(first.encode())
	return []string{a, b}
}

// broken are entries with one thing wrong.
func broken() []string {
	a := seeds()[0]
	return []string{
		"", "\n", a[:len(a)-1], a + "\n", a + "x", "swellbox history 2" + strings.TrimPrefix(a, entryHeader),
		strings.Replace(a, doc, "../x.yaml", 1), strings.Replace(a, "size 5", "size -5", 1), strings.Replace(a, "size 5", "size 05", 1),
		strings.Replace(a, "size 5", "size 99999999999999999999", 1), strings.Replace(a, "place file", "place both", 1),
		strings.Replace(a, "Z\n", "+01:00\n", 1), strings.Replace(a, "2026-", "2026/", 1), strings.Replace(a, "Anna B", "Anna  B", 1),
		strings.Replace(a, "Anna B", "Anna\tB", 1), strings.Replace(a, "parent ", "parent x", 1), strings.Replace(a, "\n", "\r\n", 1),
		strings.Replace(a, "parent ", strings.Repeat("parent "+string(HashOf(nil))+"\n", parentsLimit)+"parent ", 1),
		strings.Replace(a, "Anna B", strings.Repeat("x", authorLimit+1), 1), strings.Replace(a, "vibrato", strings.Repeat("x", entryLimit), 1),
	}
}

func TestEntries(t *testing.T) {
	for _, text := range seeds() {
		if c, err := parseChange([]byte(text)); err != nil || string(c.encode()) != text {
			t.Errorf("%q became %+v, %v", text, c, err)
		}
	}
	for _, text := range broken() {
		if c, err := parseChange([]byte(text)); err == nil {
			t.Errorf("%q was taken for %+v", text, c)
		}
	}
}

// FuzzEntry takes any bytes for an entry: what is taken has one spelling, and is
// within the limits.
func FuzzEntry(f *testing.F) {
	n := 0
	for _, text := range append(seeds(), broken()...) {
		f.Add([]byte(text))
		n++
	}
	if n < 20 {
		f.Fatalf("only %d seeds", n)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		c, err := parseChange(b)
		if err != nil {
			return
		}
		if string(c.encode()) != string(b) || c.id != HashOf(b) {
			t.Errorf("%q is encoded as %q", b, c.encode())
		}
		if checkName(c.document) != nil || !c.content.valid() || c.size < 0 || c.size > ContentLimit || len(c.parents) > parentsLimit {
			t.Errorf("taken beyond the limits: %+v", c)
		}
		if strings.ContainsAny(string(c.author)+c.note, "\n\r\x00\x1b") {
			t.Errorf("not one line: %+v", c)
		}
	})
}
