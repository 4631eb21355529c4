package demo

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var (
	update   = flag.Bool("update", false, "rewrite the golden files")
	pictures = flag.String("pictures", "", "folder to write the large pictures to, for looking at them")
)

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; look at the difference after go test -update", file)
	}
}

func draw(t *testing.T, v View) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Picture(&b, v); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// drawn is what a reader of the XML finds.
type drawn struct {
	height int
	texts  []string // of text elements
	about  string   // desc
	label  string   // aria-label
	paths  map[string]int
}

func parse(t *testing.T, svg []byte) drawn {
	t.Helper()
	out := drawn{paths: map[string]int{}}
	d := xml.NewDecoder(bytes.NewReader(svg))
	inside := ""
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			inside = tok.Name.Local
			for _, a := range tok.Attr {
				switch {
				case inside == "svg" && a.Name.Local == "height":
					fmt.Sscan(a.Value, &out.height)
				case a.Name.Local == "aria-label":
					out.label = a.Value
				case inside == "path" && a.Name.Local == "class":
					out.paths[a.Value]++
				}
			}
		case xml.CharData:
			if inside == "text" {
				out.texts = append(out.texts, string(tok))
			} else if inside == "desc" {
				out.about += string(tok)
			}
		case xml.EndElement:
			inside = ""
		}
	}
}

func has(texts []string, want string) bool {
	for _, s := range texts {
		if s == want {
			return true
		}
	}
	return false
}

const second = time.Second

// small is two bars of two parts: one made softer, then louder, with vibrato;
// the other left alone.
func small() View {
	return View{
		Title: "Two bars",
		Bars:  []time.Duration{0, 2 * second},
		End:   4 * second,
		Parts: []PartView{
			{
				Name: "Violins", Profile: "violins",
				Raw:     []Sample{{0, -10}, {2 * second, 0}},
				Shaped:  []Sample{{0, -14}, {1 * second, -12}, {2 * second, 0}, {2500 * time.Millisecond, 3}},
				Vibrato: []Sample{{0, 0}, {500 * time.Millisecond, 20}, {2 * second, 0}, {2500 * time.Millisecond, 40}},
				Notes:   []Span{{0, 1900 * time.Millisecond}, {2 * second, 3900 * time.Millisecond}},
			},
			{
				Name: "Tuba", Profile: "tuba",
				Raw:    []Sample{{0, 0}},
				Shaped: []Sample{{0, 0}},
				Notes:  []Span{{1 * second, 3 * second}},
			},
		},
	}
}

func TestPicture(t *testing.T) {
	svg := draw(t, small())
	golden(t, "picture.svg", svg)
	d := parse(t, svg)
	for _, want := range []string{
		"Two bars", "Violins", "level −4.0 to +3.0 dB", "vibrato to 40 cents",
		"Tuba", "level as it came in", "no vibrato", "1", "2", "0:04",
	} {
		if !has(d.texts, want) {
			t.Errorf("no text %q", want)
		}
	}
	if want := "Violins, profile violins: level −4.0 to +3.0 dB, vibrato to 40 cents."; !strings.Contains(d.about, want) || d.label != "Two bars" {
		t.Errorf("label %q, description %q", d.label, d.about)
	}
	// The second row has neither of the two areas, nor vibrato, beyond the legend's.
	for class, want := range map[string]int{"raw": 3, "shaped": 3, "louder": 2, "softer": 2, "vibrato": 2, "note": 3} {
		if d.paths[class] != want {
			t.Errorf("%d paths of class %s, want %d", d.paths[class], class, want)
		}
	}
}

func TestPictureOfOddViews(t *testing.T) {
	one := small()
	one.Parts = one.Parts[:1]
	broken := small()
	broken.Parts[0].Name = "<Violins & \"friends\">\x00"
	broken.Parts[0].Raw = []Sample{{3 * second, math.Inf(-1)}, {second, math.NaN()}, {-second, math.Inf(1)}}
	broken.Parts[0].Shaped = []Sample{{0, math.NaN()}, {second, 500}, {9 * second, -1}}
	broken.Parts[0].Vibrato = []Sample{{0, math.Inf(1)}, {second, -3}}
	broken.Parts[0].Notes = []Span{{3 * second, second}, {-5 * second, -4 * second}, {3 * second, 900 * second}, {second, second}}
	broken.Bars = []time.Duration{-second, 5 * second, 0}
	for _, c := range []struct {
		name  string
		view  View
		texts []string
	}{
		{"empty", View{}, []string{"No part has played, so there is nothing to show."}},
		{"a part without anything", View{Parts: []PartView{{}}}, []string{"no level to compare", "no vibrato"}},
		{"no bars, no end", View{Title: "x", Parts: one.Parts}, []string{"Violins", "0:03"}},
		{"one part", one, []string{"Violins"}},
		{"broken", broken, []string{"<Violins & \"frien…", "Tuba"}},
		{"long names", View{Title: strings.Repeat("long ", 40), Parts: []PartView{{Name: strings.Repeat("ö", 99)}}},
			[]string{strings.Repeat("ö", 17) + "…"}},
		{"a day", View{End: 24 * time.Hour, Parts: one.Parts, Bars: make([]time.Duration, 90_000)}, []string{"0:00"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			svg := draw(t, c.view)
			d := parse(t, svg)
			for _, want := range c.texts {
				if !has(d.texts, want) {
					t.Errorf("no text %q in %q", want, d.texts)
				}
			}
			if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")) {
				t.Error("a coordinate is no number")
			}
			if want := max(1, len(c.view.Parts)); d.height < want*50 {
				t.Errorf("height %d", d.height)
			}
		})
	}
}

