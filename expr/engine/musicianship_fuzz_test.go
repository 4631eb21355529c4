package engine

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// musicianshipSeeds are bytes that [FuzzMusicianship] begins with, each with what it is to reach.
var musicianshipSeeds = []struct {
	what  string
	bytes string
	found func(in, out []expr.Event) bool
}{
	{"a note that is played at a time of its own", "\x02\x40\x01\x02" + repeated("\xA9\x00\x50", 12), func(in, out []expr.Event) bool {
		for i := range out {
			if out[i].Side == expr.Shaped && out[i].IsNoteOn() {
				return true
			}
		}
		return false
	}},
	{"a mark of the pedal", "\x02\x40\x01\x02" + repeated("\xA9\x00\x50\xC9\x00\x7F\xA5\x01\x50\xC5\x00\x01", 4), func(_, out []expr.Event) bool {
		return has(out, markedDown) && has(out, markedUp)
	}},
	{"a foot", "\x02\x00\x00\x00" + repeated("\x00\x00\x50\x00\x01\x50\x00\x02\x50\x00\x03\x50\x1F\x20\x00\x7C\x00\x00\x60\x01\x00\x60\x02\x00\x60\x03\x00", 12), func(_, out []expr.Event) bool {
		return has(out, 64) || has(out, 127)
	}},
	{"a change of the lookahead", "\x00\xFF\x05\x03" + repeated("\xA9\x00\x50", 30), func(in, _ []expr.Event) bool { return len(in) > 30 }},
}

func repeated(s string, times int) (all string) {
	for range times {
		all += s
	}
	return all
}

// has reports whether the damper pedal comes to a value.
func has(events []expr.Event, value byte) bool {
	for i := range events {
		if ev := &events[i]; ev.IsChannel() && ev.Msg[0]&0xF0 == 0xB0 && ev.Msg[1] == expr.CCDamper && ev.Msg[2] == value {
			return true
		}
	}
	return false
}

// performed makes music and an ensemble out of any bytes, plays it, and asserts what must hold:
// the first says who plays, the second how far ahead is seen, the third the seed and
// whether there is a score, the fourth what is done on the way.
func performed(t testing.TB, b []byte) (in, out []expr.Event) {
	if len(b) < 5 || len(b) > 1<<12 {
		return nil, nil
	}
	in = performable(compose(append([]byte{b[0]}, b[4:]...)), true)
	if len(in) == 0 {
		return nil, nil
	}
	lookahead := time.Duration(b[1]) * MaxLookahead / 255
	cfg := Config{Lookahead: lookahead, Rubato: float64(b[2] & 1), Seed: uint64(b[2] >> 2)}
	var s *expr.Score
	if b[2]&2 != 0 {
		s = written(in)
	}
	deeds := []deed{{before: len(in) / 2, do: func(*Engine) {}}}
	switch b[3] & 3 {
	case 1:
		deeds[0].do = func(e *Engine) { e.SetPace(float64(b[3]) / 32) }
	case 2:
		deeds[0].do = func(e *Engine) { _ = e.Seat(0, int(b[0]%12), musicians()[b[3]>>2%12], 0) }
	case 3:
		deeds[0].do = func(e *Engine) { e.SetLookahead(time.Duration(b[3]>>2) * MaxLookahead / 63) }
	}
	play := func(step time.Duration) []expr.Event {
		e := assembled(t, cfg, musicians())
		e.Load(s)
		out := act(e, in, deeds, step, longTail)
		checkFaults(t, e)
		return out
	}
	out = play(0)
	if b[3]&3 != 3 {
		checkRaw(t, in, out, lookahead)
	}
	checkNotes(t, in, out)
	checkPedals(t, out)
	if text(out) != text(play(7*exprtest.Thousandth)) {
		t.Fatalf("pulled every 7 ms it is another performance")
	}
	return in, out
}

func TestMusicianshipSeedsReachWhatTheyAreFor(t *testing.T) {
	for _, s := range musicianshipSeeds {
		if in, out := performed(t, []byte(s.bytes)); !s.found(in, out) {
			t.Errorf("%s is not reached by %d events:\n%s", s.what, len(in), text(out))
		}
	}
}

// FuzzMusicianship asserts of any music that raw is what came in, that each note is struck and
// ended once, and that no foot stays down or moves against the marks.
func FuzzMusicianship(f *testing.F) {
	if len(musicianshipSeeds) == 0 {
		f.Fatal("no seeds")
	}
	for _, s := range musicianshipSeeds {
		f.Add([]byte(s.bytes))
	}
	f.Fuzz(func(t *testing.T, b []byte) { performed(t, b) })
}
