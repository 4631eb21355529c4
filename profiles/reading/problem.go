package reading

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

// ProblemLimit is how many problems of one document are gathered: a file that
// is not a profile at all would otherwise fill the screen.
const ProblemLimit = 100

// Reader gathers the problems of one document while its values are read.
type Reader struct {
	File     string
	Problems Problems
}

// Fault notes a problem at n.
func (r *Reader) Fault(n *yaml.Node, path, format string, args ...any) {
	r.faultAt(n.Line, n.Column, path, format, args...)
}

func (r *Reader) faultAt(line, column int, path, format string, args ...any) {
	if !r.Full() {
		r.Problems = append(r.Problems, Problem{r.File, line, column, path, fmt.Sprintf(format, args...)})
	}
}

// Full reports whether no more problems are gathered, so that it is no use to look for them.
func (r *Reader) Full() bool { return len(r.Problems) >= ProblemLimit }

// Err is all that was wrong, nil for nothing.
func (r *Reader) Err() error {
	if len(r.Problems) == 0 {
		return nil
	}
	slices.SortStableFunc(r.Problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return r.Problems
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
