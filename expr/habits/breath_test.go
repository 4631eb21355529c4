package habits

import (
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

func TestBreathCapacity(t *testing.T) {
	b := expr.Breath{LoudLength: 4 * time.Second, SoftLength: 10 * time.Second}
	for _, c := range []struct {
		db   float64
		want time.Duration
	}{
		{-20, 10 * time.Second}, {-8.4, 10 * time.Second}, {-2.1, 7 * time.Second}, {4.2, 4 * time.Second}, {12, 4 * time.Second},
	} {
		exprtest.Near(t, "seconds", capacity(&b, c.db).Seconds(), c.want.Seconds(), 1e-6)
	}
}

// breathing gives a player so much of the habit.
func breathing(amount int, b expr.Breath) func(*expr.Profile) {
	return func(p *expr.Profile) {
		p.Amounts.Set("breath", float64(amount))
		p.Breath = b
	}
}

func TestBreath(t *testing.T) {
	// A breath lasts 4 s at forte and 8 s at piano; the note is the last of its phrase, at forte.
	const s = time.Second
	wind := expr.Breath{LoudLength: 4 * s, SoftLength: 8 * s, Gap: 200 * exprtest.Thousandth}
	bow, piano := wind, expr.Breath{}
	bow.Bow = true
	comma := func(since, until, part time.Duration) func(*expr.Note) {
		return func(n *expr.Note) {
			n.Phrase = expr.Span{Since: since, Until: until}
			n.SubPhrase = expr.Span{Since: part, Until: s, Final: true}
		}
	}
	for _, c := range []struct {
		what   string
		breath expr.Breath
		tell   func(*expr.Note)
		want   time.Duration
	}{
		{"end of a phrase", wind, func(*expr.Note) {}, 800 * exprtest.Thousandth},
		{"bow", bow, func(*expr.Note) {}, 900 * exprtest.Thousandth},
		{"amount 2", wind, func(*expr.Note) {}, 600 * exprtest.Thousandth},
		{"nobody who breathes", piano, func(*expr.Note) {}, 0},
		{"not its last note", wind, func(n *expr.Note) { n.Phrase.Final = false }, 0},
		{"a short phrase", wind, func(n *expr.Note) {
			n.Phrase.Since, n.Length, n.ToNext = 400*exprtest.Thousandth, 500*exprtest.Thousandth, 500*exprtest.Thousandth
		}, 0},
		{"a breath mark", wind, func(n *expr.Note) { n.Phrase, n.Marks = expr.NothingKnown.Phrase, expr.BreathAfter }, 800 * exprtest.Thousandth},
		{"a whole breath spent", wind, func(n *expr.Note) { n.Phrase, n.SinceRest = expr.NothingKnown.Phrase, 3500*exprtest.Thousandth }, 800 * exprtest.Thousandth},
		{"the next not yet", wind, func(n *expr.Note) { n.Phrase, n.SinceRest = expr.NothingKnown.Phrase, 4500*exprtest.Thousandth }, 0},
		{"a rest", wind, func(n *expr.Note) { n.Length, n.RestAfter = 800*exprtest.Thousandth, 200*exprtest.Thousandth }, 0},
		{"too short a rest", wind, func(n *expr.Note) { n.Length, n.RestAfter = 950*exprtest.Thousandth, 50*exprtest.Thousandth }, 800 * exprtest.Thousandth},
		{"a short note keeps its half", wind, func(n *expr.Note) { n.Length, n.ToNext = 300*exprtest.Thousandth, 300*exprtest.Thousandth }, 150 * exprtest.Thousandth},
		{"length not known", wind, func(n *expr.Note) { n.Length = expr.Unknown }, 0},
		{"nothing after it", wind, func(n *expr.Note) { n.ToNext = expr.Unknown }, 0},
		{"held over others", wind, func(n *expr.Note) { n.Length = 3 * s }, 0},

		{"comma, the phrase fits in a breath", wind, comma(2*s, 2*s, s), 0},
		{"the same, not knowing", wind, comma(2*s, expr.Unknown, 2*s), 800 * exprtest.Thousandth},
		{"comma before a half is spent", wind, comma(500*exprtest.Thousandth, 9*s, 500*exprtest.Thousandth), 0},
		{"comma as a half is spent", wind, comma(s, 9*s, s), 800 * exprtest.Thousandth},
		{"comma in the same half", wind, comma(2*s, 9*s, 0), 0},
		{"comma in the next half", wind, comma(3500*exprtest.Thousandth, 9*s, 1500*exprtest.Thousandth), 800 * exprtest.Thousandth},
		{"the same at piano", wind, func(n *expr.Note) { comma(4500*exprtest.Thousandth, 9*s, 0)(n); n.WrittenDB = -8.4 }, 0},
	} {
		n := noteOf(breathing(1+strings.Count(c.what, "amount 2"), c.breath), func(n *expr.Note) {
			n.WrittenDB, n.Length, n.ToNext, n.RestAfter = 4.2, s, s, 0
			n.Phrase = expr.Span{Since: 3 * s, Until: s, End: 1, Final: true}
			c.tell(n)
		})
		if got := shaped(t, Breath{}, n).Sounding; got != c.want {
			t.Errorf("%s: sounds %v, want %v", c.what, got, c.want)
		}
	}
}

// A breath parts what another habit joined, and adds to what another habit parted.
func TestBreathAfterTouch(t *testing.T) {
	n := noteOf(breathing(1, expr.Breath{LoudLength: time.Second, SoftLength: time.Second, Gap: 200 * exprtest.Thousandth}), func(n *expr.Note) {
		n.Length, n.ToNext, n.Marks = time.Second, time.Second, expr.BreathAfter
	})
	for _, c := range []struct {
		was, want expr.Gesture
	}{
		{expr.Gesture{Overlap: 60 * exprtest.Thousandth}, expr.Gesture{Sounding: 800 * exprtest.Thousandth}},
		{expr.Gesture{Sounding: 1060 * exprtest.Thousandth}, expr.Gesture{Sounding: 800 * exprtest.Thousandth}},
		{expr.Gesture{Sounding: 940 * exprtest.Thousandth}, expr.Gesture{Sounding: 800 * exprtest.Thousandth}},
		{expr.Gesture{Sounding: 400 * exprtest.Thousandth}, expr.Gesture{Sounding: 400 * exprtest.Thousandth}},
	} {
		g := c.was
		ask(Breath{}, n, &g)
		if g != c.want {
			t.Errorf("%+v became %+v, want %+v", c.was, g, c.want)
		}
	}
}
