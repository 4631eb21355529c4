package profiles

import (
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/profiles/reading"
)

var update = flag.Bool("update", false, "rewrite the golden files; read the difference before committing it")

func resolved(t *testing.T, name string) *expr.Profile {
	t.Helper()
	p, err := library(t).Resolve(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestBuiltinGolden(t *testing.T) {
	const file = "testdata/builtin.golden"
	l := library(t)
	var b strings.Builder
	for _, name := range l.Names() {
		p, err := l.Resolve(name)
		if err != nil {
			t.Error(err)
			continue
		}
		chain, err := l.Chain(name)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%s\n    %s\n", route(chain), Describe(p))
		for i, v := range p.Variants {
			if i > 0 && v.Name == p.Variants[i-1].Name {
				fmt.Fprintf(&b, ", %d", v.Program+1)
				continue
			}
			fmt.Fprintf(&b, "%s    %s", ending(i), v.Name)
			if v.Profile != p {
				fmt.Fprintf(&b, ": %s", strings.TrimPrefix(Describe(v.Profile), p.Family+", "))
			}
			fmt.Fprintf(&b, "; program %d", v.Program+1)
		}
		b.WriteString(ending(len(p.Variants)))
	}
	if *update {
		if err := os.MkdirAll("testdata", 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("the built-in profiles have changed; if that is meant, run with -update and read the difference. Found:\n%s", &b)
	}
}

// ending ends the line of the variant before.
func ending(i int) string {
	if i == 0 {
		return ""
	}
	return "\n"
}

func builtinFiles(t testing.TB) map[string][]byte {
	t.Helper()
	names, err := fs.Glob(builtin, "builtin/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, name := range names {
		b, err := builtin.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = b
	}
	const least = 60 // the orchestra has as many
	if len(files) < least {
		t.Fatalf("%d built-in files, want %d or more", len(files), least)
	}
	return files
}

// Every number has its source beside it: on its line, above it, or on or above
// a key that holds it. What stands above a key is of the keys after it too, up
// to one with a comment of its own.
func TestBuiltinNumbersHaveSources(t *testing.T) {
	source := regexp.MustCompile(`\b(18|19|20)\d\d\b|Rimsky-Korsakov|Seashore|General MIDI|RP-021|from memory|not published|common practice, no published source|^# normal$`)
	for name, b := range builtinFiles(t) {
		var doc yaml.Node
		if err := yaml.Unmarshal(b, &doc); err != nil {
			t.Fatal(err)
		}
		numbers := 0
		var walk func(n *yaml.Node, path string, sourced bool)
		walk = func(n *yaml.Node, path string, sourced bool) {
			switch n.Kind {
			case yaml.ScalarNode:
				_, number := reading.Decimal(n)
				if !number || path == ".swellbox" || path == ".players" && n.Value == "1" {
					return
				}
				numbers++
				if !sourced {
					t.Errorf("%s:%d: %s: %s has no source beside it", name, n.Line, path, n.Value)
				}
			case yaml.SequenceNode:
				for _, c := range n.Content {
					walk(c, path, sourced)
				}
			case yaml.MappingNode:
				group := sourced
				for i := 0; i+1 < len(n.Content); i += 2 {
					key, value := n.Content[i], n.Content[i+1]
					if key.HeadComment != "" && path != "" { // above all, it says what the file is
						group = source.MatchString(key.HeadComment)
					}
					line := key.LineComment + value.LineComment
					walk(value, path+"."+key.Value, group || source.MatchString(line))
					if line != "" {
						group = sourced
					}
				}
			}
		}
		walk(doc.Content[0], "", false)
		if strings.Contains(name, "plain") && numbers < 20 {
			t.Errorf("%s: %d numbers found, the walk has lost some", name, numbers)
		}
	}
}

func TestBuiltinFilesAreNamedForTheirProfiles(t *testing.T) {
	for name, b := range builtinFiles(t) {
		d, err := Parse(name, b)
		if err != nil {
			t.Fatal(err)
		}
		if want := "builtin/" + d.Name + ".yaml"; name != want {
			t.Errorf("%s is of the profile %s, want %s", name, d.Name, want)
		}
		if !strings.HasPrefix(string(b), "# ") {
			t.Errorf("%s does not begin by saying what it is", name)
		}
	}
}

// written is the level of a written dynamic with the weight of the instrument,
// dB re mf. The weight grows as expr.Weight says.
func written(p *expr.Profile, velocity float64) float64 {
	level := p.Dynamics.Reading.At(velocity)
	w := p.Weight
	grown := (level - w.FromDB) / (w.ToDB - w.FromDB)
	return p.Amounts.Of("marks")*level + p.Amounts.Of("orchestra_weight")*w.ShareDB*min(max(grown, 0), 1.5)
}

// together is the level of instruments that sound at once and are not in phase.
func together(t *testing.T, velocity float64, names ...string) float64 {
	t.Helper()
	power := 0.0
	for _, name := range names {
		power += math.Pow(10, written(resolved(t, name), velocity)/10)
	}
	return 10 * math.Log10(power)
}

// The balance of the ensemble. Source: N. Rimsky-Korsakov, Principles of
// Orchestration, ed. Steinberg (1964), p. 33: in forte 1 trumpet = 1 trombone =
// 1 tuba = 2 horns, and 1 horn = 2 flutes = 2 oboes = 2 clarinets = 2 bassoons;
// in piano all winds are fairly equal; a department of strings is in piano 1
// wind, in forte 2 wood-winds. The velocities of p and f are common practice.
func TestBalanceOfRimskyKorsakov(t *testing.T) {
	const p, f, tolerance = 49, 96, 0.2
	equal := func(mark string, velocity float64, tolerance float64, a, b []string) {
		t.Helper()
		if x, y := together(t, velocity, a...), together(t, velocity, b...); !(math.Abs(x-y) <= tolerance) {
			t.Errorf("in %s %v has %.2f dB and %v %.2f, want the same within %g dB", mark, a, x, b, y, tolerance)
		}
	}
	twice := func(name string) []string { return []string{name, name} }
	woods := []string{"flute", "oboe", "clarinet", "bassoon"}
	departments := []string{"violins-1", "violins-2", "violas", "cellos", "double-basses"}
	for _, heavy := range []string{"trumpet", "trombone", "tuba"} {
		equal("forte", f, tolerance, []string{heavy}, twice("horn"))
	}
	for _, wood := range woods {
		equal("forte", f, tolerance, twice(wood), []string{"horn"})
	}
	for _, wind := range append([]string{"trumpet", "trombone", "tuba"}, woods...) {
		equal("piano", p, 0.5, []string{wind}, []string{"horn"})
	}
	for _, d := range departments {
		equal("piano", p, tolerance, []string{d}, []string{"oboe"})
		equal("forte", f, tolerance, []string{d}, []string{"oboe", "clarinet"})
		equal("forte", f, tolerance, []string{d}, twice("flute"))
	}
	if x, y := together(t, f, "trumpet"), together(t, f, "flute"); x-y < 5 {
		t.Errorf("in forte a trumpet has %.2f dB and a flute %.2f: the weight does nothing", x, y)
	}
}

// What is struck or plucked is left as its player has it: the reading follows
// the player's own answer, with mf at the velocity of mf.
func TestStruckInstrumentsAreAsTheyCome(t *testing.T) {
	for _, name := range []string{"piano", "harp", "timpani", "celesta", "percussion", "drum-kit", "xylophone", "pizzicato-strings"} {
		p := resolved(t, name)
		raw := p.Sampler.Velocity
		for v := 1.0; v <= 127; v++ {
			if got, want := written(p, v), raw.At(v)-raw.At(mfVelocity); math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: velocity %g has %.3f dB re mf, want the player's %.3f", name, v, got, want)
				break
			}
		}
		if p.Dynamics.Carrier != expr.CarryVelocity || p.Amounts.Of("vibrato") != 0 || p.Amounts.Of("bloom") != 0 {
			t.Errorf("%s: carrier %d, vibrato %g, sustain %g, want the velocity and nothing else", name, p.Dynamics.Carrier, p.Amounts.Of("vibrato"), p.Amounts.Of("bloom"))
		}
	}
}

func TestMFIsWhereNotationSendsIt(t *testing.T) {
	l := library(t)
	for _, name := range l.Names() {
		p, err := l.Resolve(name)
		if err != nil {
			t.Fatal(err)
		}
		if v := p.Dynamics.Reading.Invert(0); math.Abs(v-mfVelocity) > 1e-6 {
			t.Errorf("%s: mf is at velocity %g, want %d", name, v, mfVelocity)
		}
	}
}

func TestPlainDoesNothing(t *testing.T) {
	p := resolved(t, "plain")
	if p.Amounts.Of("marks") != 0 || p.Amounts.Of("bloom") != 0 || p.Amounts.Of("orchestra_weight") != 0 || p.Amounts.Of("vibrato") != 0 {
		t.Errorf("a habit is on: %+v", p)
	}
}

// Published figures of vibrato, as in the documents: depth in cents peak to
// peak and rate in Hz.
func TestVibratoFigures(t *testing.T) {
	for _, c := range []struct {
		profile        string
		depthLow, high float64
		rateLow, fast  float64
		source         string
	}{
		{"violin", 28, 34, 6.4, 6.9, "the Bach Violin Dataset, Dong et al. 2022"}, // measured of three violinists
		{"violins-1", 40, 108, 5.7, 6.3, "Allen, Geringer and MacLeod 2009"},
		{"flute", 20, 20, 5, 6, "Fletcher 1975, from memory"},
		{"solo-voice", 142, 142, 6, 6, "Prame 1994 and 1997, from memory"},
	} {
		p := resolved(t, c.profile)
		v := p.Vibrato
		if p.Amounts.Of("vibrato") != 1 || v.DepthLow != c.depthLow || v.DepthHigh != c.high || v.RateLow != c.rateLow || v.RateHigh != c.fast {
			t.Errorf("%s: %+v, want %g to %g cents at %g to %g Hz of %s", c.profile, v, c.depthLow, c.high, c.rateLow, c.fast, c.source)
		}
		if c.profile != "violin" && v.SlurGap.Milliseconds() != 420 {
			t.Errorf("%s: %v without vibrato at a slur, want 420 ms of Geringer, Allen and MacLeod 2005", c.profile, v.SlurGap)
		}
	}
	for _, none := range []string{"clarinet", "clarinet-e-flat", "bass-clarinet", "horn", "tuba", "piano", "timpani", "tremolo-strings", "pizzicato-strings"} {
		if k := resolved(t, none).Amounts.Of("vibrato"); k != 0 {
			t.Errorf("%s has a vibrato of amount %g, want none", none, k)
		}
	}
	for name, want := range map[string]string{
		"violin": "[55 62 69 76]", "violins-1": "[55]", "viola": "[48 55 62 69]", "violas": "[48]",
		"cello": "[36 43 50 57]", "cellos": "[36]", "double-bass": "[28 33 38 43]", "double-basses": "[28]",
	} {
		if got := fmt.Sprint(resolved(t, name).Vibrato.OpenStrings); got != want {
			t.Errorf("%s: open strings %s, want %s", name, got, want)
		}
	}
}
