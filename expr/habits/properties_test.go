package habits

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// habitual are the rules of musicianship in the order in which they are to apply.
var habitual = []expr.Habit{
	Phrase{}, RiseAndFall{}, Accent{}, Metre{}, ColourNotes{}, Voicing{}, StepBack{},
	Articulation{}, QuickNotes{}, Breath{}, Hairpin{}, LongNote{},
}

// noteOf is a note of a sustaining instrument of which nothing is known but what is told.
func noteOf(h expr.Habits, tell func(*expr.Note)) *expr.Note {
	p := exprtest.Violins()
	p.Habits = h
	n := &expr.Note{Profile: p, Players: 1, Key: 60, Velocity: 80, Context: expr.NothingKnown}
	tell(n)
	return n
}

// shaped is what one rule makes of a note, and that it says so.
func shaped(t *testing.T, r expr.Habit, n *expr.Note) expr.Gesture {
	t.Helper()
	var g expr.Gesture
	if did := r.Shape(n, &g); did != (g != expr.Gesture{}) {
		t.Errorf("%s says %v of %+v", r.Name(), did, g)
	}
	return g
}

// allOn runs all rules of musicianship on a note.
func allOn(n *expr.Note) (g expr.Gesture) {
	for _, r := range habitual {
		r.Shape(n, &g)
	}
	return g
}

// anyContext is a context that obeys what [Context] promises, each thing known or not as it
// comes.
func anyContext(rng *rand.Rand, n *expr.Note) {
	known := func() bool { return rng.IntN(3) > 0 }
	lasting := func(most time.Duration) time.Duration { return 20*exprtest.MS + time.Duration(rng.Int64N(int64(most))) }
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
		c.Root, c.Tonic, c.Charge = rng.IntN(12), rng.IntN(12), 5*rng.Float64()
	}
	if known() {
		c.Role, c.Voices = expr.Role(rng.IntN(4)), 1+rng.IntN(5)
	}
	if known() {
		c.Salience = rng.Float64()
		c.Tune = c.Salience + (1-c.Salience)*rng.Float64()
	}
	if !known() {
		c.Marks = expr.Marks(rng.UintN(uint(expr.Softer) << 1))
	}
}

// everyContext has a test look at many of them.
func everyContext(t *testing.T, h expr.Habits, look func(n *expr.Note)) {
	rng := rand.New(rand.NewPCG(1, 2))
	blank := noteOf(h, func(*expr.Note) {})
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
	everyContext(t, expr.Habits{}, func(n *expr.Note) {
		for _, r := range habitual {
			if g := shaped(t, r, n); g != (expr.Gesture{}) {
				t.Errorf("%s: %+v of %+v", r.Name(), g, n.Context)
			}
		}
	})
}

func TestHabitsNeedNoContext(t *testing.T) {
	n := noteOf(exprtest.Habits(1), func(*expr.Note) {})
	for _, r := range habitual {
		if g := shaped(t, r, n); g != (expr.Gesture{}) {
			t.Errorf("%s guesses: %+v", r.Name(), g)
		}
	}
}

// Each rule keeps within its own taste, at any quantity, and nothing lasts longer than can be.
func TestManyHabitsAreBounded(t *testing.T) {
	mostAtOne := map[string]float64{ // dB of nuance at k = 1
		"phrase": 3.5, "contrast": 0.825, "accent": 2, "voicing": 2.75, "yield": 3, "long-note": 1.5,
	}
	mostEver := map[string]float64{"high-loud": 3, "metre": 3, "charge": 3}
	for _, k := range []float64{0.5, 1, 2} {
		did := map[string]int{}
		everyContext(t, exprtest.Habits(k), func(n *expr.Note) {
			for _, r := range habitual {
				g := shaped(t, r, n)
				if g != (expr.Gesture{}) {
					did[r.Name()]++
				}
				if most := k*mostAtOne[r.Name()] + mostEver[r.Name()]; !(math.Abs(g.NuanceDB) <= most+1e-9) {
					t.Errorf("k = %g: %s adds %g dB, more than %g", k, r.Name(), g.NuanceDB, most)
				}
				if !(math.Abs(g.GlideDB) <= writtenHairpinDB) || !(g.ArcDB >= 0 && g.ArcDB <= k*longNoteMaxDB) {
					t.Errorf("k = %g: %s: %+v", k, r.Name(), g)
				}
			}
			g := allOn(n)
			if g.Overlap < 0 || g.Overlap > 80*exprtest.MS || g.Glide < 0 || g.Arc < 0 || g.Sounding < 0 ||
				g.Sounding > max(n.Length, n.ToNext+80*exprtest.MS) || g.Sounding > 0 && n.Length < 0 {
				t.Errorf("k = %g: %+v of %+v", k, g, n.Context)
			}
			if level := g.LevelAt(n.Length / 2); math.IsNaN(level) || math.IsInf(level, 0) {
				t.Errorf("k = %g: level %g of %+v", k, level, n.Context)
			}
		})
		for _, r := range habitual {
			if did[r.Name()] < 100 {
				t.Errorf("%s did something on %d notes only: the contexts test nothing", r.Name(), did[r.Name()])
			}
		}
	}
}

