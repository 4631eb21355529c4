package balance

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"swellbox/expr/acoustics"
)

// tableWidth is the most columns that a line takes.
const tableWidth = 100

const (
	nameWidth       = 20
	instrumentWidth = 15
)

// states are the columns, from the least heard.
var states = []acoustics.State{acoustics.Covered, acoustics.Blended, acoustics.Heard, acoustics.Dominant}

// modest stands under every report for people.
const modest = "This is a model, not a rehearsal: it knows neither your players nor your hall. " +
	"Listen to live concerts, and study scores."

// doubling explains what would else surprise.
const doubling = "A part that is masked only by those who double it counts as blended."

// Table writes a summary as plain text of at most 100 columns: of each part, in how
// many of its bars it is covered, blended, heard and dominant, and under that the
// warnings. An error is that of w.
func (r *Result) Table(w io.Writer) error {
	var b bytes.Buffer
	fmt.Fprintln(&b, shorten(r.Title, tableWidth))
	wrap(&b, "", "", fmt.Sprintf("%s: who is heard %s. In %% of the %ss in which a part sounds:", r.size(), r.places(), r.Unit))
	b.WriteByte('\n')
	head, second := pad("part", nameWidth)+" "+pad("instrument", instrumentWidth), pad("", nameWidth+instrumentWidth+1)
	for i := range r.Reports {
		head += "  " + pad(r.Reports[i].Sense, 29)
		second += "  covered blended heard dominant"
	}
	fmt.Fprintln(&b, strings.TrimRight(head, " "))
	fmt.Fprintln(&b, second)
	fmt.Fprintln(&b, strings.Repeat("─", utf8.RuneCountInString(second)))
	for i := range r.Reports[0].Parts {
		p := &r.Reports[0].Parts[i]
		line := pad(p.Name, nameWidth) + " " + pad(p.Instrument, instrumentWidth)
		for j := range r.Reports {
			s := r.Reports[j].Parts[i].shares()
			line += fmt.Sprintf("  %7s %7s %5s %8s", s[0], s[1], s[2], s[3])
		}
		fmt.Fprintln(&b, line)
	}
	for i := range r.Reports {
		r.Reports[i].list(&b, r.Unit)
	}
	b.WriteByte('\n')
	wrap(&b, "", "", doubling+" "+modest)
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("cannot write the table: %w", err)
	}
	return nil
}

// size is how much there is to hear.
func (r *Result) size() string {
	return fmt.Sprintf("%s, %s", count(len(r.Reports[0].Parts), "part"), count(r.Bars, r.Unit))
}

// places says where it was heard: "in the mid hall, row 10, and in a studio".
func (r *Result) places() string {
	var all []string
	for i := range r.Reports {
		if r.Reports[i].Sense == hall.String() {
			all = append(all, "in the "+r.Where)
		} else {
			all = append(all, "in a studio")
		}
	}
	return strings.Join(all, ", and ")
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// shares is in how many of its bars a part is in each of the states, in %; "–" for none.
func (p *PartReport) shares() (all [4]string) {
	for i, s := range states {
		all[i] = "–"
		if n := p.Share(s); n > 0 {
			all[i] = fmt.Sprintf("%.0f", 100*float64(n)/float64(len(p.Bars)))
		}
	}
	return all
}

// list writes the warnings.
func (r *Report) list(b *bytes.Buffer, unit string) {
	cases := r.cases(unit)
	fmt.Fprintf(b, "\n%s: %s\n", r.place(), tellCases(len(cases)))
	for _, text := range cases {
		wrap(b, "  ", "    ", text)
	}
	if more := r.more(); more != "" {
		fmt.Fprintf(b, "  %s\n", more)
	}
}

// more says that not all is told, if so.
func (r *Report) more() string {
	if r.untold == 0 {
		return ""
	}
	return fmt.Sprintf("and %s more, in which a part is covered less long or less deeply", stretches(r.untold))
}

func stretches(n int) string {
	if n == 1 {
		return "1 stretch"
	}
	return fmt.Sprintf("%d stretches", n)
}

// place is where the sense is.
func (r *Report) place() string {
	if r.Sense == studio.String() {
		return "In a studio, recorded apart, all faders at 0 dB"
	}
	return "In the hall"
}

func tellCases(n int) string {
	switch n {
	case 0:
		return "no leading line is covered"
	case 1:
		return "1 warning"
	}
	return count(n, "warning") + ", the gravest first"
}

// wrap writes text in lines of at most tableWidth, the first with its own indent.
func wrap(b *bytes.Buffer, first, indent, text string) {
	line := first
	for i, word := range strings.Fields(text) {
		if i > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > tableWidth {
			fmt.Fprintln(b, line)
			line = indent + word
			continue
		}
		if i > 0 {
			line += " "
		}
		line += word
	}
	fmt.Fprintln(b, line)
}

// shorten cuts s to n characters, the last of them an ellipsis if any is missing.
func shorten(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return strings.TrimSpace(string([]rune(s)[:n-1])) + "…"
}

// pad brings s to n characters.
func pad(s string, n int) string {
	s = shorten(s, n)
	return s + strings.Repeat(" ", n-utf8.RuneCountInString(s))
}
