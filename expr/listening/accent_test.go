package listening

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// A row printed in a secondary text on Thomassen 1982.
func TestMelodicAccents(t *testing.T) {
	keys := []int{16, 12, 11, 12, 7, 12, 11, 12, 17, 12, 11, 12, 9, 12, 11, 12}
	want := []float64{1, .5, .355, .2407, .1207, .2407, .1207, .0957, .5561, .085, .355, .2407, .1207, .2407, .1207, .29}
	printedAll(t, "melodic accents", MelodicAccents(nil, keys), want, 4)
}

// Each row is one kind of window of Thomassen 1982, as quoted in secondary texts; its weights
// are those of the second and the last of a line of three.
func TestMelodicAccentWindows(t *testing.T) {
	for _, row := range []struct {
		what         string
		a, b, c      int
		middle, last float64
	}{
		{"up down", 60, 64, 62, .83, .17},
		{"down up", 64, 60, 62, .71, .29},
		{"up up", 60, 62, 64, .33, .67},
		{"down down", 64, 62, 60, .5, .5},
		{"up same", 60, 62, 62, 1, 0},
		{"down same", 62, 60, 60, 1, 0},
		{"same up", 60, 60, 62, 0, 1},
		{"same down", 60, 60, 57, 0, 1},
		{"same same", 60, 60, 60, 0, 0},
	} {
		printedAll(t, row.what, MelodicAccents(nil, []int{row.a, row.b, row.c}), []float64{1, row.middle, row.last}, 9)
	}
}

func TestMelodicAccentEnds(t *testing.T) {
	if got := MelodicAccents(nil, nil); len(got) != 0 {
		t.Errorf("no notes have accents %v", got)
	}
	printedAll(t, "two notes", MelodicAccents(nil, []int{60, 62}), []float64{1, 1}, 9)
	printedAll(t, "a note twice", MelodicAccents(nil, []int{60, 60}), []float64{1, 0}, 9)
	printed(t, "next not known", MelodicAccent(60, 64, 62, Unknown), .17, 9)
	printed(t, "next known", MelodicAccent(60, 64, 62, 64), .17*.71, 9)
}

func TestMelodicAccentProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		keys := rapid.SliceOf(rapid.IntRange(20, 100)).Draw(t, "keys")
		up := rapid.IntRange(-20, 20).Draw(t, "semitones")
		accents := MelodicAccents(nil, keys)
		for i := range keys {
			keys[i] += up
		}
		for i, moved := range MelodicAccents(nil, keys) {
			if moved != accents[i] {
				t.Fatalf("note %d has %g, %d semitones up %g", i, accents[i], up, moved)
			}
			if moved < 0 || moved > 1 {
				t.Fatalf("note %d has %g", i, moved)
			}
			if repeated := i > 0 && keys[i] == keys[i-1]; (moved == 0) != repeated {
				t.Fatalf("note %d has %g; it repeats the last: %v", i, moved, repeated)
			}
		}
	})
}

// The figures follow from the formula of Parncutt 1994; its form is from memory.
func TestDurationAccent(t *testing.T) {
	for d, want := range map[time.Duration]float64{125 * ms: .049, 250 * ms: .155, 500 * ms: .400, 1000 * ms: .748, 2000 * ms: .964} {
		printed(t, d.String(), DurationAccent(d), want, 3)
	}
	if a := DurationAccent(-time.Second); a != 0 {
		t.Errorf("a negative duration has accent %g", a)
	}
}
