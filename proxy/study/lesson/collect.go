package lesson

import (
	"cmp"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"

	"swellbox/proxy/layout"
	"swellbox/proxy/study/quiz"
)

// Result is what a student hands in: what was asked, and whether it was answered right. A code is easily made up: it is for learning.
type Result struct {
	Who     string   `json:"who"`    // what stands before the code on its line, or the name of the file
	Lesson  string   `json:"lesson"` // the title
	Answers []Answer `json:"answers"`
}

// Answer is one.
type Answer struct {
	Skill  string  `json:"skill"`
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
	Right  bool    `json:"right"`
}

// code is a result code in a text: its head, and the rest as base64 of JSON and of its CRC-32 (IEEE 802.3).
var code = regexp.MustCompile(`ear1:([A-Za-z0-9_-]+)`)

// ReadResults reads all result codes of a text. Who is the file's name. A text without one, and a code that is damaged, are errors.
func ReadResults(text, who string) (all []Result, err error) {
	for line := range strings.SplitSeq(text, "\n") {
		for _, m := range code.FindAllStringSubmatchIndex(line, -1) {
			r, err := decode(line[m[2]:m[3]])
			if err != nil {
				return nil, err
			}
			r.Who = cmp.Or(strings.Trim(line[:m[0]], " \t:;,–-"), who)
			all = append(all, r)
		}
	}
	if all == nil {
		return nil, errors.New("there is no result code in it; one begins with ear1: and is shown at the end of the questions")
	}
	return all, nil
}

var errDamaged = errors.New("a result code in it is damaged; have it copied whole")

func decode(text string) (r Result, err error) {
	b, err := base64.RawURLEncoding.DecodeString(text)
	if err != nil || len(b) < 4 {
		return r, errDamaged
	}
	body, sum := b[:len(b)-4], b[len(b)-4:]
	if want := crc32.ChecksumIEEE(body); string(sum) != string([]byte{byte(want >> 24), byte(want >> 16), byte(want >> 8), byte(want)}) {
		return r, errDamaged
	}
	if err := json.Unmarshal(body, &r); err != nil || len(r.Answers) == 0 {
		return r, errDamaged
	}
	return r, nil
}

// Threshold is the least amount that was told, with all greater ones of its skill; +Inf if not even the greatest was.
func Threshold(answers []Answer) float64 {
	sorted := slices.SortedFunc(slices.Values(answers), func(a, b Answer) int { return cmp.Compare(b.Amount, a.Amount) })
	least := math.Inf(1)
	for _, a := range sorted {
		if !a.Right {
			break
		}
		least = a.Amount
	}
	return least
}

// Class is the results of a class by skill.
type Class struct {
	Results []Result `json:"results"`
}

// skills are those that were asked about, in the order of the first result.
func (c *Class) skills() (names []string) {
	for _, r := range c.Results {
		for _, a := range r.Answers {
			if !slices.Contains(names, a.Skill) {
				names = append(names, a.Skill)
			}
		}
	}
	return names
}

func of(answers []Answer, skill string) []Answer {
	return slices.DeleteFunc(slices.Clone(answers), func(a Answer) bool { return a.Skill != skill })
}

// Table writes the class as a table that is at most so wide: of each student and skill how many were right, and down to
// which amount; then of each skill what share of the class told each amount. An error is that of w.
func (c *Class) Table(w io.Writer, width int) error {
	skills := c.skills()
	t := layout.Table{Columns: []layout.Column{{Title: "who", Words: true}}}
	for _, s := range skills {
		t.Columns = append(t.Columns, layout.Column{Title: s})
	}
	for _, r := range c.Results {
		row := []string{r.Who}
		for _, s := range skills {
			row = append(row, told(of(r.Answers, s)))
		}
		t.Row(row...)
	}
	if err := t.Write(w, width); err != nil {
		return err
	}
	for _, s := range skills {
		if _, err := fmt.Fprintf(w, "\n%s\n", layout.Wrap(s+": "+c.shares(s), width, "  ")); err != nil {
			return err
		}
	}
	return nil
}

// told says how many were right, and down to where.
func told(answers []Answer) string {
	if len(answers) == 0 {
		return ""
	}
	right := 0
	for _, a := range answers {
		if a.Right {
			right++
		}
	}
	text := fmt.Sprintf("%d of %d", right, len(answers))
	if least := Threshold(answers); !math.IsInf(least, 1) {
		text += ", to " + quiz.Figure(least)
	}
	return text
}

// shares says what share of the class told each amount of a skill.
func (c *Class) shares(skill string) string {
	asked, right, unit := map[float64]int{}, map[float64]int{}, ""
	for _, r := range c.Results {
		for _, a := range of(r.Answers, skill) {
			unit = a.Unit
			asked[a.Amount]++
			if a.Right {
				right[a.Amount]++
			}
		}
	}
	var amounts []float64
	for a := range asked {
		amounts = append(amounts, a)
	}
	slices.SortFunc(amounts, func(a, b float64) int { return cmp.Compare(b, a) })
	var words []string
	for _, a := range amounts {
		words = append(words, fmt.Sprintf("%s told by %d of %d", quiz.Figure(a), right[a], asked[a]))
	}
	return strings.Join(words, ", ") + " (" + unit + ")"
}
