package balance

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"swellbox/proxy/study/demo"
)

// The shape that scripts rely on, written down anew.
type (
	strictResult struct {
		Version int            `json:"version"`
		Title   string         `json:"title"`
		Where   string         `json:"where"`
		Unit    string         `json:"unit"`
		Bars    int            `json:"bars"`
		Printed []string       `json:"printed"`
		Places  []strictReport `json:"places"`
	}
	strictReport struct {
		Place    string          `json:"place"`
		Parts    []strictPart    `json:"parts"`
		Warnings []strictWarning `json:"warnings"`
		Behind   []float64       `json:"tune_behind_db"`
	}
	strictPart struct {
		Name       string      `json:"name"`
		Instrument string      `json:"instrument"`
		Players    int         `json:"players"`
		PlayersBy  string      `json:"players_by"`
		Doubts     []string    `json:"doubts"`
		Bars       []strictBar `json:"bars"`
	}
	strictBar struct {
		Bar        *int     `json:"bar"`
		Level      *float64 `json:"level_db"`
		Strength   *float64 `json:"strength_db"`
		Audibility *float64 `json:"audibility_db"`
		Masking    *float64 `json:"masking_db"`
		LineDB     *float64 `json:"line_db"`
		Draw       *float64 `json:"draw_db"`
		Line       *string  `json:"line"`
		State      *string  `json:"state"`
	}
	strictWarning struct {
		Part  *string  `json:"part"`
		First *int     `json:"first_bar"`
		Last  *int     `json:"last_bar"`
		By    []string `json:"covered_by"`
		What  *string  `json:"what"`
		Why   *string  `json:"why"`
		Try   *string  `json:"try"`
		Text  *string  `json:"text"`
	}
)

// agree reports whether a state may be that of a part so far over what the others mask: what is under
// it is lost, or the colour of a line; in the background it may be either, as part of a line there.
func agree(state string, db float64) bool {
	switch state {
	case "lost", "colour":
		return db < 0
	case "alone", "heard", "in front":
		return db >= 0
	}
	return state == "background"
}

func strict(t *testing.T, b []byte, to any) {
	t.Helper()
	dec := json.NewDecoder(bytes.NewReader(b))
	dec.DisallowUnknownFields()
	if err := dec.Decode(to); err != nil || dec.More() {
		t.Fatalf("%v in %.300s", err, b)
	}
}

func TestJSON(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	var b bytes.Buffer
	if err := r.JSON(&b); err != nil {
		t.Fatal(err)
	}
	var all strictResult
	strict(t, b.Bytes(), &all)
	if all.Title != demo.Title || all.Where != "large hall, row 10" || all.Unit != "bar" || all.Bars != 30 {
		t.Errorf("it is of %q, %q, %d %ss", all.Title, all.Where, all.Bars, all.Unit)
	}
	if len(all.Places) != 2 || all.Places[0].Place+all.Places[1].Place != "hallstudio" {
		t.Fatalf("%d all.Places", len(all.Places))
	}
	for _, report := range all.Places {
		if len(report.Behind) != all.Bars || slices.Min(report.Behind) < 0 || slices.Max(report.Behind[23:26]) < 6 {
			t.Errorf("%s: the tune is behind by %v", report.Place, report.Behind)
		}
		if len(report.Parts) != 21 {
			t.Errorf("%s: %d parts", report.Place, len(report.Parts))
		}
		for _, p := range report.Parts {
			last := 0
			for _, bar := range p.Bars {
				if bar.Bar == nil || bar.Level == nil || bar.Strength == nil || bar.Audibility == nil || bar.Masking == nil || bar.LineDB == nil || bar.Draw == nil || *bar.Draw > 0 || bar.Line == nil || bar.State == nil {
					t.Fatalf("%s lacks a key: %+v", p.Name, bar)
				}
				if *bar.Bar <= last || *bar.Bar > 30 {
					t.Errorf("%s: bar %d after %d", p.Name, *bar.Bar, last)
				}
				last = *bar.Bar
				if !agree(*bar.State, *bar.Masking) {
					t.Errorf("%s, bar %d: %s at %g dB", p.Name, last, *bar.State, *bar.Masking)
				}
			}
			if p.Name == "" || p.Instrument == "" || last == 0 {
				t.Errorf("a part without a name, an instrument or a bar: %+v", p)
			}
		}
		for _, w := range report.Warnings {
			if w.Part == nil || w.First == nil || w.Last == nil || w.Text == nil || *w.First > *w.Last || len(w.By) == 0 || !strings.Contains(*w.What, *w.Part) ||
				!strings.HasSuffix(*w.Text, *w.What+" "+*w.Why+" "+*w.Try) {
				t.Errorf("warning %+v", w)
			}
		}
	}
	// The flute rests in bars 8 to 14: no entries there.
	if first := all.Places[0].Parts[0]; slices.ContainsFunc(first.Bars, func(b strictBar) bool { return *b.Bar >= 8 && *b.Bar <= 14 }) {
		t.Errorf("%s has entries for bars in which it rests", first.Name)
	}
	r.Reports = r.Reports[1:]
	b.Reset()
	if err := r.JSON(&b); err != nil {
		t.Fatal(err)
	}
	var one strictResult
	if strict(t, b.Bytes(), &one); len(one.Places) != 1 || one.Places[0].Place != "studio" {
		t.Errorf("one report is %+v", one.Places)
	}
}

