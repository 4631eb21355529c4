package habits

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// habitual are the habits that make music of a note: those that Musical gives, and the swell of long notes.
var habitual = func() (music []expr.Habit) {
	var p expr.Profile
	exprtest.Musical(1, All())(&p)
	for _, h := range all {
		if p.Amounts.Of(h.About().Key) != 0 || h == (Bloom{}) {
			music = append(music, h)
		}
	}
	return music
}()

// noteOf is a note of a sustaining instrument of which nothing is known but what is told.
func noteOf(have func(*expr.Profile), tell func(*expr.Note)) *expr.Note {
	p := exprtest.Violins()
	p.Bloom = expr.Bloom{}
	have(p)
	n := &expr.Note{Profile: p, Players: 1, Key: 60, Velocity: 80, Context: expr.NothingKnown}
	tell(n)
	return n
}

// ask has a habit shape a note by the amount that the note's player has of it.
func ask(h expr.Habit, n *expr.Note, g *expr.Gesture) bool {
	n.Amount = n.Profile.Amounts.Of(h.About().Key)
	return h.Shape(n, g)
}

// shaped is what one habit makes of a note, and that it says so.
func shaped(t *testing.T, h expr.Habit, n *expr.Note) expr.Gesture {
	t.Helper()
	var g expr.Gesture
	if did := ask(h, n, &g); did != (g != expr.Gesture{}) {
		t.Errorf("%s says %v of %+v", h.About().Flag(), did, g)
	}
	return g
}

// allOn runs all habits that make music of a note on a note.
func allOn(n *expr.Note) (g expr.Gesture) {
	for _, h := range habitual {
		ask(h, n, &g)
	}
	return g
}

// anyContext is a context that obeys what [Context] promises, each thing known or not as it
// comes.
func anyContext(rng *rand.Rand, n *expr.Note) {
	known := func() bool { return rng.IntN(3) > 0 }
	lasting := func(most time.Duration) time.Duration {
		return 20*exprtest.Thousandth + time.Duration(rng.Int64N(int64(most)))
	}
	c := &n.Context
	n.Key = uint8(36 + rng.IntN(60))
	c.Grade = expr.Grade(rng.IntN(3))
	n.WrittenDB = -20 + 30*rng.Float64()
	c.MeanKey = float64(n.Key) + 6*rng.NormFloat64()
	if known() {
		c.FromLast, c.LastKey, c.LastDB = lasting(time.Second), int(n.Key)+rng.IntN(25)-12, n.WrittenDB+3*rng.NormFloat64()
		n.Slurred = c.LastKey != int(n.Key) && known()
	}
	if known() {
		c.Length = lasting(3 * time.Second)
	}
	if known() {
		c.ToNext, c.NextKey, c.NextDB = lasting(time.Second), int(n.Key)+rng.IntN(9)-4, n.WrittenDB+3*rng.NormFloat64()
		if c.Length >= 0 {
			if known() {
				c.Length = c.ToNext
			}
			c.RestAfter = max(c.ToNext-c.Length, 0)
		}
	}
	for _, s := range []*expr.Span{&c.Phrase, &c.SubPhrase} {
		if known() {
			s.Since = time.Duration(rng.Int64N(int64(8 * time.Second)))
		}
		if known() {
			s.Until, s.End = lasting(8*time.Second), rng.Float64()
			s.Final = !known()
		}
	}
	if known() {
		c.Accent, c.MeanAccent = rng.Float64(), 0.5*rng.Float64()
	}
	if known() {
		c.BeatLevel, c.BeatSure = rng.IntN(4), rng.Float64()
	}
	if !known() {
		c.Group, c.GroupRising = 3+rng.IntN(2), known()
	}
	if known() {
		c.Root, c.Tonic, c.Remote = rng.IntN(12), rng.IntN(12), 5*rng.Float64()
	}
	if known() {
		c.Role, c.Voices = expr.Role(rng.IntN(4)), 1+rng.IntN(5)
	}
	if known() {
		c.Salience = rng.Float64()
		c.Tune = c.Salience + (1-c.Salience)*rng.Float64()
	}
	if known() {
		for h := range c.Touch {
			c.Touch[h] = 8 * rng.NormFloat64()
		}
	}
	if !known() {
		c.Marks = expr.Marks(rng.UintN(uint(expr.Softer) << 1))
	}
}

