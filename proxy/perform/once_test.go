package perform

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
)

// sounded is a note that is to be heard: each key of a channel is struck only when it is up.
type sounded struct {
	on, off time.Duration
	port    uint16
	ch, key byte
}

// ensemble draws music of several parts on two ports: repeated keys, unisons among parts,
// chords, notes that follow at once, and short and long ones.
func ensemble(t *rapid.T) (notes []sounded) {
	for part := range rapid.IntRange(1, 6).Draw(t, "parts") {
		at := [4]time.Duration{}
		for range rapid.IntRange(1, 25).Draw(t, "notes") {
			key := rapid.IntRange(0, 3).Draw(t, "key")
			gap := rapid.SampledFrom([]time.Duration{0, 0, ms, 30 * ms, 170 * ms, 900 * ms}).Draw(t, "gap")
			length := rapid.SampledFrom([]time.Duration{ms, 20 * ms, 90 * ms, 240 * ms, 800 * ms}).Draw(t, "length")
			begins := at[key] + gap
			at[key] = begins + length
			notes = append(notes, sounded{begins, begins + length, uint16(part % 2), byte(part / 2), byte(60 + key)})
		}
	}
	return notes
}

// events are the notes as an engine is loaded with them, and as they come in.
func (n *sounded) events(index int) (on, off expr.Event) {
	on, off = expr.Short(n.on, n.port, 0x90|n.ch, n.key, 80), expr.Short(n.off, n.port, 0x80|n.ch, n.key, 64)
	on.Note = int32(index + 1)
	return on, off
}

func streamOf(notes []sounded) (in []expr.Event, s *expr.Score) {
	slices.SortStableFunc(notes, func(a, b sounded) int { return cmp.Compare(a.on, b.on) })
	s = &expr.Score{}
	for i := range notes {
		n := &notes[i]
		on, off := n.events(i)
		in = append(in, on, off)
		s.Notes = append(s.Notes, expr.Written{
			On: n.on, Off: n.off, Beat: 2 * n.on.Seconds(), Length: 2 * (n.off - n.on).Seconds(),
			Part: n.port*16 + uint16(n.ch), Port: n.port, Channel: n.ch, Key: n.key, Velocity: 80, Staff: 1,
		})
		s.End = max(s.End, n.off)
	}
	slices.SortStableFunc(in, func(a, b expr.Event) int {
		ends := func(e *expr.Event) int { // a key goes up before it is struck again
			if e.IsNoteOff() {
				return 0
			}
			return 1
		}
		if a.At == b.At && a.Port == b.Port && a.Msg[0]&15 == b.Msg[0]&15 && a.Msg[1] == b.Msg[1] {
			return cmp.Compare(ends(&a), ends(&b))
		}
		return cmp.Compare(a.At, b.At)
	})
	return in, s
}

