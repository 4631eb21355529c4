package expr

import (
	"testing"
	"time"
)

func TestLevelMovesByGlideAndArc(t *testing.T) {
	glide := Gesture{LevelDB: -3, GlideDB: 4, Glide: 400 * ms}
	arc := Gesture{LevelDB: -3, Arc: Arc{DB: 2, Over: 2 * time.Second}}
	both := Gesture{LevelDB: -3, GlideDB: -4, Glide: 400 * ms, Arc: Arc{DB: 2, Over: 2 * time.Second}, SwellDB: 1, Swell: 100 * ms}
	for _, c := range []struct {
		what string
		g    *Gesture
		age  time.Duration
		want float64
	}{
		{"glide, start", &glide, 0, -3},
		{"glide, a quarter", &glide, 100 * ms, -2},
		{"glide, end", &glide, 400 * ms, 1},
		{"glide, held", &glide, time.Hour, 1},
		{"arc, start", &arc, 0, -3},
		{"arc, a sixth: the sine's half", &arc, 2 * time.Second / 6, -2},
		{"arc, middle", &arc, time.Second, -1},
		{"arc, a sixth before the end", &arc, 10 * time.Second / 6, -2},
		{"arc, end", &arc, 2 * time.Second, -3},
		{"arc, after", &arc, 3 * time.Second, -3},
		{"a swell, its middle", &both, 50 * ms, -3 + 0.5 - 0.5 + 2*0.0784591},
		{"all, in the middle of the arc", &both, time.Second, -3 + 1 - 4 + 2},
		{"a step", &Gesture{GlideDB: 2}, 0, 2},
		{"nothing moves", &Gesture{LevelDB: -3, Glide: time.Second, Arc: Arc{Over: time.Second}}, 500 * ms, -3},
	} {
		near(t, c.what, c.g.LevelAt(c.age), c.want, 1e-6)
	}
}

// From the age at which a gesture is settled its level stays; just before, it moves.
func TestSettled(t *testing.T) {
	for _, c := range []struct {
		what string
		g    Gesture
		want time.Duration
	}{
		{"nothing", Gesture{LevelDB: 3}, 0},
		{"glide", Gesture{GlideDB: -2, Glide: 700 * ms}, 700 * ms},
		{"arc", Gesture{Arc: Arc{DB: 2, Over: 1500 * ms}}, 1500 * ms},
		{"glide and arc", Gesture{GlideDB: 2, Glide: 700 * ms, Arc: Arc{DB: 2, Over: 1500 * ms}}, 1500 * ms},
		{"arc within a glide", Gesture{GlideDB: 2, Glide: 1700 * ms, Arc: Arc{DB: 2, Over: 1500 * ms}}, 1700 * ms},
		{"glide within a swell", Gesture{GlideDB: 2, Glide: 200 * ms, SwellDB: 1, Swell: 600 * ms}, 600 * ms},
		{"swell and decay", Gesture{SwellDB: 1, Swell: 600 * ms, DecayDBPerS: 2, DecayLimitDB: 1}, 1100 * ms},
		{"lengths of nothing", Gesture{Glide: time.Second, Arc: Arc{Over: time.Second}}, 0},
	} {
		at := c.g.Settled()
		if at != c.want {
			t.Errorf("%s: settled at %v, want %v", c.what, at, c.want)
		}
		near(t, c.what+", after", c.g.LevelAt(at+time.Hour), c.g.LevelAt(at), 1e-9)
		if at > 0 && c.g.LevelAt(at-10*ms) == c.g.LevelAt(at) {
			t.Errorf("%s: does not move before %v", c.what, at)
		}
	}
}

func TestDetached(t *testing.T) {
	for _, c := range []struct {
		what   string
		length time.Duration
		next   time.Duration
		g      Gesture
		want   bool
	}{
		{"nothing known", Unknown, Unknown, Gesture{}, false},
		{"a rest after it", 400 * ms, 500 * ms, Gesture{}, true},
		{"nothing after it", 400 * ms, Unknown, Gesture{}, true},
		{"up to the next", 500 * ms, 500 * ms, Gesture{}, false},
		{"a tick short of the next", 500*ms - 521*time.Microsecond, 500 * ms, Gesture{}, false},
		{"made shorter by a habit", 500 * ms, 500 * ms, Gesture{Sounding: 300 * ms}, true},
		{"made longer by a habit", 400 * ms, 500 * ms, Gesture{Sounding: 520 * ms}, false},
		{"lapping over", 400 * ms, 500 * ms, Gesture{Overlap: 20 * ms}, false},
	} {
		n := &Note{Context: NothingKnown}
		n.Length, n.ToNext = c.length, c.next
		if got := c.g.Detached(n); got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

func BenchmarkLevelAtRest(b *testing.B) {
	g := Gesture{LevelDB: -3}
	for b.Loop() {
		g.LevelAt(500 * ms)
	}
}
