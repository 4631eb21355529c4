package balance

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"swellbox/proxy/study/demo"
)

// The page is well-formed, needs nothing from anywhere, runs no script, and says in
// text what its colours say.
func TestHTML(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	r.Reports[0].Parts[3].Name = `<b>&"Clarinets"`
	var b bytes.Buffer
	if err := r.HTML(&b); err != nil {
		t.Fatal(err)
	}
	for _, never := range []string{"<script", "http://", "https://", "url(", "@import", "<link", "<img", "ZgotmplZ"} {
		if text := strings.ReplaceAll(b.String(), "http://www.w3.org/1999/xhtml", ""); strings.Contains(text, never) {
			t.Errorf("the page has %q", never)
		}
	}
	cells, rows, items, ids := map[string]int{}, 0, map[string]string{}, map[string]int{}
	var links []string
	for _, e := range elements(t, b.Bytes()) {
		if id := e.attrs["id"]; id != "" {
			ids[id]++
		}
		class := strings.Fields(e.attrs["class"])
		switch {
		case e.name == "td" && len(class) > 0 && class[0] != "left":
			letter, db, found := strings.Cut(e.text, " ")
			cells[letter]++
			n, err := strconv.Atoi(strings.Replace(db, "−", "-", 1))
			state := map[string]string{"L": "lost", "C": "colour", "B": "background", "H": "heard", "F": "in front", "A": "alone"}[letter]
			if !slices.Contains(class, letter) || !found || err != nil || !agree(state, float64(n)) {
				t.Errorf("the cell of class %s says %q", class, e.text)
			}
		case e.name == "th" && e.attrs["scope"] == "row":
			rows++
		case e.name == "li" && e.attrs["id"] != "":
			items[e.attrs["id"]] = strings.Join(strings.Fields(e.text), " ")
		case e.name == "a":
			links = append(links, strings.TrimPrefix(e.attrs["href"], "#"))
		}
	}
	if most := 3 * 2 * 21; rows <= 2*21 || rows > most {
		t.Errorf("%d rows have a head, want at most %d: two tables of bars and one more for each place", rows, most)
	}
	for _, to := range links {
		if ids[to] != 1 {
			t.Errorf("a link leads to %d elements called %s", ids[to], to)
		}
	}
	want := map[string]int{}
	told := 0 // cells
	for _, report := range r.Reports {
		for _, p := range report.Parts {
			for i, s := range states {
				if n := p.Share(State(i)); n > 0 {
					want[s.letter] += n
				}
			}
		}
		for i, c := range report.cases() {
			if item, text := items[fmt.Sprintf("%s-%d", report.Place, i+1)], report.text(&c, &naming{unit: "bar"}); !strings.Contains(item, c.Text) || len(item) < len(text) {
				t.Errorf("the page does not warn: %s\nbut %s", text, item)
			}
		}
		for _, w := range report.Warnings {
			told += w.LastBar - w.FirstBar + 1
		}
	}
	if want := told + len(r.Reports[0].Warnings) + len(r.Reports[1].Warnings); len(links) != want {
		t.Errorf("%d links, want %d: one from each warning, one from each cell that it is about", len(links), want)
	}
	if fmt.Sprint(cells) != fmt.Sprint(want) {
		t.Errorf("cells %v, want %v", cells, want)
	}
	if !strings.Contains(b.String(), "a model, not a rehearsal") {
		t.Error("the page is not modest")
	}
}

// The picture is well-formed, has a letter wherever it has a colour, and describes
// itself; of a long piece it has no more columns than pixels.
func TestSVG(t *testing.T) {
	short := analyse(t, demo.Score(), castOf(t))
	for name, c := range map[string]struct {
		result  *Result
		letters bool
	}{"the demo": {short, true}, "a long piece": {repeated(short, 50), false}} {
		t.Run(name, func(t *testing.T) {
			r := c.result
			var b bytes.Buffer
			if err := r.SVG(&b); err != nil {
				t.Fatal(err)
			}
			letters, cells, about := 0, 0, ""
			for _, e := range elements(t, b.Bytes()) {
				switch {
				case e.attrs["class"] == "letter":
					letters++
				case e.name == "path" && len(e.attrs["class"]) == 1:
					cells += strings.Count(e.attrs["d"], "M")
				case e.name == "desc":
					about = e.text
				}
			}
			if c.letters && letters != cells || !c.letters && letters != 0 || cells == 0 {
				t.Errorf("%d letters for %d cells", letters, cells)
			}
			if most := 2 * len(r.Reports[0].Parts) * svgCells; cells > most {
				t.Errorf("%d cells, want at most %d", cells, most)
			}
			for _, p := range r.Reports[0].Parts {
				if want := fmt.Sprintf("%s, hall: lost in %d,", p.Name, p.Share(Lost)); !strings.Contains(about, want) {
					t.Errorf("the description does not say %q", want)
				}
			}
		})
	}
}

// repeated is a result in which the music is heard n times.
func repeated(r *Result, n int) *Result {
	long := &Result{Title: r.Title, Where: r.Where, Unit: r.Unit, Bars: r.Bars * n}
	for _, report := range r.Reports {
		again := Report{Place: report.Place}
		for _, p := range report.Parts {
			bars := p.Bars
			p.Bars = nil
			for i := range n {
				for _, b := range bars {
					b.Bar += i * r.Bars
					p.Bars = append(p.Bars, b)
				}
			}
			again.Parts = append(again.Parts, p)
		}
		long.Reports = append(long.Reports, again)
	}
	return long
}
