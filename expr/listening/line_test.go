package listening

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

const ms = time.Millisecond

// Where the maxima are known from the start, note by note is the same as all at once.
func TestChangesNoteByNote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 30).Draw(t, "intervals")
		pitch, ioi, rest := drawProfile(t, n, "pitch"), drawProfile(t, n, "ioi"), drawProfile(t, n, "rest")

		var at [][numProfiles]float64
		var most [numProfiles]float64
		var line changes
		for i := range n + 1 {
			i = min(i, n-1) // once more the last: no change after it
			x := [numProfiles]float64{pitchProfile: pitch[i], ioiProfile: ioi[i], restProfile: rest[i]}
			c, known := line.next(x)
			if !known {
				continue
			}
			at = append(at, c)
			for p := range c {
				most[p] = max(most[p], c[p])
			}
		}
		want := Boundaries(nil, pitch, ioi, rest)
		if len(at) != len(want) {
			t.Fatalf("%d changes for %d intervals", len(at), len(want))
		}
		for i := range at {
			got := 0.0
			for p := range most {
				if most[p] > 0 {
					got += profileWeight[p] * at[i][p] / most[p]
				}
			}
			if math.Abs(got-want[i]) > 1e-12 {
				t.Fatalf("interval %d: %g note by note, %g all at once", i, got, want[i])
			}
		}
	})
}

// sung is a note of a test's line.
type sung struct {
	on, length time.Duration
	key        int
}

// quavers are so many notes of 250 ms going up and down by steps, from a time on.
func quavers(from time.Duration, n int) (notes []sung) {
	for i := range n {
		notes = append(notes, sung{from + time.Duration(i)*250*ms, 250 * ms, 60 + 2*(i%2)})
	}
	return notes
}

// heard is what a line says of the boundary before each note; the last is never known.
func heard(l *Line, notes []sung) []float64 {
	strengths := make([]float64, len(notes))
	for i, n := range notes {
		if s, known := l.Next(n.on, n.on+n.length, n.key); known {
			strengths[i-1] = s
		}
	}
	return strengths
}

func TestLineFindsLongNotes(t *testing.T) {
	var notes []sung
	at := time.Duration(0)
	for range 6 {
		notes = append(notes, quavers(at, 8)...)
		last := &notes[len(notes)-1]
		last.length = time.Second
		at = last.on + last.length
	}
	for i, s := range heard(new(Line), notes) {
		starts := i > 0 && i%8 == 0 && i < len(notes)-1
		if found := s >= BoundaryThreshold; found != starts {
			t.Errorf("before note %d: strength %.3f", i, s)
		}
	}
}

func TestLineIsOneNoteLate(t *testing.T) {
	var l Line
	for i, n := range quavers(0, 4) {
		s, known := l.Next(n.on, n.on+n.length, n.key)
		if known != (i >= 2) || s != 0 {
			t.Errorf("note %d of an even line: strength %g, known %v", i, s, known)
		}
	}
}

// Two milliseconds here and there are no boundary, even in a line that has known no other.
func TestLineUnevenness(t *testing.T) {
	notes := quavers(0, 100)
	for i := range notes {
		notes[i].on += time.Duration(i*7%5-2) * ms
	}
	for i, s := range heard(new(Line), notes) {
		if s > 0.1 {
			t.Errorf("before note %d: strength %.3f", i, s)
		}
	}
}

