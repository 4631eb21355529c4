package following_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"swellbox/expr/following"
)

// Somebody at a keyboard spreads chords and takes beats sooner and later, and is found for all that;
// the measurements with players are cmd/follow's.
func TestSomebodyAtAKeyboard(t *testing.T) {
	for _, c := range []struct{ notes, least int }{{16, 29}, {64, 32}} {
		somebody(t, c.notes, c.least)
	}
}

// somebody plays so many notes from some places, of which at least so many are to be told rightly.
func somebody(t *testing.T, notes, least int) {
	s := piano(2, 200)
	const starts = 40
	right, wrong := 0, 0
	for i := range starts {
		rng := rand.New(rand.NewPCG(7, uint64(i)))
		f := following.New(s)
		played := steady(s, uint64(i), 0.9+0.2*rng.Float64()).play(indexOfBar(s, 4*i), notes)
		last := time.Duration(0)
		for _, n := range played {
			swing := 0.10 * math.Sin(n.at.Seconds()*1.5+float64(i)) // seconds: the tempo goes up and down by a seventh
			late := math.Abs(rng.NormFloat64()) * 0.02
			n.at = max(last, n.at+time.Duration((1+swing+late)*float64(time.Second)))
			n.port, n.channel = 0, 0
			last = n.at
			hear(f, n)
		}
		switch p := f.Position(last); {
		case p.Sure < 0.9:
		case math.Abs(float64(p.BarIndex-barOf(s, played[len(played)-1].place))) <= 1:
			right++
		default:
			wrong++
		}
	}
	t.Logf("%d notes: %d right, %d wrong", notes, right, wrong)
	if right < least {
		t.Errorf("after %d notes the bar was told rightly at %d and wrongly at %d of %d starts", notes, right, wrong, starts)
	}
}
