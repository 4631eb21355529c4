package musicxml

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
)

var update = flag.Bool("update", false, "write what is read of the files in testdata/musicxml anew")

// folder holds our own compositions and what is read of them; its README tells about each.
const folder = "../../../testdata/musicxml"

// compositions are the files of the folder.
func compositions(t testing.TB) []string {
	t.Helper()
	var found []string
	for _, pattern := range []string{"*.musicxml", "*.xml", "*.mxl"} {
		paths, err := filepath.Glob(filepath.Join(folder, pattern))
		if err != nil {
			t.Fatal(err)
		}
		found = append(found, paths...)
	}
	if len(found) < 9 {
		t.Fatalf("%s holds %d compositions, want 9 at least", folder, len(found))
	}
	return found
}

var markNames = []string{
	"staccato", "staccatissimo", "tenuto", "accent", "marcato", "slur(", "slur-", ")slur",
	"fermata", "breath", "grace", "louder", "softer", "spread", "ornament",
}

var signNames = [expr.SignKinds]string{
	"section bar", "key", "held bar", "pace", "pace word", "slow down", "die away", "hurry on", "pace back",
	"calm", "stirred", "free", "grow", "fade", "dynamic", "stress", "pedal down", "pedal up",
}

func markText(m expr.Marks) string {
	var names []string
	for i, name := range markNames {
		if m&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	return strings.Join(names, " ")
}

var keyNames = []string{"C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"}

func keyText(key uint8) string { return fmt.Sprintf("%s%d", keyNames[key%12], int(key)/12-1) }

// dump tells a document in words.
func dump(d *Document) string {
	var b strings.Builder
	ms := func(t time.Duration) string { return fmt.Sprintf("%.1f", float64(t)/float64(time.Millisecond)) }
	for i, name := range d.Score.Parts {
		fmt.Fprintf(&b, "part %d %q\n", i, name)
		for _, x := range d.Instruments {
			if int(x.Part) == i {
				fmt.Fprintf(&b, "  instrument %q %q port %d channel %d program %d\n", x.Name, x.Sound, x.Port, x.Channel, x.Program)
			}
		}
	}
	b.WriteString("\nbar beat ms metre\n")
	for _, bar := range d.Score.Bars {
		fmt.Fprintf(&b, "%d %g %s %d/%d\n", bar.Number, bar.Beat, ms(bar.At), bar.Beats, bar.Unit)
	}
	for _, s := range d.Score.Signs {
		fmt.Fprintf(&b, "%s %g %.4g\n", signNames[s.Kind], s.Beat, s.Value)
	}
	fmt.Fprintf(&b, "end %s\n\npart.staff beat length key velocity ms..ms port:channel marks\n", ms(d.Score.End))
	for i := range d.Score.Notes {
		n := &d.Score.Notes[i]
		line := fmt.Sprintf("%d.%d %.4g %.4g %s %d %s..%s %d:%d %s", n.Part, n.Staff, n.Beat, n.Length,
			keyText(n.Key), n.Velocity, ms(n.On), ms(n.Off), n.Port, n.Channel, markText(n.Marks))
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	for _, p := range d.Pedals {
		fmt.Fprintf(&b, "pedal of part %d %g %g %s..%s sostenuto %v\n", p.Part, p.Beat, p.Length, ms(p.On), ms(p.Off), p.Sostenuto)
	}
	for _, w := range d.Warnings {
		fmt.Fprintf(&b, "warning: %s\n", w)
	}
	return b.String()
}

func TestGolden(t *testing.T) {
	for _, path := range compositions(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			d, err := ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			check(t, d)
			got := dump(d)
			golden := strings.TrimSuffix(path, filepath.Ext(path)) + ".txt"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("read\n%s\nthe golden file has\n%s", got, want)
			}
		})
	}
}

// check checks what holds for every document.
func check(t *testing.T, d *Document) {
	t.Helper()
	s := d.Score
	if len(s.Parts) == 0 || len(s.Parts) > maxParts || len(s.Bars) == 0 || len(s.Bars) > maxMeasures || len(s.Notes) > maxNotes {
		t.Fatalf("%d parts, %d bars, %d notes", len(s.Parts), len(s.Bars), len(s.Notes))
	}
	if s.End < 0 || s.End > maxLength {
		t.Fatalf("the end is at %v", s.End)
	}
	if len(d.Warnings) > maxWarnings+1 {
		t.Fatalf("%d warnings", len(d.Warnings))
	}
	for i, b := range s.Bars {
		if b.Beats < 1 || b.Unit < 1 || b.Number < 0 || b.At < 0 || b.Beat < 0 {
			t.Fatalf("bar %+v", b)
		}
		if i > 0 && (b.At < s.Bars[i-1].At || b.Beat < s.Bars[i-1].Beat) {
			t.Fatalf("bar %+v after %+v", b, s.Bars[i-1])
		}
	}
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.On < 0 || n.Off < n.On || n.Beat < 0 || !(n.Length > 0) || n.Key > 127 || n.Velocity > 127 ||
			n.Channel > 15 || int(n.Part) >= len(s.Parts) || n.Staff < 1 || n.Staff > maxStaves {
			t.Fatalf("note %+v", *n)
		}
		if n.Marks.Has(expr.SlurBegins) && !n.Marks.Has(expr.SlurGoesOn) {
			t.Fatalf("note %+v begins a slur that does not go on", *n)
		}
	}
	if !slices.IsSortedFunc(s.Notes, order) {
		t.Fatal("the notes are not in order")
	}
	for i, p := range d.Pedals {
		if p.On < 0 || p.Off < p.On || int(p.Part) >= len(s.Parts) || i > 0 && p.On < d.Pedals[i-1].On {
			t.Fatalf("pedal %+v", p)
		}
	}
	if len(d.Instruments) < len(s.Parts) {
		t.Fatalf("%d instruments for %d parts", len(d.Instruments), len(s.Parts))
	}
}

// order is the order that expr.Score asks for.
func order(a, b expr.Written) int {
	for _, d := range []int64{
		int64(a.On - b.On), int64(a.Port) - int64(b.Port), int64(a.Channel) - int64(b.Channel), int64(a.Key) - int64(b.Key),
	} {
		if d < 0 {
			return -1
		}
		if d > 0 {
			return 1
		}
	}
	return 0
}
