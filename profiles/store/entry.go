package store

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// change is one change of a document, as its file in the history says it. It is
// read-only.
type change struct {
	id       Hash // of the file
	document string
	content  Hash
	size     int
	parents  []Hash // the changes that it rests on
	time     time.Time
	aside    bool // kept beside the document, and never in it
	author   Author
	note     string
}

// Limits of the file of a change: its size and a line of text in bytes, and how
// many changes a change rests on.
const (
	entryLimit   = 8 << 10
	authorLimit  = 200
	noteLimit    = 1000
	parentsLimit = 64
)

const entryHeader = "swellbox history 1"

// encode writes a change as lines of a word and a value.
func (c *change) encode() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\ndocument %s\ncontent %s\nsize %d\n", entryHeader, c.document, c.content, c.size)
	for _, p := range c.parents {
		fmt.Fprintf(&b, "parent %s\n", p)
	}
	place := "file"
	if c.aside {
		place = "aside"
	}
	fmt.Fprintf(&b, "time %s\nplace %s\nauthor %s\nnote %s\n", c.time.Format(time.RFC3339Nano), place, c.author, c.note)
	return []byte(b.String())
}

var errEntry = errors.New("it is not a whole entry of a history")

// parseChange reads the file of a change. It takes what encode writes and nothing
// else, so that a file has one meaning and a meaning has one file.
func parseChange(b []byte) (*change, error) {
	if len(b) > entryLimit {
		return nil, fmt.Errorf("it has more than %d bytes", entryLimit)
	}
	c := &change{id: HashOf(b)}
	lines := strings.Split(string(b), "\n")
	next := func(word string) string {
		if len(lines) == 0 {
			return ""
		}
		value, ok := strings.CutPrefix(lines[0], word+" ")
		if !ok {
			return ""
		}
		lines = lines[1:]
		return value
	}
	lines = lines[1:] // the header: the comparison below sees to it
	c.document = next("document")
	c.content = Hash(next("content"))
	c.size, _ = strconv.Atoi(next("size")) // what is no number is no whole entry: see below
	for len(lines) > 0 && strings.HasPrefix(lines[0], "parent ") {
		c.parents = append(c.parents, Hash(next("parent")))
	}
	c.time, _ = time.Parse(time.RFC3339Nano, next("time"))
	c.aside = next("place") == "aside"
	c.author = Author(next("author"))
	c.note = next("note")
	if string(c.encode()) != string(b) || !c.sound() {
		return nil, errEntry
	}
	return c, nil
}

// sound reports whether the values of a change are within their limits.
func (c *change) sound() bool {
	for _, p := range c.parents {
		if !p.valid() {
			return false
		}
	}
	return checkName(c.document) == nil && c.content.valid() && c.size >= 0 && c.size <= ContentLimit &&
		len(c.parents) <= parentsLimit && c.time.Location() == time.UTC &&
		string(c.author) == oneLine(string(c.author), authorLimit) && c.note == oneLine(c.note, noteLimit)
}

// oneLine makes one line of printable text of what a user or a system calls itself.
func oneLine(s string, limit int) string {
	s = strings.Map(func(r rune) rune {
		if r == utf8.RuneError || !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, s)
	s = strings.Join(strings.Fields(s), " ")
	if len(s) > limit {
		s = strings.TrimSpace(strings.ToValidUTF8(s[:limit], ""))
	}
	return s
}

// moment is a time as an entry can say it: in UTC, of a year of four digits.
func moment(t time.Time) time.Time {
	t = t.UTC().Round(0)
	if y := t.Year(); y < 1 || y > 9999 {
		return time.Unix(0, 0).UTC()
	}
	return t
}
