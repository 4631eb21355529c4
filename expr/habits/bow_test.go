package habits

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
)

// fiddler is a note of a player who has the bow.
func fiddler(k float64, tell func(*expr.Note)) *expr.Note {
	n := &expr.Note{Profile: &expr.Profile{}, Amount: k, Key: 71, Players: 1, Context: expr.NothingKnown}
	tell(n)
	return n
}

func bow(n *expr.Note) (g expr.Gesture) {
	Bow{}.Shape(n, &g)
	return g
}

// The levels are those of the fit, by so much as all of it is done more.
func TestBowLevels(t *testing.T) {
	for _, c := range []struct {
		name string
		tell func(*expr.Note)
		want float64
	}{
		{"B4 by itself", func(*expr.Note) {}, 0},
		{"an octave higher", func(n *expr.Note) { n.Key = 83 }, 4.3},
		{"a fifth down to the next", func(n *expr.Note) { n.NextKey = 64 }, -3.4 * 7 / 12},
		{"a fifth up to the next", func(n *expr.Note) { n.NextKey = 78 }, 0},
		{"an octave up from the last", func(n *expr.Note) { n.LastKey = 59 }, -2.9},
		{"under a slur", func(n *expr.Note) { n.Marks = expr.SlurGoesOn }, -3.1},
		{"the first under a slur", func(n *expr.Note) { n.Marks = expr.SlurBegins }, 0},
		{"the last of a phrase", func(n *expr.Note) { n.Phrase.Final = true }, -3.8},
	} {
		if db := bow(fiddler(1, c.tell)).TouchDB; math.Abs(db-bowReach*c.want) > 1e-9 {
			t.Errorf("%s is %.2f dB, want %.2f", c.name, db, bowReach*c.want)
		}
	}
}

// A long note falls by its end and swells to its middle, about the level that it has; a short one
// does neither.
func TestBowWithinANote(t *testing.T) {
	const length = time.Second
	g := bow(fiddler(1, func(n *expr.Note) { n.Length, n.ToNext = length, length }))
	g.LevelDB += g.TouchDB
	if fall := g.LevelAt(length) - g.LevelAt(0); math.Abs(fall+bowFallDB) > 0.1 {
		t.Errorf("it falls by %.1f dB, want %.1f", fall, bowFallDB)
	}
	if swell := g.LevelAt(length/2) - (g.LevelAt(length)+g.LevelAt(0))/2; math.Abs(swell-bowSwellDB) > 0.1 {
		t.Errorf("it swells by %.1f dB, want %d", swell, bowSwellDB)
	}
	sum := 0.0
	for i := range 1000 {
		sum += g.LevelAt(length*time.Duration(i)/1000) / 1000
	}
	if math.Abs(sum) > 0.1 {
		t.Errorf("its mean is moved by %.2f dB", sum)
	}
	if g := bow(fiddler(1, func(n *expr.Note) { n.Length, n.ToNext = length/4, length })); g.Glide != 0 || g.Arc.Over != 0 {
		t.Errorf("a short note moves: %+v", g)
	}
}

// Separate notes are parted by a deep dip, slurred ones by a small one, and what ends before the next
// begins by the silence that there is.
func TestBowDips(t *testing.T) {
	const length = 300 * time.Millisecond
	held := func(marks expr.Marks, overlap, rest time.Duration) (dip float64, g expr.Gesture) {
		n := fiddler(1, func(n *expr.Note) {
			n.Length, n.ToNext, n.NextKey, n.Marks = length-rest, length, 74, marks
		})
		g.Overlap = overlap
		Bow{}.Shape(n, &g)
		return g.LevelAt(length/2) - g.LevelAt(length), g
	}
	if dip, g := held(expr.Separate, 40*time.Millisecond, 0); math.Abs(dip-6.2) > 0.1 || g.Overlap != 0 {
		t.Errorf("between separate notes the level dips by %.1f dB, and they overlap by %v; want 6.2 and not", dip, g.Overlap)
	}
	if dip, g := held(expr.SlurBegins, 40*time.Millisecond, 0); math.Abs(dip-1.4) > 0.1 || g.Overlap == 0 {
		t.Errorf("under a slur the level dips by %.1f dB, and the notes overlap by %v; want 1.4 and so", dip, g.Overlap)
	}
	if dip, _ := held(0, 0, 60*time.Millisecond); dip != 0 {
		t.Errorf("before a rest the level dips by %.1f dB, want none", dip)
	}
}

// Half of the amount is half of all, none is none, and twice as much is held within bounds.
func TestBowAmounts(t *testing.T) {
	tell := func(n *expr.Note) {
		n.Key, n.Length, n.ToNext, n.NextKey, n.LastKey = 68, time.Second, time.Second, 66, 70
	}
	half, one, two := bow(fiddler(0.5, tell)), bow(fiddler(1, tell)), bow(fiddler(2, tell))
	if (bow(fiddler(0, tell)) != expr.Gesture{}) {
		t.Error("none of it does something")
	}
	for _, c := range []struct {
		name           string
		half, one, two float64
	}{
		{"level", half.TouchDB, one.TouchDB, two.TouchDB}, {"fall", half.GlideDB, one.GlideDB, two.GlideDB},
		{"swell", half.Arc.DB, one.Arc.DB, two.Arc.DB}, {"dip", half.Dip.DB, one.Dip.DB, two.Dip.DB},
	} {
		if c.one == 0 || math.Abs(c.half-c.one/2) > 1e-9 || math.Abs(c.two-2*c.one) > 1e-9 {
			t.Errorf("%s at half, once and twice is %.2f, %.2f and %.2f", c.name, c.half, c.one, c.two)
		}
	}
	for key := range 128 {
		if db := bow(fiddler(2, func(n *expr.Note) { n.Key, n.Phrase.Final = uint8(key), true })).TouchDB; math.Abs(db) > maxBowDB {
			t.Errorf("key %d is moved by %.1f dB, want %d at most", key, db, maxBowDB)
		}
	}
}
