package profiles

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Problem is one fault of a document and its place.
type Problem struct {
	File   string `json:"file"`   // empty if it is of no document
	Line   int    `json:"line"`   // from 1; 0 if the fault is of the whole file
	Column int    `json:"column"` // from 1; 0 if only the line is known
	Key    string `json:"key"`    // "vibrato.onset_ms", list entries from 1: "seats[2].channel"; empty for the whole document
	Text   string `json:"text"`   // what was found, and what is allowed
}

// Error is the problem on one line: file:line:column: key: text.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
	}
	if p.Column > 0 {
		fmt.Fprintf(&b, ":%d", p.Column)
	}
	if p.File != "" {
		b.WriteString(": ")
	}
	if p.Key != "" {
		b.WriteString(p.Key + ": ")
	}
	b.WriteString(p.Text)
	return b.String()
}

// takenText is how a problem begins and goes on that is of a controller which another key has.
const takenText = "controller %d is already that of %s"

// TakenBy is the key that has the controller which the problem is about, if it is about one.
func (p Problem) TakenBy() (key string, ok bool) {
	before, other, ok := strings.Cut(p.Text, " is already that of ")
	return other, ok && strings.Contains(before, "controller ")
}

// Problems is all that is wrong with a document, in the order of its lines.
type Problems []Problem

// Error is one line for each problem.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// problemLimit is how many problems of one document are gathered: a file that
// is not a profile at all would otherwise fill the screen.
const problemLimit = 100

// reader gathers the problems of one document while its values are read.
type reader struct {
	file     string
	problems Problems
	renames  []Rename // old keys that were found
}

// fault notes a problem at n.
func (r *reader) fault(n *yaml.Node, path, format string, args ...any) {
	r.faultAt(n.Line, n.Column, path, format, args...)
}

func (r *reader) faultAt(line, column int, path, format string, args ...any) {
	if !r.full() {
		r.problems = append(r.problems, Problem{r.file, line, column, path, fmt.Sprintf(format, args...)})
	}
}

// full reports whether no more problems are gathered, so that it is no use to look for them.
func (r *reader) full() bool { return len(r.problems) >= problemLimit }

// err is all that was wrong, nil for nothing.
func (r *reader) err() error {
	if len(r.problems) == 0 {
		return nil
	}
	slices.SortStableFunc(r.problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return r.problems
}

// Nearest is the candidate that word was most likely meant to be, and whether
// one is near enough to be worth saying: a unit was forgotten, or a few letters are wrong.
func Nearest(word string, candidates []string) (string, bool) {
	const quoted = 64 // longer words are no slip of the finger
	if len(word) > quoted {
		return "", false
	}
	best, least := "", 1+len(word)/3
	for _, c := range candidates {
		if strings.HasPrefix(c, word+"_") {
			return c, true
		}
		if d := editDistance(strings.ToLower(word), c); d <= least && (best == "" || d < least) {
			best, least = c, d
		}
	}
	return best, best != ""
}

// editDistance counts the letters to insert, delete or change to make b of a
// (V. I. Levenshtein, Soviet Physics Doklady 10 (1966) 707-710).
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