// However raw and shaped are switched, of a part or of all, while notes wait which the players
// play before or after their time: each note sounds once, in the order of its key, and ends.
func TestManyNotesSoundOnce(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in, score := streamOf(ensemble(rt))
		lookahead := rapid.SampledFrom([]time.Duration{0, 500 * ms, 500 * ms, 3 * time.Second, 40 * ms}).Draw(rt, "lookahead")
		var got recorder
		s := NewStage(cast(t), engine.Config{
			Ports: 2, Lookahead: lookahead, Rubato: 1, Seed: rapid.Uint64().Draw(rt, "seed"),
			Habits: append(habits.Usual(), habits.Together{}, habits.Rubato{}),
		}, got.take)
		for i, name := range []string{"violins", "horn", "piano", "trumpet", "violins", "plain"} {
			profile, err := s.cast.profile(name)
			if err != nil {
				rt.Fatal(err)
			}
			if err := s.Seat(i%2, i/2, profile, 0); err != nil {
				rt.Fatal(err)
			}
			s.index[i%2*16+i/2] = 0 // by us, and by nobody else
		}
		if rapid.Bool().Draw(rt, "score") {
			s.engine.Load(score)
		}
		side := [6]expr.Side{}
		for i := range side {
			side[i] = rapid.SampledFrom([]expr.Side{expr.Raw, expr.Shaped}).Draw(rt, "first")
			s.Switch(i%2, i/2, side[i])
		}
		next := time.Duration(0)
		wait := func() {
			next += time.Duration(rapid.IntRange(1, 700).Draw(rt, "until")) * ms
		}
		change := func() {
			all := rapid.Bool().Draw(rt, "all")
			one := rapid.IntRange(0, 5).Draw(rt, "one")
			for i := range side {
				if all || i == one {
					side[i] ^= expr.Both
					s.Switch(i%2, i/2, side[i])
				}
			}
			if rapid.IntRange(0, 9).Draw(rt, "glide") == 0 {
				s.engine.SetLookahead(time.Duration(rapid.IntRange(0, 1500).Draw(rt, "to")) * ms)
			}
			wait()
		}
		wait()
		for _, e := range in {
			for next < e.At {
				s.Pull(next)
				change()
			}
			s.Push(e)
			s.Pull(e.At)
		}
		for end := in[len(in)-1].At; next < end+8*time.Second; {
			s.Pull(next)
			change()
		}
		s.Pull(next)

		type key struct {
			port uint16
			ch   int
			key  byte
		}
		due, down := map[key]int{}, map[key]bool{}
		for i := range in {
			if in[i].IsNoteOn() {
				due[key{in[i].Port, in[i].Channel(), in[i].Msg[1]}]++
			}
		}
		for i := range got.events {
			e := &got.events[i]
			k := key{e.Port, e.Channel(), e.Msg[1]}
			switch {
			case e.IsNoteOn() && down[k]:
				rt.Fatalf("%+v is struck at %v while it is down", k, e.At)
			case e.IsNoteOn():
				down[k] = true
				due[k]--
			case e.IsNoteOff():
				down[k] = false
			}
		}
		for k, n := range due {
			if n != 0 || down[k] {
				rt.Fatalf("%+v: %d notes lack, it is down at the end: %v", k, n, down[k])
			}
		}
		for i := range s.desk.strips {
			if n := s.desk.sounding(i); n != 0 {
				rt.Fatalf("channel %d: %d notes are held in the account", i, n)
			}
			for k := range s.desk.strips[i].begun {
				if n := s.desk.strips[i].begun[k].notes; n != 0 {
					rt.Fatalf("channel %d: of key %d one side has begun %d notes more", i, k, n)
				}
			}
		}
	})
}

// What the desk takes is the engine's, and only to be read: it is the same after it was passed on
// matched in level, or as loud as the other side has it.
func TestDeskOnlyReads(t *testing.T) {
	var got recorder
	d := newDesk(1, got.take)
	d.matchLevels(6)
	d.choose(0, expr.Raw, 0)
	for d.ramps > 0 {
		d.advance()
	}
	take := func(side expr.Side, msg ...byte) {
		t.Helper()
		e := short(0, msg...)
		e.Side = side
		was := e
		if d.take(&e); e.Msg != was.Msg || e.Side != was.Side {
			t.Errorf("% X became % X", was.Bytes(), e.Bytes())
		}
	}
	take(expr.Both, 0xB0, ccVolume, 100)
	if last := got.events[len(got.events)-1]; last.Msg[2] >= 100 {
		t.Errorf("a volume of 100 is passed on as %d, want less", last.Msg[2])
	}
	take(expr.Shaped, 0x90, 60, 50)
	d.choose(0, expr.Shaped, 0)
	d.choose(0, expr.Raw, 0)
	take(expr.Raw, 0x90, 60, 80)
	d.choose(0, expr.Shaped, 0)
	take(expr.Raw, 0x90, 61, 80)
	d.choose(0, expr.Raw, 0)
	take(expr.Shaped, 0x90, 61, 50)
	notes := map[byte][]byte{}
	for _, e := range got.events {
		if e.IsNoteOn() {
			notes[e.Msg[1]] = append(notes[e.Msg[1]], e.Msg[2])
		}
	}
	if len(notes[60]) != 1 || notes[60][0] != 80 || len(notes[61]) != 1 || notes[61][0] != 80 {
		t.Errorf("velocities by key: %v, want each once, as loud as raw", notes)
	}
}
