package console_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"swellbox/proxy/console"
	"swellbox/proxy/live"
)

// A page sees the built-in score go by: bar and beat, levels of both sides, who has the tune, how it
// reaches the listener; and what is done from one page is seen on another.
func TestPageSeesMusic(t *testing.T) {
	r := start(t, nil)
	r.play()
	p := r.read()
	s := until(p, "state", func(s *console.State) bool { return len(s.Parts) > 10 })
	if s.Side != "shaped" || s.Place != "hall" || !s.Simulated || s.Piece == "" || len(s.Health) == 0 || s.Hall.Row != 10 {
		t.Errorf("the state is %+v", s)
	}
	for _, part := range s.Parts {
		if part.Name == "" || part.Profile == "" || part.Players == 0 || !part.Modeled {
			t.Errorf("a part is %+v", part)
		}
	}
	n := until(p, "now", func(n *console.Now) bool {
		return n.Bar >= 1 && n.Tune >= 0 && n.LevelDB > 0 && slices.ContainsFunc(n.Parts, func(m console.Moved) bool {
			return m.RawDB != nil && m.ShapedDB != nil && *m.RawDB != *m.ShapedDB && m.Cents > 0 && m.Heard != ""
		})
	})
	until(p, "now", func(n *console.Now) bool { // the score is known: so is where a phrase ends
		return slices.ContainsFunc(n.Parts, func(m console.Moved) bool { return m.Through != nil && *m.Through > 0.2 && *m.PhraseS > 0 })
	})
	if n.Sure != 1 || n.Tune >= len(n.Parts) {
		t.Errorf("%+v", n)
	}
	r.do("switch", `{"side":"raw","parts":["Violas"]}`)
	until(p, "state", func(s *console.State) bool { return s.Side == "mixed" })
	r.do("place", `{"place":"studio","parts":[]}`)
	until(p, "state", func(s *console.State) bool { return s.Place == "studio" })
	r.do("match", `{"on":true}`)
	until(p, "state", func(s *console.State) bool { return s.Matched })
	r.do("listener", `{"room":"chamber","row":0}`)
	until(p, "state", func(s *console.State) bool { return s.Hall.Room == "chamber" && s.Hall.Y == 0 })
	r.do("lookahead", `{"ms":300}`)
	until(p, "state", func(s *console.State) bool { return s.Lookahead == 300 })
	r.do("panic", `{}`)
}

// A blind test tells no page which side sounds; what X was is told by the answer, the chance is
// that of a coin, and at its end all is as it was.
func TestBlind(t *testing.T) {
	r := start(t, nil)
	r.play()
	p := r.read()
	until(p, "state", func(s *console.State) bool { return len(s.Parts) > 10 })
	r.do("blind", `{"do":"begin"}`)
	s := until(p, "state", func(s *console.State) bool { return s.Blind != nil })
	if s.Side != "hidden" || s.Parts[0].Side != "hidden" || !s.Matched || s.Blind.Playing != "a" {
		t.Errorf("%+v", s)
	}
	if code, _ := r.ask("POST", "/api/switch", `{"side":"raw","parts":[]}`, nil); code != 409 {
		t.Errorf("a switch in a blind test: %d", code)
	}
	right, seen := 0, map[string]bool{}
	const trials = 40
	for i := range trials {
		r.do("blind", `{"do":"play","what":"x"}`)
		x := map[string]string{"raw": "a", "shaped": "b"}[r.d.Status().Side] // the daemon's own word, which the page does not pass on
		seen[x] = true
		said := "a"
		if i%4 == 0 {
			said = x
		}
		if said == x {
			right++
		}
		r.do("blind", `{"do":"answer","what":"`+said+`"}`)
	}
	s = until(p, "state", func(s *console.State) bool { return s.Blind.Trials == trials })
	if s.Blind.Right != right || len(seen) != 2 {
		t.Errorf("%+v, want %d right; X was %v", s.Blind, right, seen)
	}
	r.do("blind", `{"do":"end"}`)
	s = until(p, "state", func(s *console.State) bool { return s.Blind == nil })
	if s.Side != "shaped" || s.Matched {
		t.Errorf("after the test: %+v", s)
	}
}

// The chance of so many right answers, or more, by a coin: counted by hand.
func TestChance(t *testing.T) {
	for _, c := range []struct {
		right, n int
		want     float64
	}{{0, 0, 1}, {0, 5, 1}, {1, 1, 0.5}, {3, 4, 5.0 / 16}, {9, 10, 11.0 / 1024}, {10, 10, 1.0 / 1024}} {
		if got := console.Chance(c.right, c.n); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%d of %d: %g, want %g", c.right, c.n, got, c.want)
		}
	}
}

// A part that is moved to the back of the stage is softer from then on, as the model has it, and as
// before on its usual seat.
func TestSeatIsHeard(t *testing.T) {
	r := start(t, nil)
	r.play()
	p := r.read()
	s := until(p, "state", func(s *console.State) bool { return len(s.Parts) > 10 })
	violins := slices.IndexFunc(s.Parts, func(p console.Seated) bool { return p.Name == "Violins I" })
	g := live.NewGauges(r.d)
	heard := func() float64 { g.Look(); return g.Parts[violins].SeatDB }
	if heard() != 0 {
		t.Error("it is moved already")
	}
	r.do("listener", `{"room":"large","row":1}`)
	r.do("seat", fmt.Sprintf(`{"part":%d,"x":0,"y":14}`, violins))
	until(p, "state", func(s *console.State) bool { return s.Parts[violins].Moved && s.Parts[violins].Y == 14 })
	// It is heard from the next look at the music on.
	settled := func(is func(db float64) bool) (db float64) {
		until(p, "now", func(*console.Now) bool { db = heard(); return is(db) })
		return db
	}
	far := settled(func(db float64) bool { return db != 0 })
	if far > -2 || far < -12 {
		t.Errorf("at the back it is louder by %.1f dB", far)
	}
	r.do("listener", `{"room":"large","row":30}`)
	until(p, "state", func(s *console.State) bool { return s.Hall.Row == 30 })
	if distant := settled(func(db float64) bool { return db != far }); distant > 0 || distant < far/2 {
		t.Errorf("for a distant listener it is louder by %.1f dB, for a near one by %.1f", distant, far)
	}
	r.do("seat", fmt.Sprintf(`{"part":%d,"usual":true}`, violins))
	until(p, "state", func(s *console.State) bool { return !s.Parts[violins].Moved })
	settled(func(db float64) bool { return db == 0 }) // or it ends for want of patience
}
