package balance

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"swellbox/proxy/study/demo"
)

// A bar's lines: in front on top, each once with all who play it, and heights that fill the column.
func TestBands(t *testing.T) {
	r := Report{Parts: []PartReport{
		{Name: "Flute", Bars: []BarReport{{Bar: 1, AudibilityDB: -3, Line: "Flute", State: Front}}},
		{Name: "Oboe", Bars: []BarReport{{Bar: 1, AudibilityDB: -9, Line: "Flute", State: Colour}}},
		{Name: "Horn", Bars: []BarReport{{Bar: 1, AudibilityDB: -40, Line: "Horn", State: Lost}, {Bar: 2, AudibilityDB: 0, Line: "Horn", State: Alone}}},
		{Name: "Viola", Bars: []BarReport{{Bar: 1, AudibilityDB: -6, Line: "Viola", State: Background}}},
	}}
	strips := r.strips(&naming{unit: "bar"}, 3, map[int]string{2: "hall-1"})
	if len(strips) != 1 || strips[0].Name != "bars 1–3" || strips[0].About != "In front: Flute bar 1; Horn bar 2." {
		t.Fatalf("strips %+v", strips)
	}
	if want := []runView{{1, "Flute"}, {1, "Horn"}, {1, ""}}; !slices.Equal(strips[0].Fronts, want) {
		t.Errorf("in front %v, want %v", strips[0].Fronts, want)
	}
	first := strips[0].Columns[0].Bands
	var about []string
	height := 0
	for _, b := range first {
		about = append(about, b.About)
		height += b.Height
	}
	if want := []string{"Flute with Oboe: in front", "Viola: background", "Horn: lost"}; !slices.Equal(about, want) {
		t.Errorf("bands %q, want %q", about, want)
	}
	if first[0].Height <= first[1].Height || first[1].Height <= first[2].Height || height < columnHeight-3 || height > columnHeight+3*leastBand {
		t.Errorf("heights %+v", first)
	}
	if c := strips[0].Columns; c[1].To != "hall-1" || c[0].To != "" || len(c[2].Bands) != 0 || c[1].Bands[0].Height != columnHeight {
		t.Errorf("columns %+v", c)
	}
}

// All bars are on the page, each once for each place, and who is in front is said in words too.
func TestBandsOfThePage(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	var b bytes.Buffer
	if err := r.HTML(&b); err != nil {
		t.Fatal(err)
	}
	columns, said := 0, 0
	for _, e := range elements(t, b.Bytes()) {
		switch {
		case e.attrs["class"] == "column":
			columns++
		case e.attrs["class"] == "strip" && strings.HasPrefix(e.attrs["aria-label"], "In front: "):
			said++
		}
	}
	if columns != 2*2*30 || said != 2 {
		t.Errorf("%d columns and %d strips told in words, want two of each of 30 bars for two places", columns, said)
	}
}
