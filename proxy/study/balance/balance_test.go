package balance

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"swellbox/expr/acoustics"
	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

var update = flag.Bool("update", false, "rewrite the golden files; read the difference")

func castOf(t testing.TB) *perform.Cast {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	return &perform.Cast{Library: lib}
}

func analyse(t testing.TB, f *smf.File, cast *perform.Cast) *Result {
	t.Helper()
	r, err := Analyse(context.Background(), f, cast, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// part is a part of a report by its name.
func (r *Report) part(t testing.TB, name string) *PartReport {
	t.Helper()
	i := slices.IndexFunc(r.Parts, func(p PartReport) bool { return p.Name == name })
	if i < 0 {
		t.Fatalf("no part %q", name)
	}
	return &r.Parts[i]
}

// bars are those of a part from one to another that sound; all of them must.
func (p *PartReport) bars(t testing.TB, first, last int) []BarReport {
	t.Helper()
	var out []BarReport
	for _, b := range p.Bars {
		if b.Bar >= first && b.Bar <= last {
			out = append(out, b)
		}
	}
	if len(out) != last-first+1 {
		t.Fatalf("%s sounds in %d of the bars %d-%d", p.Name, len(out), first, last)
	}
	return out
}

// The first flute, low, against three trombones: covered in the hall, and told so.
func TestLowFluteAgainstTrombones(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	if r.Bars != 30 || r.Unit != "bar" || r.Title != demo.Title || len(r.LeftOut) != 0 {
		t.Errorf("%d %ss of %q, left out %q", r.Bars, r.Unit, r.Title, r.LeftOut)
	}
	inHall := r.Reports[hall].part(t, "Flute 1").bars(t, 24, 26)
	inStudio := r.Reports[studio].part(t, "Flute 1").bars(t, 24, 26)
	for i, b := range inHall {
		if b.State != Lost || b.MaskingDB >= 0 {
			t.Errorf("bar %d: %s at %g dB, want it lost", b.Bar, b.State, b.MaskingDB)
		}
		if inStudio[i].MaskingDB <= b.MaskingDB {
			t.Errorf("bar %d: %g dB in the studio, no more than %g in the hall", b.Bar, inStudio[i].MaskingDB, b.MaskingDB)
		}
	}
	w := r.Reports[hall].Warnings
	if len(w) == 0 || w[0].Part != "Flute 1" || w[0].FirstBar != 24 || w[0].LastBar != 26 {
		t.Fatalf("the most serious warning is not of the flute: %+v", w)
	}
	for _, words := range []string{"bars 24–26, Flute 1, low register", "marked mf", "12 dB too soft to be heard", "Covered by three trombones at f", "or recorded apart", "Try: three trombones at", "an octave up", "dB better"} {
		if !strings.Contains(w[0].Text, words) {
			t.Errorf("%q does not say %q", w[0].Text, words)
		}
	}
}

// What the flute's warning advises helps when it is written into the score.
func TestAdviceHelpsInTheScore(t *testing.T) {
	cast := castOf(t)
	before := analyse(t, demo.Score(), cast)
	if text := before.Reports[hall].Warnings[0].Text; !strings.Contains(text, "Try: three trombones at mp and an octave up (16 dB better, then in the background)") {
		t.Fatalf("another advice than this test tries: %s", text)
	}
	softer := func(profile string, velocity byte) byte {
		p, err := cast.Library.Resolve(profile)
		if err != nil {
			t.Fatal(err)
		}
		reading := p.Dynamics.Reading
		return byte(math.Round(reading.Invert(reading.At(float64(velocity)) - 2*acoustics.MarkDB)))
	}
	f := demo.Score()
	bars, err := smf.Bars(f, 0)
	if err != nil {
		t.Fatal(err)
	}
	from, to := bars.BarStart(24), bars.BarStart(27)
	for i := range f.Tracks {
		tr := &f.Tracks[i]
		name := tr.Name()
		for j, e := range tr.Events {
			note := e.Data[0]&0xF0 == 0x90 || e.Data[0]&0xF0 == 0x80
			if !note || e.Tick < from || e.Tick > to || e.Tick == from && e.Data[0]&0xF0 == 0x80 || e.Tick == to && e.Data[0]&0xF0 == 0x90 {
				continue
			}
			switch {
			case name == "Flute 1":
				tr.Events[j].Data[1] += 12
			case strings.HasPrefix(name, "Trombone") && e.Data[0]&0xF0 == 0x90:
				tr.Events[j].Data[2] = softer("trombone", e.Data[2])
			}
		}
	}
	after := analyse(t, f, cast)
	was, is := before.Reports[hall].part(t, "Flute 1").bars(t, 24, 26), after.Reports[hall].part(t, "Flute 1").bars(t, 24, 26)
	covered := 0
	for i := range is {
		if is[i].MaskingDB < was[i].MaskingDB+8 {
			t.Errorf("bar %d: from %g to %g dB; 16 were promised over all", is[i].Bar, was[i].MaskingDB, is[i].MaskingDB)
		}
		if is[i].State == Lost {
			covered++
		}
	}
	if covered > 1 {
		t.Errorf("the flute stays covered in %d of 3 bars", covered)
	}
	for _, w := range after.Reports[hall].Warnings {
		if w.Part == "Flute 1" && w.FirstBar <= 26 && w.LastBar >= 24 && w.LastBar-w.FirstBar > 0 {
			t.Errorf("it still warns: %s", w.Text)
		}
	}
}

// Every remedy is measured: what it is told to reach is what it reaches, and it gains.
func TestManyRemediesGain(t *testing.T) {
	s, _, err := readScore(demo.Score(), castOf(t), DefaultOptions().Seating)
	if err != nil {
		t.Fatal(err)
	}
	a := analysisOf(t, s)
	tried := 0
	for in := range places {
		for _, st := range a.everyLost(in) {
			c := newCase(a, a.ears[0], in, &st)
			c.findMaskers()
			for _, r := range c.remedies() {
				tried++
				if again := c.measure(in, r.apply); again != r.heard {
					t.Errorf("%s: %+v, and again %+v", r.words, r.heard, again)
				}
				if r.audibilityDB < c.audibilityDB+1 {
					t.Errorf("bars %d-%d: %s brings %g from %g dB", st.first+1, st.last+1, r.words, r.audibilityDB, c.audibilityDB)
				}
				if in == studio && strings.Contains(r.words, "fader") && r.state < Heard {
					t.Errorf("%s: only %s", r.words, r.state)
				}
			}
			if again := c.measure(in, unchanged); again != c.heard {
				t.Errorf("trying has changed the score: %+v, was %+v", again, c.heard)
			}
		}
	}
	if tried < 20 {
		t.Errorf("only %d remedies were tried", tried)
	}
}

// everyLost is a stretch of one bar for each part that is lost somewhere, whether it is worth a warning or not.
func (a *analysis) everyLost(in place) (all []stretch) {
	known := map[int]bool{}
	for bar, parts := range a.bars {
		for _, p := range parts {
			if p.heard[in].state == Lost && !known[p.part] {
				known[p.part] = true
				all = append(all, stretch{part: p.part, first: bar, last: bar})
			}
		}
	}
	return all
}

// analysisOf hears a score in the usual places.
func analysisOf(t testing.TB, s *score) *analysis {
	t.Helper()
	opt := DefaultOptions()
	a := &analysis{score: s, bars: make([]heardBar, s.barCount()), notes: s.read()}
	a.ears = []*ear{newEar([places]acoustics.Place{acoustics.Hall(opt.Room, opt.Listener), acoustics.Studio()})}
	if err := a.hear(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	return a
}

// In the tutti of bars 19 to 23 the brass at f stand over the wood-wind at ff, and where
// they reach ff themselves, in bar 24, over all others together.
func TestManyBrassInATutti(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	level := func(bar int, counts func(family string) bool) float64 {
		sum := 0.0
		for _, p := range r.Reports[hall].Parts {
			in, _ := acoustics.Lookup(p.Instrument)
			for _, b := range p.Bars {
				if b.Bar == bar && counts(in.Family) {
					sum += math.Pow(10, b.LevelDB/10)
				}
			}
		}
		return 10 * math.Log10(sum)
	}
	brass := func(family string) bool { return family == "brass" }
	for bar := 19; bar <= 24; bar++ {
		if over := level(bar, brass) - level(bar, func(f string) bool { return f == "woodwind" }); over < 3 {
			t.Errorf("bar %d: the brass are %.1f dB over the wood-wind, want 3", bar, over)
		}
	}
	if over := level(24, brass) - level(24, func(f string) bool { return f != "brass" }); over < 0 {
		t.Errorf("bar 24: the brass are %.1f dB re all others", over)
	}
}

// More trombones never make a part more audible, nor themselves less loud.
func TestManyPlayersMaskMore(t *testing.T) {
	var before *Result
	for players := 1; players <= 8; players *= 2 {
		cast := castOf(t)
		text := "swellbox: 1\nseats:\n"
		for _, name := range []string{"Trombone 1", "Trombone 2", "Trombone 3"} {
			text += "  - {track: " + name + ", profile: trombone, players: " + string(rune('0'+players)) + "}\n"
		}
		seating, err := profiles.ParseSeating("seating.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		cast.Seating = seating
		r := analyse(t, demo.Score(), cast)
		if before != nil {
			for i, p := range r.Reports[hall].Parts {
				trombone := p.Instrument == "trombone"
				for j, b := range p.Bars {
					was := before.Reports[hall].Parts[i].Bars[j]
					if !trombone && (b.MaskingDB > was.MaskingDB || b.LevelDB != was.LevelDB) {
						t.Errorf("%d trombones a part: %s, bar %d: from %+v to %+v", players, p.Name, b.Bar, was, b)
					}
					if trombone && b.LevelDB < was.LevelDB+2.9 {
						t.Errorf("%d trombones a part: %s, bar %d: from %g to %g dB, want 3 more", players, p.Name, b.Bar, was.LevelDB, b.LevelDB)
					}
				}
			}
		}
		before = r
	}
}

// The result is the same on one processor.
func TestProcessors(t *testing.T) {
	text := func(n int) []byte {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
		var b bytes.Buffer
		if err := analyse(t, demo.Symphony(7_000), castOf(t)).JSON(&b); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	if !bytes.Equal(text(1), text(4)) {
		t.Error("the report depends on the number of processors")
	}
}

func TestProgressAndCancel(t *testing.T) {
	opt := DefaultOptions()
	last := 0
	opt.Progress = func(done, total int) {
		if total != 30 || done <= last || done > total {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last = done
	}
	if _, err := Analyse(context.Background(), demo.Score(), castOf(t), opt); err != nil || last != 30 {
		t.Errorf("%d bars were told of, %v", last, err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Analyse(ctx, demo.Score(), castOf(t), DefaultOptions()); err != context.Canceled {
		t.Errorf("cancelled, it says %v", err)
	}
}

// The terminal's text, word for word.
func TestTable(t *testing.T) {
	var b bytes.Buffer
	r := analyse(t, demo.Score(), castOf(t))
	for _, width := range []int{60, 100} {
		fmt.Fprintf(&b, "%d columns:\n", width)
		before := b.Len()
		if err := r.Table(&b, width); err != nil {
			t.Fatal(err)
		}
		for line := range strings.SplitSeq(b.String()[before:], "\n") {
			if n := len([]rune(line)); n > width || strings.TrimRight(line, " ") != line {
				t.Errorf("%d columns: %q", n, line)
			}
		}
	}
	golden := filepath.Join("..", "..", "..", "testdata", "balance", "demo.txt")
	if *update {
		if err := os.WriteFile(golden, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(b.Bytes(), want) {
		t.Errorf("not as in %s; if the difference is meant, run the test with -update\n%s", golden, b.Bytes())
	}
}

// A symphony of an hour, 300,000 notes.
func BenchmarkSymphony(b *testing.B) {
	f, cast := demo.Symphony(300_000), castOf(b)
	for b.Loop() {
		if r := analyse(b, f, cast); r.Bars != 1500 {
			b.Fatalf("%d bars", r.Bars)
		}
	}
}
