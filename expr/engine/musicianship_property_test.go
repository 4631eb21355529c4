package engine

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
	"swellbox/expr/meter"
)

// longTail is after how long all is over that was begun: the delay, a ritard as long as the
// lookahead, and what a pedal holds.
const longTail = 20 * time.Second

// anyFuture draws a lookahead, a rubato and a seed.
func anyFuture(t *rapid.T) Config {
	lookahead := 0
	if rapid.Bool().Draw(t, "looks ahead") {
		lookahead = rapid.IntRange(1, 3000).Draw(t, "lookahead")
	}
	return Config{
		Lookahead: time.Duration(lookahead) * exprtest.Thousandth,
		Rubato:    rapid.SampledFrom([]float64{0, 1, 2}).Draw(t, "rubato"),
		Seed:      uint64(rapid.IntRange(0, 3).Draw(t, "seed")),
		Clocked:   rapid.Bool().Draw(t, "clocked"),
	}
}

// anyScore loads the score of a stream, some of its notes being taken for others, or none.
func anyScore(t *rapid.T, e *Engine, in []expr.Event) {
	if !rapid.Bool().Draw(t, "has a score") {
		return
	}
	s := written(in)
	for i := range in {
		if in[i].IsNoteOn() && rapid.IntRange(0, 9).Draw(t, "slip") == 0 {
			in[i].Note = int32(rapid.IntRange(-1, len(s.Notes)+2).Draw(t, "wrong note"))
		}
	}
	e.Load(s)
}

// anyDeeds draws what is done to an engine on the way. Without to, no channel is seated.
func anyDeeds(t *rapid.T, n int, to []*expr.Profile) (deeds []deed) {
	for range rapid.IntRange(0, 4).Draw(t, "deeds") {
		d := deed{before: rapid.IntRange(0, max(n-1, 0)).Draw(t, "before")}
		port, ch := rapid.IntRange(0, 1).Draw(t, "port"), rapid.IntRange(0, 11).Draw(t, "channel")
		kinds := 2
		if to != nil {
			kinds = 3
		}
		switch rapid.IntRange(0, kinds-1).Draw(t, "deed") {
		case 0:
			place := expr.Place(rapid.IntRange(0, 1).Draw(t, "place"))
			d.what, d.do = fmt.Sprint("place ", port, ch, place), func(e *Engine) { e.Stand(port, ch, Standing{Place: place}) }
		case 1:
			pace := rapid.Float64Range(0.1, 10).Draw(t, "pace")
			d.what, d.do = fmt.Sprint("pace ", pace), func(e *Engine) { e.SetPace(pace) }
		case 2:
			p := rapid.SampledFrom(to).Draw(t, "profile")
			d.what, d.do = fmt.Sprint("seat ", port, ch, p), func(e *Engine) { _ = e.Seat(port, ch, p, 0) }
		}
		deeds = append(deeds, d)
	}
	return deeds
}

// Whatever is played, by whom, and what is known of it: the raw side is what came in, and
// of the shaped side each note is struck and ends once, at a time that its player may have.
func TestManyMusiciansLoseNothing(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := performable(compose(tunes().Draw(r, "tune")), true)
		cfg := anyFuture(r)
		e := assembled(t, cfg, musicians())
		anyScore(r, e, in)
		out := act(e, in, anyDeeds(r, len(in), nil), 0, longTail)
		checkFaults(r, e)
		checkRaw(r, in, out, cfg.Lookahead)
		checkShifts(r, in, checkNotes(r, in, out), e)
	})
}

// When an engine says that all is played out, it is: no note is missing, and none sounds on
// whose end has come in.
func TestManyMusiciansPlayOut(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := performable(compose(tunes().Draw(r, "tune")), true)
		e := assembled(t, anyFuture(r), musicians())
		anyScore(r, e, in)
		var out []expr.Event
		keep := func(ev *expr.Event) { out = append(out, *ev) }
		for _, ev := range in {
			e.Push(ev)
			e.Pull(ev.At, keep)
		}
		for n := 0; e.PlayedOut() > e.now; n++ {
			if n > 10 {
				r.Fatalf("after %v it still is to be played out at %v", e.now, e.PlayedOut())
			}
			e.Pull(e.PlayedOut(), keep)
		}
		checkNotes(r, in, out)
	})
}

