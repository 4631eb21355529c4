package engine

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

// strike is one note of a musical stream. Notes of one key may lie over one another.
type strike struct {
	on, off  time.Duration
	ch       byte
	key      byte
	velocity byte
	late     bool // at one time, its end comes after the next beginning
}

// figure adds to a musical stream what an unlucky hour of a notation program sends: what is
// struck again and again in one moment, unisons, crossing voices, ties, slurs, notes of no length.
// It returns the time at which the next figure begins.
func figure(kind, size, where byte, at time.Duration, channels [3]byte, notes *[]strike) time.Duration {
	ch, key := channels[where%3], 55+where>>2%24
	n, step := int(size%8)+1, time.Duration(size>>3)*15*exprtest.Thousandth
	add := func(on, length time.Duration, ch, key byte, late bool) {
		*notes = append(*notes, strike{on, on + length, ch, key, 30 + size%90, late})
	}
	switch kind % 10 {
	case 0: // one note after the other
		for range n {
			add(at, step, ch, key, false)
			at += step
			key++
		}
	case 1: // one key, in one moment
		for range n {
			add(at, step, ch, key, false)
		}
	case 2: // the same, a moment apart, so that all sound together
		for range n {
			add(at, step+200*exprtest.Thousandth, ch, key, false)
			at += exprtest.Thousandth * time.Duration(where%3)
		}
	case 3: // a unison of all channels
		for _, c := range channels {
			add(at, step, c, key, false)
		}
	case 4: // two voices that cross
		for i := range byte(n) {
			add(at, step+10*exprtest.Thousandth, ch, key+i, false)
			add(at, step, ch, key+7-i, i%2 == 0)
			at += step
		}
	case 5: // a repetition that begins before the end of the note before
		for range n {
			add(at, step, ch, key, true)
			at += step
		}
	case 6: // no length
		for i := range byte(n) {
			add(at, 0, ch, key+i%2, where&1 == 0)
		}
	case 7: // a chord
		for i := range byte(n) {
			add(at, step+time.Duration(i)*exprtest.Thousandth, ch, key+3*i, false)
		}
	case 8: // slurred
		for i := range byte(n) {
			add(at, step+40*exprtest.Thousandth, ch, key+i%3, false)
			at += step
		}
	case 9: // held through what follows
		add(at, time.Duration(n)*time.Second/2, ch, key, false)
	}
	return at + time.Duration(where>>5)*time.Duration(where>>5)*20*exprtest.Thousandth
}

// musical makes a stream out of any bytes, and the score that it is played from. Between the notes
// stand marks, by controller 20, which nothing may pass, and treads of the pedal.
func musical(b []byte) (in []expr.Event, s *expr.Score) {
	channels := [3]byte{b[0] % 12, b[0] / 12 % 12, b[0] / 7 % 12}
	var notes []strike
	var marks []expr.Event
	at := time.Duration(0)
	for b = b[1:]; len(b) >= 3; b = b[3:] {
		switch ch := channels[b[2]%3]; {
		case b[0] >= 250:
			marks = append(marks, expr.Short(at, 0, 0xB0|ch, 20, b[1]&0x7F))
		case b[0] >= 235:
			marks = append(marks, expr.Short(at, 0, 0xB0|ch, expr.CCDamper, markedUp+(markedDown-markedUp)*(b[1]&1)))
		default:
			at = figure(b[0], b[1], b[2], at, channels, &notes)
		}
	}
	slices.SortStableFunc(notes, func(a, b strike) int { return cmp.Compare(a.on, b.on) })
	s = &expr.Score{}
	type moment struct {
		expr.Event
		rank int
	}
	var all []moment
	for i, n := range notes {
		on, off := expr.Short(n.on, 0, 0x90|n.ch, n.key, n.velocity), expr.Short(n.off, 0, 0x80|n.ch, n.key, 64)
		on.Note = int32(i + 1)
		rank := 0
		if n.late || n.off == n.on {
			rank = 3
		}
		all = append(all, moment{on, 2}, moment{off, rank})
		s.Notes = append(s.Notes, expr.Written{
			On: n.on, Off: n.off, Beat: 2 * n.on.Seconds(), Length: 2 * (n.off - n.on).Seconds(),
			Part: uint16(n.ch), Channel: n.ch, Key: n.key, Velocity: n.velocity, Staff: 1,
		})
		s.End = max(s.End, n.off)
	}
	for _, m := range marks {
		all = append(all, moment{m, 1})
	}
	slices.SortStableFunc(all, func(a, b moment) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.rank, b.rank)) })
	for _, m := range all {
		in = append(in, m.Event)
	}
	return in, s
}

// checkFaults asserts that nothing failed: an engine that goes on without it must not hide that.
func checkFaults(t failing, e *Engine) {
	for i := range e.parts {
		if err := e.Fault(i/16, i%16); err != nil {
			t.Fatalf("channel %d: %v", i+1, err)
		}
	}
	if err := e.Lost(); err != nil {
		t.Fatalf("%v", err)
	}
}