func TestLineRests(t *testing.T) {
	for _, row := range []struct {
		rest, shortest time.Duration
		found          bool
	}{
		{DefaultRest, 0, true},
		{DefaultRest - 1, 0, false},
		{300 * ms, 300 * ms, true},
		{299 * ms, 300 * ms, false},
		{time.Hour, -1, false},
	} {
		l := Line{Rest: row.shortest}
		notes := quavers(0, 5)
		after := notes[4].on + notes[4].length + row.rest
		heard(&l, notes)
		if l.Rested() {
			t.Errorf("%v: a rest among quavers", row)
		}
		l.Next(after, after+250*ms, 62)
		if l.Rested() != row.found {
			t.Errorf("%v: found at once is %v", row, l.Rested())
		}
		s, known := l.Next(after+250*ms, after+500*ms, 60)
		if !known || (s == 1) != row.found && row.shortest >= 0 {
			t.Errorf("%v: a note later strength %g, known %v", row, s, known)
		}
		if l.Rested() {
			t.Errorf("%v: the rest lasts", row)
		}
	}
}

// One long rest leaves the boundaries after it about as strong as they were before.
func TestLineAfterALongRest(t *testing.T) {
	phrase := func(from time.Duration) []sung {
		notes := quavers(from, 12)
		for i := 6; i < 12; i++ {
			notes[i].on += 500 * ms // the sixth is three times as long
		}
		notes[5].length += 500 * ms
		return notes
	}
	strength := func(pause time.Duration) float64 {
		notes := phrase(0)
		return heard(new(Line), append(notes, phrase(notes[11].on+250*ms+pause)...))[18]
	}
	short, long := strength(0), strength(time.Minute)
	if short < 0.5 || long < 0.9*short {
		t.Errorf("strength %.3f after no rest, %.3f after a minute", short, long)
	}
}

func TestLineLearnsEndsLater(t *testing.T) {
	told, learnt := new(Line), new(Line)
	notes := append(quavers(0, 3), quavers(2*time.Second, 3)...)
	for i, n := range notes {
		a, knownA := told.Next(n.on, n.on+n.length, n.key)
		b, knownB := learnt.Next(n.on, Unknown, n.key)
		if a != b || knownA != knownB || told.Rested() != learnt.Rested() {
			t.Errorf("note %d: %g %v, but with the end told later %g %v", i, a, knownA, b, knownB)
		}
		learnt.End(n.on + n.length)
	}

	var l Line
	for _, n := range notes {
		l.Next(n.on, Unknown, n.key)
		if l.Rested() {
			t.Error("a rest after a note that may still sound")
		}
	}
}

func TestLineLeavesOutWhatIsNotNext(t *testing.T) {
	plain, chords := new(Line), new(Line)
	for i, n := range append(quavers(0, 3), quavers(2*time.Second, 3)...) {
		a, knownA := plain.Next(n.on, n.on+n.length, n.key)
		b, knownB := chords.Next(n.on, n.on+n.length, n.key)
		if a != b || knownA != knownB {
			t.Errorf("note %d: %g %v, but in a chord %g %v", i, a, knownA, b, knownB)
		}
		if _, known := chords.Next(n.on, n.on+n.length, n.key-12); known {
			t.Errorf("note %d: its octave is a next note", i)
		}
		if _, known := chords.Next(n.on-1, n.on+n.length, n.key-12); known {
			t.Errorf("note %d: an earlier one is a next note", i)
		}
	}
}

func TestLineProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var line, moved Line
		up := rapid.IntRange(-20, 20).Draw(t, "semitones")
		later := time.Duration(rapid.IntRange(0, 1e6).Draw(t, "later")) * ms
		on := time.Duration(0)
		for i := range rapid.IntRange(0, 60).Draw(t, "notes") {
			on += time.Duration(rapid.IntRange(1, 3000).Draw(t, "ioi")) * ms
			length := time.Duration(rapid.IntRange(0, 4000).Draw(t, "length")) * ms
			key := rapid.IntRange(20, 100).Draw(t, "key")
			s, known := line.Next(on, on+length, key)
			if known != (i >= 2) || !(s >= 0 && s <= 1) {
				t.Fatalf("note %d: strength %g, known %v", i, s, known)
			}
			if m, _ := moved.Next(on+later, on+later+length, key+up); m != s {
				t.Fatalf("note %d: strength %g, moved %g", i, s, m)
			}
		}
	})
}
