package habits

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// Friberg 1991 (from memory): 0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5 by
// semitones above the root, 0.2 dB each; here less 0.725 dB, their mean.
func TestForeignNotes(t *testing.T) {
	values := []float64{0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5}
	for root := range 12 {
		sum := 0.0
		for above, value := range values {
			n := noteOf(exprtest.Having("colour_notes", 1), func(n *expr.Note) { n.Key, n.Root = uint8(48+root+above), root })
			got := shaped(t, ColourNotes{}, n).NuanceDB
			exprtest.Near(t, "level", got, 0.2*value-0.725, 1e-9)
			sum += got
		}
		exprtest.Near(t, "sum over an octave", sum, 0, 1e-9)
	}
}

// Friberg 1991 (from memory): 1.5·√C dB; here less 0.75, half of a dominant's.
func TestFarChords(t *testing.T) {
	const root = -0.725 // what the melody makes of the chord's root
	for _, c := range []struct {
		what   string
		k      float64
		tonic  int
		remote float64
		want   float64
	}{
		{"key not known", 1, expr.Unknown, 4, root},
		{"tonic chord", 1, 0, 0, root - 0.75},
		{"dominant", 1, 0, 1, root + 0.75},
		{"dominant, k = 0.5", 0.5, 0, 1, (root + 0.75) / 2},
		{"remote", 1, 0, 4, root + 2.25},
		{"remote, amount 2: held", 2, 0, 4, 3},
	} {
		n := noteOf(exprtest.Having("colour_notes", c.k), func(n *expr.Note) { n.Root, n.Tonic, n.Remote = 0, c.tonic, c.remote })
		exprtest.Near(t, c.what, shaped(t, ColourNotes{}, n).NuanceDB, c.want, 1e-9)
	}
	if db := shaped(t, ColourNotes{}, noteOf(exprtest.Having("colour_notes", 1), func(n *expr.Note) { n.Tonic, n.Remote = 0, 4 })).NuanceDB; db != 0 {
		t.Errorf("without a chord: %g dB", db)
	}
}

// Friberg 1991 (from memory): 0.67 % longer for each unit of foreignness.
func TestColourNotesLengthens(t *testing.T) {
	for _, c := range []struct {
		what               string
		k                  float64
		above              uint8
		length, next, want time.Duration
	}{
		{"a minor second", 1, 1, 400 * exprtest.Thousandth, time.Second, 417420 * time.Microsecond},
		{"amount 2", 2, 1, 400 * exprtest.Thousandth, time.Second, 434840 * time.Microsecond},
		{"no further than the next", 1, 1, 495 * exprtest.Thousandth, 500 * exprtest.Thousandth, 500 * exprtest.Thousandth},
		{"joined already", 1, 1, 500 * exprtest.Thousandth, 500 * exprtest.Thousandth, 0},
		{"length not known", 1, 1, expr.Unknown, 500 * exprtest.Thousandth, 0},
		{"next onset not known", 1, 1, 400 * exprtest.Thousandth, expr.Unknown, 0},
	} {
		n := noteOf(exprtest.Having("colour_notes", c.k), func(n *expr.Note) { n.Key, n.Root, n.Length, n.ToNext = 60+c.above, 0, c.length, c.next })
		got := shaped(t, ColourNotes{}, n).Sounding
		if math.Abs(float64(got-c.want)) > float64(time.Microsecond) {
			t.Errorf("%s: sounds %v, want %v", c.what, got, c.want)
		}
	}
}