// What the engine holds within its bound is a nuance already before.
func TestHabitsTogetherAreNuances(t *testing.T) {
	least, most := 0.0, 0.0
	everyContext(t, exprtest.Habits(1), func(n *expr.Note) {
		g := allOn(n)
		least, most = min(least, g.NuanceDB), max(most, g.NuanceDB)
	})
	if least < -11 || most > 11 {
		t.Errorf("together they add from %.1f to %.1f dB", least, most)
	}
}

// An octave changes nothing: what depends on register does so by the line's own mean.
func TestHabitsAnOctaveHigher(t *testing.T) {
	everyContext(t, exprtest.Habits(1), func(n *expr.Note) {
		high := *n
		high.Key += 12
		high.MeanKey += 12
		if high.LastKey >= 0 {
			high.LastKey += 12
		}
		if high.NextKey >= 0 {
			high.NextKey += 12
		}
		for _, r := range habitual {
			var low, up expr.Gesture
			r.Shape(n, &low)
			r.Shape(&high, &up)
			if math.Abs(low.NuanceDB-up.NuanceDB) > 1e-9 {
				t.Errorf("%s: %g and %g dB", r.Name(), low.NuanceDB, up.NuanceDB)
			}
			low.NuanceDB, up.NuanceDB = 0, 0
			if low != up {
				t.Errorf("%s: %+v and %+v", r.Name(), low, up)
			}
		}
	})
}

// A rule adds to what is there: what it adds does not depend on the level before it.
func TestHabitsAddToTheGesture(t *testing.T) {
	everyContext(t, exprtest.Habits(1), func(n *expr.Note) {
		for _, r := range habitual {
			alone, after := expr.Gesture{}, expr.Gesture{LevelDB: -3, HallDB: 1, NuanceDB: 2}
			if r.Shape(n, &alone) != r.Shape(n, &after) {
				t.Errorf("%s depends on the level before it", r.Name())
			}
			after.LevelDB, after.HallDB = after.LevelDB+3, after.HallDB-1
			if math.Abs(after.NuanceDB-alone.NuanceDB-2) > 1e-9 {
				t.Errorf("%s adds %g dB, and %g to 2", r.Name(), alone.NuanceDB, after.NuanceDB-2)
			}
			after.NuanceDB = alone.NuanceDB
			if after != alone {
				t.Errorf("%s: %+v and %+v", r.Name(), alone, after)
			}
		}
	})
}

// Half the quantity, half the nuance, as long as no bound holds it.
func TestManyHabitsGrowWithTheirQuantity(t *testing.T) {
	everyContext(t, exprtest.Habits(1), func(n *expr.Note) {
		p := *n.Profile
		p.Habits = exprtest.Habits(0.5)
		half := *n
		half.Profile = &p
		for _, r := range habitual {
			whole, less := shaped(t, r, n), shaped(t, r, &half)
			if bound := maxHighLoudDB - 1e-9; math.Abs(whole.NuanceDB) < bound && math.Abs(whole.NuanceDB-2*less.NuanceDB) > 1e-9 {
				t.Errorf("%s: %g dB at 1, %g at a half", r.Name(), whole.NuanceDB, less.NuanceDB)
			}
		}
	})
}

func TestHabitsHaveNamesOfTheirOwn(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range append([]expr.Habit{Marks{}, &OrchestraWeight{}, Swelling{}, Vibrato{}}, habitual...) {
		if r.Name() == "" || seen[r.Name()] {
			t.Errorf("%T is called %q", r, r.Name())
		}
		seen[r.Name()] = true
	}
}

func BenchmarkHabits(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	notes := make([]*expr.Note, 256)
	for i := range notes {
		notes[i] = noteOf(exprtest.Habits(1), func(n *expr.Note) { anyContext(rng, n) })
	}
	b.ReportAllocs()
	var g expr.Gesture
	for i := 0; b.Loop(); i++ {
		g = expr.Gesture{}
		for _, r := range habitual {
			r.Shape(notes[i%len(notes)], &g)
		}
	}
}