// everyContext has a test look at many of them.
func everyContext(t *testing.T, have func(*expr.Profile), look func(n *expr.Note)) {
	rng := rand.New(rand.NewPCG(1, 2))
	blank := noteOf(have, func(*expr.Note) {})
	for range 20000 {
		n := *blank
		anyContext(rng, &n)
		look(&n)
		if t.Failed() {
			return
		}
	}
}

func TestHabitsAtZeroAddNothing(t *testing.T) {
	everyContext(t, func(*expr.Profile) {}, func(n *expr.Note) {
		for _, h := range habitual {
			if g := shaped(t, h, n); g != (expr.Gesture{}) {
				t.Errorf("%s: %+v of %+v", h.About().Flag(), g, n.Context)
			}
		}
	})
}

func TestHabitsNeedNoContext(t *testing.T) {
	n := noteOf(exprtest.Musical(1, All()), func(*expr.Note) {})
	for _, h := range habitual {
		if g := shaped(t, h, n); g != (expr.Gesture{}) {
			t.Errorf("%s guesses: %+v", h.About().Flag(), g)
		}
	}
}

// Each habit keeps within its own taste, in any amount, and nothing lasts longer than can be.
func TestManyHabitsAreBounded(t *testing.T) {
	for _, k := range []float64{0.5, 1, 2} {
		did := map[string]int{}
		everyContext(t, exprtest.Musical(k, All()), func(n *expr.Note) {
			for _, h := range habitual {
				g := shaped(t, h, n)
				if g != (expr.Gesture{}) {
					did[h.About().Flag()]++
				}
				about := h.About()
				if db, most := g.NuanceDB+g.VoicedDB+g.TouchDB+g.SignDB, k*about.Most.DB+about.Most.AnyDB; !(math.Abs(db) <= most+1e-9) {
					t.Errorf("amount %g: %s adds %g dB, more than %g", k, about.Flag(), db, most)
				}
				if !(math.Abs(g.GlideDB) <= writtenHairpinDB) || !(g.Arc.DB >= 0 && g.Arc.DB <= k*longNoteMaxDB) {
					t.Errorf("amount %g: %s: %+v", k, h.About().Flag(), g)
				}
			}
			g := allOn(n)
			if g.Overlap < 0 || g.Overlap > 80*exprtest.Thousandth || g.Glide < 0 || g.Arc.Over < 0 || g.Sounding < 0 ||
				g.Sounding > max(n.Length, n.ToNext+80*exprtest.Thousandth) || g.Sounding > 0 && n.Length < 0 {
				t.Errorf("amount %g: %+v of %+v", k, g, n.Context)
			}
			if level := g.LevelAt(n.Length / 2); math.IsNaN(level) || math.IsInf(level, 0) {
				t.Errorf("amount %g: level %g of %+v", k, level, n.Context)
			}
		})
		for _, h := range habitual {
			if did[h.About().Flag()] < 100 {
				t.Errorf("%s did something on %d notes only: the contexts test nothing", h.About().Flag(), did[h.About().Flag()])
			}
		}
	}
}

// What the engine holds within its bound is a nuance already before.
func TestHabitsTogetherAreNuances(t *testing.T) {
	least, most := 0.0, 0.0
	everyContext(t, exprtest.Musical(1, All()), func(n *expr.Note) {
		g := allOn(n)
		least, most = min(least, g.NuanceDB), max(most, g.NuanceDB)
	})
	if least < -11 || most > 11 {
		t.Errorf("together they add from %.1f to %.1f dB", least, most)
	}
}