// checkShifts asserts that notes come no earlier than the maximum deviation allows, and no later than the
// ensemble's, the player's own and a ritard as long as the lookahead do together.
func checkShifts(t failing, in []expr.Event, struck map[keyAt][]time.Duration, e *Engine) {
	nth := map[keyAt]int{}
	least, most := -e.time.most(), 2*e.time.most()
	switch {
	case e.cfg.Rubato == 0: // each player's own alone
		least = -min(e.time.most(), MaxOwnShift)
		most = e.time.most() - least
	case e.listener.Score.Loaded():
		most += e.cfg.Lookahead
	}
	for i := range in {
		if !in[i].IsNoteOn() {
			continue
		}
		k := keyOfEvent(&in[i])
		shift := struck[k][nth[k]] - in[i].At - e.cfg.Lookahead
		nth[k]++
		if shift < least || shift > most {
			t.Fatalf("%+v at %v is shifted by %v, and may be from %v to %v", k, in[i].At, shift, least, most)
		}
	}
}

// Who plays may change at any time.
func TestManyMusiciansChangePlaces(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := performable(compose(tunes().Draw(r, "tune")), true)
		cfg := anyFuture(r)
		e := assembled(t, cfg, musicians())
		anyScore(r, e, in)
		deeds := anyDeeds(r, len(in), musicians())
		out := act(e, in, deeds, 0, longTail)
		checkFaults(r, e)
		checkRaw(r, in, out, cfg.Lookahead)
		checkNotes(r, in, out)
	})
}

// So may the lookahead: all comes, in its order.
func TestManyMusiciansChangeTheirLookahead(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := performable(compose(tunes().Draw(r, "tune")), true)
		e := assembled(t, anyFuture(r), musicians())
		anyScore(r, e, in)
		var deeds []deed
		for range 3 {
			l := time.Duration(rapid.SampledFrom([]int{0, 0, 1, 500, 3000}).Draw(r, "then")) * exprtest.Thousandth
			deeds = append(deeds, deed{before: rapid.IntRange(0, len(in)).Draw(r, "before"), do: func(e *Engine) { e.SetLookahead(l) }})
		}
		out := act(e, in, deeds, 0, longTail)
		checkNotes(r, in, out)
		raw := slices.DeleteFunc(slices.Clone(out), func(ev expr.Event) bool { return ev.Side&expr.Raw == 0 })
		if len(raw) != len(in) {
			r.Fatalf("%d events in, %d raw ones out", len(in), len(raw))
		}
		for i := range raw {
			if string(raw[i].Bytes()) != string(in[i].Bytes()) || raw[i].At < in[i].At || raw[i].At > in[i].At+MaxLookahead {
				r.Fatalf("raw event %d: %v became %v", i, in[i], raw[i])
			}
		}
	})
}

// No note is ever louder than the raw one by more than the ceiling, at any moment, as its
// sampler would sound it.
func TestManyMusiciansKeepUnderTheCeiling(t *testing.T) {
	profiles := musicians()
	rapid.Check(t, func(r *rapid.T) {
		in := performable(compose(tunes().Draw(r, "tune")), false)
		e := assembled(t, anyFuture(r), profiles)
		anyScore(r, e, in)
		out := act(e, in, anyDeeds(r, len(in), nil), 0, longTail)
		var velocities = map[keyAt][]byte{} // of the raw notes, in order
		for i := range in {
			if in[i].IsNoteOn() {
				k := keyOfEvent(&in[i])
				velocities[k] = append(velocities[k], in[i].Msg[2])
			}
		}
		m := meter.New(2)
		for ch, p := range profiles {
			for port := range 2 {
				m.Seat(port, ch, p)
			}
		}
		sounding := map[keyAt]byte{}
		for i := range out {
			ev := &out[i]
			if ev.Side&expr.Shaped == 0 || !ev.IsChannel() {
				continue
			}
			m.Take(ev)
			if k := keyOfEvent(ev); ev.IsNoteOn() {
				sounding[k], velocities[k] = velocities[k][0], velocities[k][1:]
			} else if ev.IsNoteOff() {
				delete(sounding, k)
			}
			if ev.Msg[0]&0xF0 == 0xB0 && ev.Msg[1] == expr.CCReset {
				continue // our level comes after it
			}
			for k, velocity := range sounding {
				if k.port != ev.Port || k.ch != ev.Channel() || k.ch >= len(profiles) || profiles[k.ch] == nil {
					continue
				}
				if db, most := level(r, m, k), ceiling(profiles[k.ch], velocity); db > most {
					r.Fatalf("%+v sounds at %.2f dB at %v after % X; its velocity was %d and its ceiling is %.2f dB", k, db, ev.At, ev.Bytes(), velocity, most)
				}
			}
		}
	})
}