// played is a view of the whole score, shaped by a habit of thumb: what is loud
// louder, what is soft softer, a swell on long notes, vibrato that grows.
func played(t *testing.T) View {
	starts, end := Bars()
	at := func(tick int64) time.Duration {
		bar := min(int(tick/barTicks), bars-1)
		next := end
		if bar+1 < bars {
			next = starts[bar+1]
		}
		return starts[bar] + (next-starts[bar])*time.Duration(tick-int64(bar)*barTicks)/barTicks
	}
	v := View{Title: Title + ": before and after", Bars: starts, End: end}
	all := voices(t)
	for i, p := range Parts() {
		pv := PartView{Name: p.Name, Profile: strings.ToLower(strings.TrimRight(p.Name, " 1234I,"))}
		weight := map[bool]float64{true: 1.4, false: 1.15}[p.Program >= 56 && p.Program <= 60]
		for _, n := range all[p.Name][0] {
			from, to := at(n.tick), at(n.tick+n.length)
			level := 40 * math.Log10(float64(n.velocity)/80)
			pv.Notes = append(pv.Notes, Span{from, to})
			pv.Raw = append(pv.Raw, Sample{from, level})
			for s := from; s < to; s += 20 * time.Millisecond {
				x := (s - from).Seconds()
				pv.Shaped = append(pv.Shaped, Sample{s, level*weight + 2*math.Sin(min(x, 3)) - 0.5})
				if i%7 != 6 {
					pv.Vibrato = append(pv.Vibrato, Sample{s, min(45, 40*max(0, x-0.25))})
				}
			}
		}
		v.Parts = append(v.Parts, pv)
	}
	return v
}

func TestPictureOfTheScore(t *testing.T) {
	v := played(t)
	svg := draw(t, v)
	d := parse(t, svg)
	if !has(d.texts, "30") || !has(d.texts, "Double basses") {
		t.Errorf("texts %q", d.texts)
	}
	if dir := *pictures; dir != "" {
		if err := os.WriteFile(filepath.Join(dir, "score.svg"), svg, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// However long the piece, the picture stays small.
func TestPictureIsBounded(t *testing.T) {
	v := View{Title: "An hour for forty", End: time.Hour}
	for at := time.Duration(0); at < v.End; at += 2400 * time.Millisecond {
		v.Bars = append(v.Bars, at)
	}
	for i := range 40 {
		p := PartView{Name: fmt.Sprintf("Part %d", i+1), Profile: "violins"}
		for n := range 7200 {
			at := time.Duration(n) * 500 * time.Millisecond
			level := 12*math.Sin(float64(n*(i+3))/1500) + float64(n%4)
			p.Raw = append(p.Raw, Sample{at, level})
			p.Shaped = append(p.Shaped, Sample{at, level * 1.3})
			p.Vibrato = append(p.Vibrato, Sample{at, 20 + level})
			p.Notes = append(p.Notes, Span{at, at + 400*time.Millisecond})
		}
		v.Parts = append(v.Parts, p)
	}
	svg := draw(t, v)
	parse(t, svg)
	if len(svg) > 3<<20 {
		t.Errorf("%d bytes", len(svg))
	}
	if dir := *pictures; dir != "" {
		if err := os.WriteFile(filepath.Join(dir, "bounded.svg"), svg, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestColumnsAreMeansOfTheTimeThatCounts(t *testing.T) {
	p := &plot{end: plotWidth * second}
	ms := func(n int) time.Duration { return time.Duration(n) * time.Millisecond }
	samples := []Sample{{ms(500), 1}, {ms(2000), 4}, {ms(2250), 8}, {ms(4000), math.Inf(-1)}, {ms(5000), 2}}
	got := p.columns(samples, p.sounding([]Span{{ms(5500), ms(6000)}, {ms(0), ms(2500)}, {ms(2400), ms(2750)}, {ms(4000), ms(5250)}}))
	want := []column{
		{1, true},
		{1, true},
		{(4*0.25 + 8*0.5) / 0.75, true},
		{0, false}, // no note
		{0, false}, // no level
		{2, true},
		{0, false},
	}
	for x := range want {
		if got[x].known != want[x].known || math.Abs(got[x].value-want[x].value) > 1e-9 {
			t.Errorf("pixel %d: %+v, want %+v", x, got[x], want[x])
		}
	}
}

func TestPathLeavesOutWhatIsStraight(t *testing.T) {
	var p path
	p.move(0, 0)
	for _, q := range [][2]float64{{1, 0}, {2, 0}, {2, 5}, {2, 3}, {3, 4}, {3, 4}, {4.25, 4}} {
		p.line(q[0], q[1])
	}
	p.close()
	if got, want := string(p.d), "M0 0H2V5V3L3 4H4.2Z"; got != want {
		t.Errorf("path %s, want %s", got, want)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestPictureReportsTheWriter(t *testing.T) {
	if err := Picture(full{}, small()); err == nil || err.Error() != "cannot write the picture: disk full" {
		t.Errorf("error %v", err)
	}
}

func BenchmarkPicture(b *testing.B) {
	v := small()
	for b.Loop() {
		if err := Picture(io.Discard, v); err != nil {
			b.Fatal(err)
		}
	}
}
