package lines

import (
	"slices"
	"testing"
)

// tune is a line of quarter notes from a place on.
func tune(from float64, keys ...int) (notes []Note) {
	for i, k := range keys {
		if k > 0 {
			notes = append(notes, Note{from + float64(i), from + float64(i) + 1, k})
		}
	}
	return notes
}

func moved(notes []Note, by int) []Note {
	notes = slices.Clone(notes)
	for i := range notes {
		notes[i].Key += by
	}
	return notes
}

// eight is a line of two bars.
var eight = []int{72, 74, 76, 77, 79, 77, 76, 72}

func TestTies(t *testing.T) {
	song := tune(0, eight...)
	accompaniment := []Note{{0, 2, 48}, {2, 4, 53}, {4, 6, 55}, {6, 8, 48}}
	turn := slices.Concat(song[:3], []Note{{3, 3.5, 77}, {3.5, 4, 76}}, song[4:])
	divided := slices.Concat(song, moved(song, -5))
	for name, c := range map[string]struct {
		a, b []Note
		from float64 // quarter at which it is asked
		want Tie
	}{
		"unison":                              {song, song, 3, Unison},
		"an octave":                           {song, moved(song, -12), 3, Octaves},
		"two octaves":                         {song, moved(song, 24), 3, Octaves},
		"thirds":                              {song, moved(song, -4), 3, Thirds},
		"sixths":                              {song, moved(song, -9), 3, Thirds},
		"fourths":                             {song, moved(song, -5), 3, Apart},
		"another line":                        {song, accompaniment, 5, Apart},
		"a turn in one of them does not part": {song, turn, 6, Unison},
		"divisi: one of two":                  {song, divided, 3, Unison},
		"divisi: the other of two":            {moved(song, -5), divided, 3, Unison},
		"one rests":                           {song, song[:3], 5, Apart},
		"before it rests":                     {song, song[:3], 1, Unison},
		"they part":                           {song, slices.Concat(song[:4], tune(4, 61, 59, 70, 66)), 6, Apart},
		"before they part":                    {song, slices.Concat(song[:4], tune(4, 61, 59, 70, 66)), 1, Unison},
		"they meet":                           {song, slices.Concat(tune(0, 66, 68, 70, 71), song[4:]), 6, Unison},
		"the same notes later":                {song, tune(0.5, eight...), 3, Apart},
		"a held note in octaves":              {[]Note{{0, 8, 60}}, []Note{{0, 8, 48}}, 0, Octaves},
	} {
		l := Read([][]Note{c.a, c.b})
		if l == nil {
			t.Fatalf("%s: not read", name)
		}
		if got := l.Tie(0, 1, l.Step(c.from)); got != c.want {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
		if l.Tie(1, 0, l.Step(c.from)) != l.Tie(0, 1, l.Step(c.from)) {
			t.Errorf("%s: it depends on the order", name)
		}
	}
}

func TestTogether(t *testing.T) {
	song := tune(0, eight...)
	l := Read([][]Note{song, moved(song, 12), tune(0, 49, 0, 49, 0, 49, 0, 49, 0), nil})
	_, steps := l.Size()
	if steps != 16 {
		t.Fatalf("%d steps of half a quarter note, want 16", steps)
	}
	for _, c := range []struct {
		a, b int
		want float64
	}{{0, 1, 1}, {0, 2, 0}, {0, 3, 0}, {3, 3, 0}} {
		if got := l.Together(c.a, c.b, 0, steps); got != c.want {
			t.Errorf("%d and %d go together for %g, want %g", c.a, c.b, got, c.want)
		}
	}
	of := make([]int, 4)
	l.Line(0, steps, of)
	if want := []int{0, 0, 2, -1}; !slices.Equal(of, want) {
		t.Errorf("lines %v, want %v", of, want)
	}
}

// A line that is handed from part to part is one line where both play it.
func TestLineJoinsThroughOthers(t *testing.T) {
	song := tune(0, eight...)
	l := Read([][]Note{song[:5], song, song[3:]})
	of := make([]int, 3)
	l.Line(0, 16, of)
	if of[1] != 0 || of[2] != 0 {
		t.Errorf("lines %v, want one", of)
	}
}

func TestReadRefuses(t *testing.T) {
	song := tune(0, eight...)
	for name, parts := range map[string][][]Note{
		"one part": {song}, "no note": {nil, nil}, "no part": nil,
		"too long": {song, {{1e12, 1e12 + 1, 60}}},
	} {
		if Read(parts) != nil {
			t.Errorf("%s: read", name)
		}
	}
	if l := Read([][]Note{{{0, 1, 200}, {1, 0, 60}, {0, 1, -3}}, song}); l == nil || l.Sounds(0, 0) {
		t.Error("keys that are none, and notes that end before they begin, are heard")
	}
}