// checkOnce asserts that on each side each key is struck and ended as often as it was played, is
// never ended more often than struck, and that no note's beginning passes a mark.
func checkOnce(t failing, in, out []expr.Event) {
	type count struct{ on, off int }
	side := func(events []expr.Event, of expr.Side) (all map[keyAt]count, marks map[int][]count) {
		all, marks = map[keyAt]count{}, map[int][]count{}
		begun := map[int]int{}
		for i := range events {
			ev := &events[i]
			if ev.Side&of == 0 {
				continue
			}
			k := keyOfEvent(ev)
			c := all[k]
			switch {
			case ev.IsNoteOn():
				c.on++
				begun[k.ch]++
			case ev.IsNoteOff():
				if c.off++; c.off > c.on {
					t.Fatalf("%v: %+v is ended %d times at %v, and struck %d times", of, k, c.off, ev.At, c.on)
				}
			case ev.Msg[0]&0xF0 == 0xB0 && ev.Msg[1] == 20:
				marks[k.ch] = append(marks[k.ch], count{begun[k.ch], int(ev.Msg[2])})
				continue
			default:
				continue
			}
			all[k] = c
		}
		return all, marks
	}
	for i := range in {
		in[i].Side = expr.Both
	}
	want, marks := side(in, expr.Both)
	for _, of := range [...]expr.Side{expr.Raw, expr.Shaped} {
		got, passed := side(out, of)
		for k, n := range want {
			if got[k] != n {
				t.Fatalf("%v: %+v is struck and ended %+v times, want %+v", of, k, got[k], n)
			}
		}
		if len(got) != len(want) {
			t.Fatalf("%v: %d keys are played, want %d", of, len(got), len(want))
		}
		for ch, m := range marks {
			if !slices.Equal(passed[ch], m) {
				t.Fatalf("%v: before the marks of channel %d come %v notes, want %v", of, ch+1, passed[ch], m)
			}
		}
	}
	last := time.Duration(0)
	for i := range out {
		if out[i].At < last {
			t.Fatalf("time runs back from %v to %v", last, out[i].At)
		}
		last = out[i].At
	}
}

// played plays a musical stream at a grade of foreknowledge, and asserts what must hold.
func played(t failing, b []byte, assemble func(Config) *Engine) {
	if len(b) < 7 || len(b) > 600 {
		return
	}
	in, s := musical(append([]byte{b[0]}, b[3:]...))
	if len(in) == 0 {
		return
	}
	cfg := Config{Rubato: 1, Seed: uint64(b[2]), Habits: append(habits.Usual(), habits.Together{}, habits.Rubato{})}
	if b[1]&1 != 0 {
		cfg.Lookahead = [...]time.Duration{20 * exprtest.Thousandth, 250 * exprtest.Thousandth, 500 * exprtest.Thousandth, MaxLookahead}[b[1]>>3%4]
	}
	var deeds []deed
	if b[1]&4 != 0 {
		for i := range 3 {
			to := time.Duration(b[2]>>(2*i)&3) * 400 * exprtest.Thousandth
			deeds = append(deeds, deed{before: (i + 1) * len(in) / 4, do: func(e *Engine) { e.SetLookahead(to) }})
		}
	}
	e := assemble(cfg)
	if b[1]&2 != 0 {
		e.Load(s)
	}
	out := act(e, in, deeds, 0, longTail)
	checkFaults(t, e)
	checkOnce(t, in, out)
}

// musicalSeeds are a figure of each kind at each grade.
func musicalSeeds() (seeds [][]byte) {
	for kind := range byte(10) {
		for grade := range byte(8) {
			b := []byte{2 + 12*kind, grade | 8, 0x1B}
			for i := range byte(12) {
				b = append(b, kind, 7+16*(i%3), 4*i+32*(i%2), (kind+i)%10, 0x7B, 17*i)
			}
			seeds = append(seeds, append(b, 240, 1, 0, 250, 5, 1, kind, 0x2F, 9, 240, 0, 0, kind, 0x37, 1))
		}
	}
	return seeds
}

// FuzzMusic asserts of musical streams, of every figure at every grade of foreknowledge, that
// nothing fails and each note is played once.
func FuzzMusic(f *testing.F) {
	seeds := musicalSeeds()
	if len(seeds) == 0 {
		f.Fatal("no seeds")
	}
	for _, b := range seeds {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		played(t, b, func(cfg Config) *Engine { return assembled(t, cfg, musicians()) })
	})
}

// The same of many streams near the seeds.
func TestManyMusicalStreams(t *testing.T) {
	seeds := musicalSeeds()
	rapid.Check(t, func(rt *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "stream"), 0))
		for range 4 {
			b := slices.Clone(seeds[rng.IntN(len(seeds))])
			for range rng.IntN(24) {
				b[rng.IntN(len(b))] = byte(rng.Uint32())
			}
			played(rt, b[:7+rng.IntN(len(b)-6)], func(cfg Config) *Engine { return assembled(t, cfg, musicians()) })
		}
	})
}
