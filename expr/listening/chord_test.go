package listening

import (
	"testing"

	"pgregory.net/rapid"
)

// chordsOnC are chords on C in which practice agrees on the root, in any inversion. Common
// practice, no published source.
var chordsOnC = map[string][]int{
	"major":            {0, 4, 7},
	"minor":            {0, 3, 7},
	"diminished":       {0, 3, 6},
	"dominant 7th":     {0, 4, 7, 10},
	"major 7th":        {0, 4, 7, 11},
	"minor major 7th":  {0, 3, 7, 11},
	"dominant 9th":     {0, 4, 7, 10, 14},
	"added 9th":        {0, 4, 7, 14},
	"open fifth":       {0, 7},
	"7th without 5th":  {0, 4, 10},
	"doubled, spread":  {0, 12, 24, 16, 19},
	"third, no fifth":  {0, 4, 12},
	"passing 4th":      {0, 4, 7, 4, 7, 0, 5},
	"dominant 7th, 8v": {0, 12, 4, 7, 10},
}

func TestRoot(t *testing.T) {
	for name, tones := range chordsOnC {
		for up := range 12 {
			for _, bass := range tones {
				if root, sure := Root(chromaOf(tones...).transposed(up), bass+up); root != up || sure <= 0 {
					t.Errorf("%s on %d over %d: root %d, sure %.2f", name, up, (bass+up)%12, root, sure)
				}
			}
		}
	}
}

// Chords that share all their notes: the bass decides.
func TestRootByBass(t *testing.T) {
	for _, row := range []struct {
		name  string
		tones []int
	}{
		{"sixth or minor seventh", []int{0, 4, 7, 9}},
		{"minor seventh or sixth", []int{9, 0, 4, 7}},
		{"half-diminished or minor sixth", []int{11, 2, 5, 9}},
		{"diminished seventh", []int{0, 3, 6, 9}},
		{"augmented", []int{0, 4, 8}},
		{"fourth or second", []int{0, 5, 7}},
		{"second or fourth", []int{0, 2, 7}},
		{"tritone", []int{0, 6}},
	} {
		if root, sure := Root(chromaOf(row.tones...), row.tones[0]); root != row.tones[0] || sure <= 0 || sure > .3 {
			t.Errorf("%s: root %d, sure %.2f", row.name, root, sure)
		}
	}
}

func TestRootIsSureOfPlainChords(t *testing.T) {
	for _, name := range []string{"major", "minor", "dominant 7th", "major 7th"} {
		for _, bass := range append(chordsOnC[name], Unknown) {
			if _, sure := Root(chromaOf(chordsOnC[name]...), bass); sure < .35 {
				t.Errorf("%s over %d: sure %.2f", name, bass, sure)
			}
		}
	}
}

func TestRootOfLittle(t *testing.T) {
	if root, sure := Root(new(Chroma), 0); root != Unknown || sure != 0 {
		t.Errorf("silence: root %d, sure %g", root, sure)
	}
	for _, bass := range []int{Unknown, 5} {
		if root, sure := Root(chromaOf(5, 17), bass); root != 5 || sure != 0 {
			t.Errorf("one F over %d: root %d, sure %g", bass, root, sure)
		}
	}
	// What faded long ago is not of the chord.
	c := chromaOf(0, 4, 7)
	clean, _ := Root(c, 0)
	c.Add(9, 0.1)
	if root, sure := Root(c, 9); root != clean || sure < .35 {
		t.Errorf("with a faint A: root %d, sure %.2f", root, sure)
	}
}

func TestRootProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawChroma(t)
		bass := rapid.IntRange(0, 11).Draw(t, "bass")
		up := rapid.IntRange(0, 11).Draw(t, "semitones")
		root, sure := Root(c, bass)
		if !(sure >= 0 && sure <= 1) {
			t.Fatalf("sure %g", sure)
		}
		moved, movedSure := Root(c.transposed(up), bass+up)
		if root == Unknown {
			if moved != Unknown || *c != (Chroma{}) {
				t.Fatalf("%v has no root, %d semitones up %d", c, up, moved)
			}
			return
		}
		if diff := movedSure - sure; moved != (root+up)%12 || diff > 1e-9 || diff < -1e-9 {
			t.Fatalf("root %d (%g), %d semitones up %d (%g)", root, sure, up, moved, movedSure)
		}
	})
}

// Friberg 1991, from memory.
func TestForeignness(t *testing.T) {
	want := []float64{0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5}
	for semitones, want := range want {
		for _, octave := range []int{-24, -12, 0, 12} {
			if got := Foreignness(semitones + octave); got != want {
				t.Errorf("%d semitones: %g, want %g", semitones+octave, got, want)
			}
		}
	}
}

// By hand from the table of notes: the mean of a chord's notes less the tonic's.
func TestRemoteness(t *testing.T) {
	const tonicMajor, tonicMinor = (0 + 4 + 1) / 3., (0 + 4.5 + 1) / 3.
	for _, row := range []struct {
		name  string
		chord *Chroma
		tonic int
		minor bool
		want  float64
	}{
		{"I", triad(0, false), 0, false, 0},
		{"i", triad(9, true), 9, true, 0},
		{"V", triad(7, false), 0, false, (1+5+2)/3. - tonicMajor},
		{"V7", chromaOf(7, 11, 2, 5), 0, false, (1+5+2+2.5)/4. - tonicMajor},
		{"IV", triad(5, false), 0, false, (2.5+3+0)/3. - tonicMajor},
		{"iv", triad(5, true), 0, true, (2.5+5.5+0)/3. - tonicMinor},
		{"II flat", triad(1, false), 0, false, (6.5+2.5+5.5)/3. - tonicMajor},
		{"the tonic alone", chromaOf(0), 0, false, 0},
		{"nothing", new(Chroma), 0, false, 0},
	} {
		for up := range 12 {
			printed(t, row.name, Remoteness(row.chord.transposed(up), row.tonic+up, row.minor), row.want, 9)
		}
	}
}
