package acoustics

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// Every row of every table names its source, or says that it has none.
func TestEveryRowHasASource(t *testing.T) {
	said := regexp.MustCompile(`\b[Oo]urs\b|from memory|p\. \d|table|JASA|abstract|common practice|none: |no pitch|Beranek`)
	check := func(what, source string) {
		t.Helper()
		if !said.MatchString(source) {
			t.Errorf("%s: source %q names no publication and does not say whose number it is", what, source)
		}
	}
	rows := 0
	for _, in := range Instruments() {
		rows++
		check(in.Name, in.Source)
		check(in.Name+", power", in.Power.Source)
		check(in.Name+", colour", in.Colour.Source)
		check(in.Name+", front", in.Front.Source)
		check(in.Name+", ensemble", in.Ensemble.Source)
		for _, r := range in.Registers {
			check(in.Name+", register "+r.Name, r.Source)
		}
	}
	for _, r := range Rooms() {
		rows++
		check("room "+r.Name, r.Source)
	}
	for _, s := range Seatings() {
		rows++
		check("seating "+s.Name, s.Source)
	}
	for _, a := range aliases {
		rows++
		check("alias "+a.name, a.source)
	}
	if rows < 50 {
		t.Errorf("only %d rows were found", rows)
	}
}

// A number in a data file stands beside a source: in its declaration, or in the
// comment above it.
func TestDataFilesSaySources(t *testing.T) {
	files, err := filepath.Glob("data_*.go")
	if err != nil || len(files) < 8 {
		t.Fatalf("found the data files %v, wanted eight or more: %v", files, err)
	}
	word := regexp.MustCompile(`Source|[Ss]ource|[Oo]urs|memory|Power|ranges|registerLevels|korsakov|fronts|spectra|modal|meyer`)
	number := regexp.MustCompile(`[{(, ]-?\d*\.?\d+[,})]`)
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for block := range strings.SplitSeq(string(b), "\n\n") {
			if number.MatchString(block) && !word.MatchString(block) {
				t.Errorf("%s: no source beside these numbers:\n%s", f, block)
			}
		}
	}
}

// Tables are in order: powers rise, registers follow each other to the top of
// the range, colours can be computed.
func TestTablesAreInOrder(t *testing.T) {
	for _, in := range Instruments() {
		p := in.Power
		for _, step := range [][2]float64{{p.Softest, p.PP}, {p.PP, p.F}, {p.F, p.FF}, {p.FF, p.Loudest}} {
			if step[1] < step[0] {
				t.Errorf("%s: power falls from %g to %g dB with a louder dynamic", in.Name, step[0], step[1])
			}
		}
		if in.Low >= in.High || !in.InRange(in.Middle) || in.InRange(in.Low-1) || in.InRange(in.High+1) {
			t.Errorf("%s: range %g to %g with usual note %g", in.Name, in.Low, in.High, in.Middle)
		}
		if in.Players < 1 || in.Colour.Dynamic < 1 || in.Colour.Peak <= 0 {
			t.Errorf("%s: %d players, dynamic %g, peak %g Hz", in.Name, in.Players, in.Colour.Dynamic, in.Colour.Peak)
		}
		low := in.Low
		for i, r := range in.Registers {
			if r.To < low {
				t.Errorf("%s: register %q ends at %g, under %g", in.Name, r.Name, r.To, low)
			}
			low = r.To
			if i == len(in.Registers)-1 && r.To != in.High {
				t.Errorf("%s: the last register ends at %g, the range at %g", in.Name, r.To, in.High)
			}
			if got := in.RegisterAt(r.To); got != &in.Registers[i] {
				t.Errorf("%s: %g lies in %q, wanted %q", in.Name, r.To, got.Name, r.Name)
			}
		}
	}
}

// withoutModel are built-in profiles of which nothing is known but that they sound.
var withoutModel = map[string]bool{"plain": true, "sustained": true, "struck": true, "keyed": true}

// Every built-in profile has its instrument, with as many players.
func TestBuiltInProfilesHaveInstruments(t *testing.T) {
	files, err := filepath.Glob("../../profiles/builtin/*.yaml")
	if err != nil || len(files) < 40 {
		t.Fatalf("found %d built-in profiles, wanted 40 or more: %v", len(files), err)
	}
	players := regexp.MustCompile(`(?m)^players: (\d+)`)
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".yaml")
		in, ok := Lookup(name)
		if ok == withoutModel[name] {
			t.Errorf("%s: found is %v", name, ok)
		}
		if !ok {
			continue
		}
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		m := players.FindSubmatch(b)
		if m == nil || in.Name != name {
			continue
		}
		if n, _ := strconv.Atoi(string(m[1])); n != in.Players {
			t.Errorf("%s: the profile has %d players, the model %d", name, n, in.Players)
		}
	}
	for _, in := range Instruments() {
		if usual, ok := Lookup(in.Family); !ok || usual.Family != in.Family {
			t.Errorf("%s: its family %q finds no member of it", in.Name, in.Family)
		}
	}
	if _, ok := Lookup("no such thing"); ok {
		t.Error("an unknown name was found")
	}
}

func TestNote(t *testing.T) {
	for _, c := range []struct {
		name string
		hz   float64
	}{{"A4", 440}, {"C4", 261.63}, {"Bb1", 58.27}, {"F#6", 1479.98}, {"C8", 4186.01}} {
		if got := note(c.name).Hz(); !near(got, c.hz, 0.01) {
			t.Errorf("%s: %.2f Hz, wanted %.2f", c.name, got, c.hz)
		}
		if back := PitchOf(c.hz); !near(float64(back), float64(note(c.name)), 0.001) {
			t.Errorf("%.2f Hz: %.3f semitones from A4, wanted %g", c.hz, back, note(c.name))
		}
	}
}

// near reports whether got is within tolerance of want.
func near(got, want, tolerance float64) bool {
	return got >= want-tolerance && got <= want+tolerance
}

// instrument is a Lookup that must succeed.
func instrument(t testing.TB, name string) *Instrument {
	t.Helper()
	in, ok := Lookup(name)
	if !ok {
		t.Fatalf("no instrument %q", name)
	}
	return in
}