func level(t failing, m *meter.Meter, k keyAt) float64 {
	db, ok := m.KeyLevel(int(k.port), k.ch, k.key)
	if !ok {
		t.Fatalf("%+v does not sound", k)
	}
	return db
}

// ceiling is the most at which a note may sound. Where no controller makes up for it, half a
// step of velocity comes on top.
func ceiling(p *expr.Profile, velocity byte) float64 {
	most := expr.DefaultCeilingDB + 0.1
	if p.Sampler.Velocity == nil {
		return most
	}
	most += p.Sampler.Velocity.At(float64(velocity))
	if p.Sampler.Incoming.Level == expr.Leave {
		most = p.Sampler.Velocity.At(p.Sampler.Velocity.Invert(most) + 0.5)
	}
	return most
}

// The foot moves only where the notation does not, and never stays down.
func TestManyMusiciansFeet(t *testing.T) {
	moved := 0
	rapid.Check(t, func(r *rapid.T) {
		in := performable(compose(tunes().Draw(r, "tune")), true)
		e := assembled(t, anyFuture(r), musicians())
		anyScore(r, e, in)
		deeds := anyDeeds(r, len(in), musicians())
		moved += checkPedals(r, act(e, in, deeds, 0, longTail))
	})
	if moved == 0 {
		t.Error("no foot has moved: this tests nothing")
	}
}

// checkPedals returns how often a foot moved. The marks must be those of [performable].
func checkPedals(t failing, out []expr.Event) (moved int) {
	type channel struct {
		port uint16
		ch   int
	}
	latest, marked := map[channel]byte{}, map[channel]bool{}
	for i := range out {
		ev := &out[i]
		if ev.Side&expr.Shaped == 0 || !ev.IsChannel() || ev.Msg[0]&0xF0 != 0xB0 {
			continue
		}
		c := channel{ev.Port, ev.Channel()}
		switch {
		case ev.Msg[1] == expr.CCReset:
			marked[c] = false
		case ev.Msg[1] != expr.CCDamper:
		case ev.Msg[2] == markedUp || ev.Msg[2] == markedDown:
			if latest[c] == 64 || latest[c] == 127 {
				t.Fatalf("%+v: a mark comes at %v while the player's own foot is down", c, ev.At)
			}
			latest[c], marked[c] = ev.Msg[2], ev.Msg[2] == markedDown
		case marked[c]:
			t.Fatalf("%+v: the player moves the pedal to %d at %v, which is marked down", c, ev.Msg[2], ev.At)
		default:
			latest[c] = ev.Msg[2]
			moved++
		}
	}
	for c, value := range latest {
		if value == 64 || value == 127 {
			t.Fatalf("%+v: the foot stays down", c)
		}
	}
	return moved
}

