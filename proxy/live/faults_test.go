package live_test

import (
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/proxy/live"
)

// faulty is a habit that fails on one key.
type faulty struct{ key uint8 }

func (f faulty) About() *expr.About { return &expr.About{Name: "faulty", Key: "faulty"} }

func (f faulty) Shape(n *expr.Note, g *expr.Gesture) bool {
	if n.Key == f.key {
		panic("a wrong turn")
	}
	g.LevelDB -= 3
	return true
}

// A habit that fails costs its part the shaping and nobody anything else.
func TestHabitFails(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, func(c *live.Config) {
			c.Habits = append(habits.Usual(), faulty{key: 66})
		})
		r.feed(1, 0x91, 50, 80)
		r.feed(1, 0x90, 64, 80)
		r.feed(1, 0x90, 66, 81) // fails
		r.feed(1, 0x90, 67, 82)
		pass(time.Second)
		for _, key := range []byte{64, 66, 67} {
			r.feed(1, 0x80, key, 64)
		}
		r.feed(1, 0x81, 50, 64)
		r.feed(1, 0x91, 52, 80)
		got := r.heard(1)
		if count(got, 0x90, 66, 81) != 1 || count(got, 0x90, 67, 82) != 1 {
			t.Errorf("the part does not play raw: %v", got)
		}
		if left := sounding(got); len(left) != 1 || left[[2]byte{1, 52}] != 1 {
			t.Errorf("%v sound", left)
		}
		s := r.d.Status()
		if len(s.Parts) != 2 {
			t.Fatalf("parts %+v", s.Parts)
		}
		violas, violins := s.Parts[0], s.Parts[1]
		wantContains(t, "fault", violins.Fault, "faulty", "key 66", "a wrong turn", "raw")
		wantContains(t, "warnings", strings.Join(s.Warnings, "\n"), "First violins", "a wrong turn")
		if violas.Fault != "" || violas.Habits["faulty"] != 2 || violins.Habits["faulty"] != 1 {
			t.Errorf("parts %+v", s.Parts)
		}
		pass(2 * time.Second)
		log := r.log.String()
		wantContains(t, "log", log, `"level":"error"`, "First violins", "a wrong turn", "part plays raw")
		if n := strings.Count(log, "a wrong turn"); n != 1 {
			t.Errorf("the log says it %d times:\n%s", n, log)
		}
	})
}

// failing has the engine itself fail, once, when it is to.
func failing(fails *bool) func(*live.Config) {
	return func(c *live.Config) {
		c.Manner.Trial = func(of expr.Knowledge) {
			if of == expr.OfAll && *fails {
				*fails = false
				panic("a wrong turn")
			}
		}
	}
}

// An engine that fails is bypassed: messages go through, notes that sounded keep
// their ends, levels go back, Close works.
func TestEngineFails(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var fails bool
		r := start(t, 2, failing(&fails))
		r.feed(1, 0xB0, 11, 90)
		r.feed(1, 0x90, 64, 80)
		r.feed(1, 0x91, 50, 80)
		r.feed(2, 0x90, 40, 80)
		pass(time.Second)
		fails = true
		r.feed(1, 0x90, 66, 81)
		r.feed(1, 0x90, 67, 82)
		r.feed(1, sysex(2000)...)
		r.feed(1, 0x80, 64, 64)
		r.feed(1, 0x80, 66, 64)
		pass(time.Second)
		got := r.heard(1)
		if count(got, 0x90, 66, 81) != 1 || count(got, 0x90, 67, 82) != 1 || count(got, 0xF0) != 1 {
			t.Errorf("not all goes through")
		}
		if left := sounding(got); len(left) != 2 || left[[2]byte{0, 67}] != 1 || left[[2]byte{1, 50}] != 1 {
			t.Errorf("%v sound", left)
		}
		if v := last(got, 0, 11); v != 90 {
			t.Errorf("expression is left at %d, want 90 as it came in", v)
		}
		s := r.d.Status()
		wantContains(t, "warnings", strings.Join(s.Warnings, "\n"), "engine failed", "a wrong turn", "starts anew")
		if s.Side != "raw" {
			t.Errorf("side %q", s.Side)
		}
		if err := r.d.Switch(expr.Shaped, nil); err == nil || r.d.Status().Side != "raw" {
			t.Errorf("switched to shaped without an engine: %v", err)
		}
		pass(time.Second)
		wantContains(t, "log", r.log.String(), `"level":"error"`, "a wrong turn", "playing raw")
		r.close()
		for port := 1; port <= 2; port++ {
			if left := sounding(r.heard(port)); len(left) != 0 {
				t.Errorf("port %d: %v sound after Close", port, left)
			}
		}
	})
}
