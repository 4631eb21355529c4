package balance

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"swellbox/proxy/layout"
)

// modest stands under every report for people.
const modest = "This is a model, not a rehearsal: it knows neither your players nor your hall. " +
	"Listen to live concerts, and study scores."

// doubling explains what would else surprise.
const doubling = "Colour: it plays a line with others, under them, and is heard in it; no fault. Back: one hears it if one listens for it. " +
	"Front: what a listener follows. Alone: nobody else sounds."

// Table writes a summary as plain text of so many columns: of each part, in how many of
// its bars it is in each of the states, and under that the warnings. An
// error is that of w.
func (r *Result) Table(w io.Writer, width int) error {
	var b bytes.Buffer
	width = max(width, layout.Narrowest)
	lines := min(width, layout.Broadest)
	fmt.Fprintln(&b, layout.Wrap(r.Title, lines, ""))
	fmt.Fprintf(&b, "%s\n\n", layout.Wrap(fmt.Sprintf("%s: who is heard %s. In %% of the %ss in which a part sounds:", r.size(), r.places(), r.Unit), lines, ""))
	t := layout.Table{Rule: true, Columns: []layout.Column{{Title: "part", Words: true}, {Title: "instrument", Words: true}}}
	for i := range r.Reports {
		for j, s := range states {
			title := "\n" + s.short
			if j == 0 {
				title = r.Reports[i].Place + title
			}
			t.Columns = append(t.Columns, layout.Column{Title: title, Right: true, With: j > 0})
		}
	}
	for i := range r.Reports[0].Parts {
		p := &r.Reports[0].Parts[i]
		row := []string{p.Name, p.Instrument}
		for j := range r.Reports {
			s := r.Reports[j].Parts[i].shares()
			row = append(row, s[:]...)
		}
		t.Row(row...)
	}
	if err := t.Write(&b, width); err != nil {
		return err
	}
	for i := range r.Reports {
		r.Reports[i].list(&b, &r.naming, lines)
	}
	fmt.Fprintf(&b, "\n%s\n", layout.Wrap(doubling+" "+modest, lines, ""))
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
		if r.Reports[i].Place == hall.String() {
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
func (p *PartReport) shares() (all [len(states)]string) {
	for i := range states {
		all[i] = "–"
		if n := p.Share(State(i)); n > 0 {
			all[i] = fmt.Sprintf("%.0f", 100*float64(n)/float64(len(p.Bars)))
		}
	}
	return all
}

// list writes the warnings.
func (r *Report) list(b *bytes.Buffer, by *naming, width int) {
	cases := r.cases()
	fmt.Fprintf(b, "\n%s\n", layout.Wrap(r.place()+": "+tellCases(len(cases)), width, ""))
	for i := range cases {
		fmt.Fprintf(b, "  %s\n", layout.Wrap(r.text(&cases[i], by), width-2, "    "))
	}
	if more := r.more(); more != "" {
		fmt.Fprintf(b, "  %s\n", layout.Wrap(more, width-2, "    "))
	}
}

// more says that not all is told, if so.
func (r *Report) more() string {
	if r.untold == 0 {
		return ""
	}
	return fmt.Sprintf("and %s more, in which a line is lost less long or less deeply", stretches(r.untold))
}

func stretches(n int) string {
	if n == 1 {
		return "1 stretch"
	}
	return fmt.Sprintf("%d stretches", n)
}

// place says where the report is of.
func (r *Report) place() string {
	if r.Place == studio.String() {
		return "In a studio, recorded apart, all faders at 0 dB"
	}
	return "In the hall"
}

func tellCases(n int) string {
	switch n {
	case 0:
		return "no line that leads is lost"
	case 1:
		return "1 warning"
	}
	return count(n, "warning") + ", the most serious first"
}

// shorten cuts s to n characters, the last of them an ellipsis if any is missing.
func shorten(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return strings.TrimSpace(string([]rune(s)[:n-1])) + "…"
}
