package expr

import (
	"testing"
	"time"
)

func TestBreathCapacity(t *testing.T) {
	b := Breath{K: 1, LoudLength: 4 * time.Second, SoftLength: 10 * time.Second}
	for _, c := range []struct {
		db   float64
		want time.Duration
	}{
		{-20, 10 * time.Second}, {-8.4, 10 * time.Second}, {-2.1, 7 * time.Second}, {4.2, 4 * time.Second}, {12, 4 * time.Second},
	} {
		near(t, "seconds", b.capacity(c.db).Seconds(), c.want.Seconds(), 1e-6)
	}
}

func TestBreathing(t *testing.T) {
	// A breath lasts 4 s at forte and 8 s at piano; the note is the last of its phrase, at forte.
	const s = time.Second
	wind := Breath{K: 1, LoudLength: 4 * s, SoftLength: 8 * s, Gap: 200 * ms}
	bow, double, piano := wind, wind, Breath{K: 1}
	bow.Bow, double.K = true, 2
	comma := func(since, until, part time.Duration) func(*Note) {
		return func(n *Note) {
			n.Phrase = Span{Since: since, Until: until}
			n.SubPhrase = Span{Since: part, Until: s, Final: true}
		}
	}
	for _, c := range []struct {
		what   string
		breath Breath
		tell   func(*Note)
		want   time.Duration
	}{
		{"end of a phrase", wind, func(*Note) {}, 800 * ms},
		{"bow", bow, func(*Note) {}, 900 * ms},
		{"k = 2", double, func(*Note) {}, 600 * ms},
		{"nobody who breathes", piano, func(*Note) {}, 0},
		{"not its last note", wind, func(n *Note) { n.Phrase.Final = false }, 0},
		{"a short phrase", wind, func(n *Note) { n.Phrase.Since, n.Length, n.ToNext = 400*ms, 500*ms, 500*ms }, 0},
		{"a breath mark", wind, func(n *Note) { n.Phrase, n.Marks = nothingKnown.Phrase, BreathAfter }, 800 * ms},
		{"a whole breath spent", wind, func(n *Note) { n.Phrase, n.SinceRest = nothingKnown.Phrase, 3500*ms }, 800 * ms},
		{"the next not yet", wind, func(n *Note) { n.Phrase, n.SinceRest = nothingKnown.Phrase, 4500*ms }, 0},
		{"a rest", wind, func(n *Note) { n.Length, n.RestAfter = 800*ms, 200*ms }, 0},
		{"too short a rest", wind, func(n *Note) { n.Length, n.RestAfter = 950*ms, 50*ms }, 800 * ms},
		{"a short note keeps its half", wind, func(n *Note) { n.Length, n.ToNext = 300*ms, 300*ms }, 150 * ms},
		{"length not known", wind, func(n *Note) { n.Length = Unknown }, 0},
		{"nothing after it", wind, func(n *Note) { n.ToNext = Unknown }, 0},
		{"held over others", wind, func(n *Note) { n.Length = 3 * s }, 0},

		{"comma, the phrase fits in a breath", wind, comma(2*s, 2*s, s), 0},
		{"the same, not knowing", wind, comma(2*s, Unknown, 2*s), 800 * ms},
		{"comma before a half is spent", wind, comma(500*ms, 9*s, 500*ms), 0},
		{"comma as a half is spent", wind, comma(s, 9*s, s), 800 * ms},
		{"comma in the same half", wind, comma(2*s, 9*s, 0), 0},
		{"comma in the next half", wind, comma(3500*ms, 9*s, 1500*ms), 800 * ms},
		{"the same at piano", wind, func(n *Note) { comma(4500*ms, 9*s, 0)(n); n.WrittenDB = -8.4 }, 0},
	} {
		n := noteOf(Habits{Breath: c.breath}, func(n *Note) {
			n.WrittenDB, n.Length, n.ToNext, n.RestAfter = 4.2, s, s, 0
			n.Phrase = Span{Since: 3 * s, Until: s, End: 1, Final: true}
			c.tell(n)
		})
		if got := shaped(t, Breathing{}, n).Sounding; got != c.want {
			t.Errorf("%s: sounds %v, want %v", c.what, got, c.want)
		}
	}
}

// A breath parts what another rule joined, and adds to what another rule parted.
func TestBreathingAfterTouch(t *testing.T) {
	n := noteOf(Habits{Breath: Breath{K: 1, LoudLength: time.Second, SoftLength: time.Second, Gap: 200 * ms}}, func(n *Note) {
		n.Length, n.ToNext, n.Marks = time.Second, time.Second, BreathAfter
	})
	for _, c := range []struct {
		was, want Gesture
	}{
		{Gesture{Overlap: 60 * ms}, Gesture{Sounding: 800 * ms}},
		{Gesture{Sounding: 1060 * ms}, Gesture{Sounding: 800 * ms}},
		{Gesture{Sounding: 940 * ms}, Gesture{Sounding: 800 * ms}},
		{Gesture{Sounding: 400 * ms}, Gesture{Sounding: 400 * ms}},
	} {
		g := c.was
		(Breathing{}).Shape(n, &g)
		if g != c.want {
			t.Errorf("%+v became %+v, want %+v", c.was, g, c.want)
		}
	}
}