// A score without a warning has an empty list of them, not null.
func TestNoWarnings(t *testing.T) {
	var b bytes.Buffer
	if err := analyse(t, solo(), castOf(t)).JSON(&b); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "null") || strings.Count(b.String(), `"warnings": []`) != 2 {
		t.Errorf("%s", b.String())
	}
}

func TestCSV(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	r.Reports[0].Parts[0].Name = `Flute, "low"`
	var b bytes.Buffer
	if err := r.CSV(&b); err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if want := []string{"place", "part", "instrument", "bar", "level_db", "audibility_db", "masking_db", "line", "state"}; !slices.Equal(lines[0], want) {
		t.Errorf("the first line is %q", lines[0])
	}
	lines = lines[1:]
	for _, report := range r.Reports {
		for _, p := range report.Parts {
			for _, bar := range p.Bars {
				l := lines[0]
				lines = lines[1:]
				level, errL := strconv.ParseFloat(l[4], 64)
				db, errA := strconv.ParseFloat(l[5], 64)
				masking, errM := strconv.ParseFloat(l[6], 64)
				if l[0] != report.Place || l[1] != p.Name || l[2] != p.Instrument || l[3] != strconv.Itoa(bar.Bar) || l[7] != bar.Line || l[8] != bar.State.String() ||
					errL != nil || errA != nil || errM != nil || math.Abs(masking-bar.MaskingDB) > 0.01 || math.Abs(level-bar.LevelDB) > 0.01 || math.Abs(db-bar.AudibilityDB) > 0.01 {
					t.Fatalf("%q is not %s %+v", l, p.Name, bar)
				}
			}
		}
	}
	if len(lines) != 0 {
		t.Errorf("%d lines too many", len(lines))
	}
}

// element is a node of a parsed document with all text under it.
type element struct {
	name, text string
	attrs      map[string]string
}

// elements parses XML strictly and lists its elements in the order in which they end.
func elements(t *testing.T, b []byte) (all []element) {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader(b))
	var open []element
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			e := element{name: x.Name.Local, attrs: map[string]string{}}
			for _, a := range x.Attr {
				e.attrs[a.Name.Local] = a.Value
			}
			open = append(open, e)
		case xml.CharData:
			for i := range open {
				open[i].text += string(x)
			}
		case xml.EndElement:
			all = append(all, open[len(open)-1])
			open = open[:len(open)-1]
		}
	}
	if len(open) > 0 || len(all) == 0 {
		t.Fatalf("%d elements are not closed, of %d", len(open), len(all))
	}
	return all
}

func TestWriteFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "report")
	r := analyse(t, solo(), castOf(t))
	if err := r.WriteFolder(dir); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"balance.html", "balance.svg", "balance.csv", "balance.json"} {
		if b, err := os.ReadFile(filepath.Join(dir, name)); err != nil || len(b) < 100 {
			t.Errorf("%s: %d bytes, %v", name, len(b), err)
		}
	}
	if err := r.WriteFolder(filepath.Join(dir, "balance.csv")); err == nil || !strings.Contains(err.Error(), "balance.csv") {
		t.Errorf("into a file: %v", err)
	}
}

// Warnings of the same case are told together, under the most serious.
func TestCases(t *testing.T) {
	r := Report{Warnings: []Warning{
		{FirstBar: 9, LastBar: 9, Text: "bar 9, a.", alike: "a"},
		{FirstBar: 5, LastBar: 6, Text: "bars 5–6, b.", alike: "b"},
		{FirstBar: 20, LastBar: 22, Text: "bars 20–22, a, less.", alike: "a"},
		{FirstBar: 3, LastBar: 3, Text: "bar 3, a, least.", alike: "a"},
		{FirstBar: 7, LastBar: 8, Text: "bars 7–8, b.", alike: "b"},
	}}
	want := []string{"bar 9, a. The same in bars 3 and 20–22.", "bars 5–6, b. The same in bars 7–8."}
	var got []string
	for _, c := range r.cases() {
		got = append(got, r.text(&c, &naming{unit: "bar"}))
	}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if r.Warnings[2].FirstBar != 20 {
		t.Error("the order of the warnings has changed")
	}
}

// Of many cases the most serious are told, with all that is like them, and the rest is
// counted.
func TestChoose(t *testing.T) {
	var all []stretch
	for i := range 2 * maxWarnings {
		all = append(all, stretch{telling: telling{what: "x", alike: strconv.Itoa(i % (maxWarnings + 3))}})
	}
	choose(all)
	for i, s := range all {
		if told := i%(maxWarnings+3) < maxWarnings; (s.what != "") != told {
			t.Errorf("stretch %d of case %s: %q", i, s.alike, s.what)
		}
	}
	r := Report{untold: 1}
	if got := r.more(); got != "and 1 stretch more, in which a line is lost less long or less deeply" {
		t.Error(got)
	}
}