// In one channel no note, neither its start nor its end, passes a message of another kind:
// a pedal that came in before a note's end catches it.
func TestManyMusiciansKeepTheOrderOfAChannel(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := performable(compose(tunes().Draw(r, "tune")), true)
		cfg := anyFuture(r)
		cfg.Habits = []expr.Habit{habits.Marks{}, habits.Together{}, habits.Rubato{}}
		e := assembled(t, cfg, musicians())
		anyScore(r, e, in)
		out := act(e, in, nil, 0, longTail)
		for port := range uint16(2) {
			for ch := range 16 {
				if a, b := between(in, port, ch, expr.Both), between(out, port, ch, expr.Shaped); !slices.Equal(a, b) {
					r.Fatalf("port %d channel %d: in\n%q\nout\n%q", port, ch, a, b)
				}
			}
		}
	})
}

// between lists the messages of a channel that are no notes and that no profile owns, each with
// the keys that are struck and let go before the next, in order of their numbers.
func between(events []expr.Event, port uint16, ch int, side expr.Side) (list []string) {
	var keys []byte
	close := func(with string) {
		slices.Sort(keys)
		list = append(list, fmt.Sprintf("%X %s", keys, with))
		keys = keys[:0]
	}
	for i := range events {
		ev := &events[i]
		if !ev.IsChannel() || ev.Port != port || ev.Channel() != ch || side == expr.Shaped && ev.Side&expr.Shaped == 0 {
			continue
		}
		switch kind := ev.Msg[0] & 0xF0; {
		case ev.IsNoteOn():
			keys = append(keys, ev.Msg[1])
		case ev.IsNoteOff():
			keys = append(keys, ev.Msg[1]|0x80)
		case kind == 0xC0 || kind == 0xD0 || kind == 0xA0 || kind == 0xB0 && ev.Msg[1] == expr.CCDamper:
			close(fmt.Sprintf("% X", ev.Bytes()))
		}
	}
	close("end")
	return list
}

// How often it is pulled changes nothing, nor does a second run.
func TestManyMusiciansAreDeterministic(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := performable(compose(tunes().Draw(r, "tune")), true)
		cfg := anyFuture(r)
		var s *expr.Score
		if rapid.Bool().Draw(r, "has a score") {
			s = written(in)
		}
		play := func(step time.Duration) string {
			e := assembled(t, cfg, musicians())
			e.Load(s)
			return text(act(e, in, nil, step, longTail))
		}
		want := play(0)
		for _, step := range []time.Duration{0, -1, exprtest.Thousandth, 3333 * time.Microsecond} {
			if got := play(step); got != want {
				r.Fatalf("pulled every %v it differs from pulled at each event:\n%s\nand\n%s", step, got, want)
			}
		}
	})
}

// Another seed is another performance, in its times alone: each note of a pianist has the velocity
// that it had. Without players who have a time of their own it is no other.
func TestManyMusiciansVaryInTimeAlone(t *testing.T) {
	var in []expr.Event
	for i := range 64 {
		at := time.Duration(i) * 150 * exprtest.Thousandth
		key := byte(60 + i*5%13)
		in = append(in, expr.Short(at, 0, 0x92, key, byte(60+i)), expr.Short(at+149*exprtest.Thousandth, 0, 0x82, key, 64))
	}
	play := func(seed uint64, habits []expr.Habit) (velocities []byte, times []time.Duration) {
		e := assembled(t, Config{Lookahead: time.Second, Rubato: 1, Seed: seed, Habits: habits, Sides: expr.Shaped}, musicians())
		for _, ev := range act(e, in, nil, 0, longTail) {
			if ev.IsNoteOn() {
				velocities, times = append(velocities, ev.Msg[2]), append(times, ev.At)
			}
		}
		return velocities, times
	}
	oneV, oneT := play(1, nil)
	twoV, twoT := play(2, nil)
	if !slices.Equal(oneV, twoV) {
		t.Errorf("another seed has other velocities: % X and % X", oneV, twoV)
	}
	if len(oneT) != 64 || slices.Equal(oneT, twoT) {
		t.Errorf("another seed has the same times: %v", oneT)
	}
	without := slices.DeleteFunc(habits.Usual(), func(h expr.Habit) bool { return h.About().Flag() == "together" })
	_, oneT = play(1, without)
	if _, twoT = play(2, without); !slices.Equal(oneT, twoT) {
		t.Errorf("without timing a seed says something: %v and %v", oneT, twoT)
	}
}