// An octave changes nothing: what depends on register does so by the line's own mean.
func TestHabitsAnOctaveHigher(t *testing.T) {
	everyContext(t, exprtest.Musical(1, All()), func(n *expr.Note) {
		high := *n
		high.Key += 12
		high.MeanKey += 12
		if high.LastKey >= 0 {
			high.LastKey += 12
		}
		if high.NextKey >= 0 {
			high.NextKey += 12
		}
		for _, h := range habitual {
			var low, up expr.Gesture
			ask(h, n, &low)
			ask(h, &high, &up)
			if math.Abs(low.NuanceDB-up.NuanceDB) > 1e-9 {
				t.Errorf("%s: %g and %g dB", h.About().Flag(), low.NuanceDB, up.NuanceDB)
			}
			low.NuanceDB, up.NuanceDB = 0, 0
			if low != up {
				t.Errorf("%s: %+v and %+v", h.About().Flag(), low, up)
			}
		}
	})
}

// A habit adds to what is there: what it adds does not depend on the level before it.
func TestHabitsAddToTheGesture(t *testing.T) {
	everyContext(t, exprtest.Musical(1, All()), func(n *expr.Note) {
		for _, h := range habitual {
			alone, after := expr.Gesture{}, expr.Gesture{LevelDB: -3, HallDB: 1, NuanceDB: 2}
			if ask(h, n, &alone) != ask(h, n, &after) {
				t.Errorf("%s depends on the level before it", h.About().Flag())
			}
			after.LevelDB, after.HallDB = after.LevelDB+3, after.HallDB-1
			if math.Abs(after.NuanceDB-alone.NuanceDB-2) > 1e-9 {
				t.Errorf("%s adds %g dB, and %g to 2", h.About().Flag(), alone.NuanceDB, after.NuanceDB-2)
			}
			after.NuanceDB = alone.NuanceDB
			if after != alone {
				t.Errorf("%s: %+v and %+v", h.About().Flag(), alone, after)
			}
		}
	})
}

// Half the amount, half the nuance, as long as no bound holds it.
func TestManyHabitsGrowWithTheirAmount(t *testing.T) {
	everyContext(t, exprtest.Musical(1, All()), func(n *expr.Note) {
		p := *n.Profile
		exprtest.Musical(0.5, All())(&p)
		half := *n
		half.Profile = &p
		for _, h := range habitual {
			whole, less := shaped(t, h, n), shaped(t, h, &half)
			if bound := maxRiseDB - 1e-9; math.Abs(whole.NuanceDB) < bound && math.Abs(whole.NuanceDB-2*less.NuanceDB) > 1e-9 {
				t.Errorf("%s: %g dB at 1, %g at a half", h.About().Flag(), whole.NuanceDB, less.NuanceDB)
			}
		}
	})
}

func TestHabitsHaveNamesOfTheirOwn(t *testing.T) {
	seen := map[string]bool{}
	for _, h := range all {
		if about := h.About(); about.Name == "" || about.Sentence == "" || about.Changed == "" || about.Source == "" || about.Needs.Score == "" || strings.ContainsAny(about.Key, " -") || seen[h.About().Flag()] {
			t.Errorf("%T is called %q", h, h.About().Flag())
		}
		seen[h.About().Flag()] = true
	}
}

func BenchmarkHabits(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	notes := make([]*expr.Note, 256)
	for i := range notes {
		notes[i] = noteOf(exprtest.Musical(1, All()), func(n *expr.Note) { anyContext(rng, n) })
	}
	b.ReportAllocs()
	var g expr.Gesture
	for i := 0; b.Loop(); i++ {
		g = expr.Gesture{}
		for _, h := range habitual {
			ask(h, notes[i%len(notes)], &g)
		}
	}
}
