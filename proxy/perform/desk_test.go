package perform

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"swellbox/expr"
	"swellbox/expr/channels"
	"swellbox/expr/engine"
	"swellbox/profiles"
)

const ms = time.Millisecond

func cast(t testing.TB) *Cast {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	return &Cast{Library: lib}
}

// recorder keeps what reaches the ports.
type recorder struct{ events []expr.Event }

func (r *recorder) take(e *expr.Event) { r.events = append(r.events, *e) }

// stageFor seats the named profiles on the first channels of each port.
func stageFor(t testing.TB, ports int, out func(*expr.Event), names ...string) *Stage {
	t.Helper()
	s := NewStage(cast(t), engine.Config{Ports: ports}, out)
	for port := range ports {
		for ch, name := range names {
			profile, err := s.cast.profile(name)
			if err != nil {
				t.Fatal(err)
			}
			part := Part{Name: name, Port: port, Channel: ch, Profile: name, Players: profile.Players}
			s.index[port*16+ch] = len(s.Parts)
			s.Parts = append(s.Parts, part)
			if err := s.Seat(port, ch, profile, 0); err != nil {
				t.Fatal(err)
			}
		}
	}
	return s
}

func short(at time.Duration, msg ...byte) expr.Event { return expr.Short(at, 0, msg...) }

// A switch in the middle of a note: the note keeps its one note-off, the
// controllers arrive at the other side's state, and no step of the level is
// steeper than 1 dB a millisecond.
func TestSwitchInMidNote(t *testing.T) {
	for _, first := range []expr.Side{expr.Shaped, expr.Raw} {
		var got recorder
		s := stageFor(t, 1, got.take, "violins")
		s.Switch(0, 0, first)
		s.Push(short(0, 0xB0, 11, 100))
		s.Push(short(0, 0x90, 67, 49))
		s.Pull(time.Second)
		second := expr.Both &^ first
		s.Switch(0, 0, second)
		s.Pull(1500 * ms)
		s.Push(short(1500*ms, 0x80, 67, 64))
		s.Push(short(1500*ms, 0x90, 69, 49))
		s.Push(short(2000*ms, 0x80, 69, 64))
		s.Pull(3 * time.Second) // a shaped note may end later than it came in

		ons, offs := map[byte]int{}, map[byte]int{}
		level, at := -1, time.Duration(0)
		var vibrato byte
		for i, e := range got.events {
			switch {
			case e.IsNoteOn():
				ons[e.Msg[1]]++
			case e.IsNoteOff():
				offs[e.Msg[1]]++
			case e.Msg[0] == 0xB0 && e.Msg[1] == 11:
				v := int(e.Msg[2])
				if e.At > time.Second && e.At < 1500*ms && level > 0 {
					elapsed := math.Max(float64(e.At-at)/float64(ms), 1)
					if step := math.Abs(decibels(v) - decibels(level)); step > elapsed*rampDBPerMS+0.4 {
						t.Errorf("%v: event %d jumps %.1f dB in %.1f ms", second, i, step, elapsed)
					}
				}
				level, at = v, e.At
			case e.Msg[0] == 0xB0 && e.Msg[1] == 1:
				vibrato = e.Msg[2]
			}
			if e.At < 1500*ms && e.At >= time.Second && second == expr.Raw && e.Msg[0] == 0xB0 && e.Msg[1] == 11 && e.Msg[2] > 100 {
				t.Errorf("expression %d goes past where raw has it, 100", e.Msg[2])
			}
		}
		for _, key := range []byte{67, 69} {
			if ons[key] != 1 || offs[key] != 1 {
				t.Errorf("to %v: key %d has %d note-ons and %d note-offs", second, key, ons[key], offs[key])
			}
		}
		if second == expr.Raw && (level != 100 || vibrato != 0) {
			t.Errorf("raw: expression ends at %d, vibrato at %d; want 100 and 0", level, vibrato)
		}
		if second == expr.Shaped && level >= 100 {
			t.Errorf("shaped: expression ends at %d", level)
		}
	}
}

// The sides end a note at different times where a player draws it over the next. Each
// ends once all the same, by the side on which it began, whenever the desk is switched.
func TestSwitchAmongDrawnNotes(t *testing.T) {
	const length, notes = 100 * ms, 8
	for _, first := range []expr.Side{expr.Shaped, expr.Raw} {
		drawn := 0
		for at := 10 * ms; at < notes*length; at += 10 * ms {
			var got recorder
			s := stageFor(t, 1, got.take, "violins")
			s.Switch(0, 0, first)
			switched := false
			for i := range time.Duration(notes) {
				if now := i * length; now >= at && !switched {
					s.Pull(at)
					s.Switch(0, 0, expr.Both&^first)
					switched = true
				}
				if i > 0 {
					s.Push(short(i*length, 0x80, 60+byte(i)-1, 64))
				}
				s.Push(short(i*length, 0x90, 60+byte(i), 80))
			}
			s.Push(short(notes*length, 0x80, 60+notes-1, 64))
			s.Pull(2 * time.Second)
			sounds := [128]int{}
			for _, e := range got.events {
				key := e.Msg[1]
				switch {
				case e.IsNoteOn():
					sounds[key]++
					if sounds[key-1] > 0 {
						drawn++
					}
				case e.IsNoteOff():
					sounds[key]--
				}
			}
			for key, n := range sounds {
				if n != 0 {
					t.Errorf("from %v, switched at %v: key %d is begun %d times more than ended", first, at, key, n)
				}
			}
		}
		if drawn == 0 {
			t.Error("no note was drawn over the next")
		}
	}
}

// What both sides hold on one key is ended on both.
func TestSameKeyHeldOnBothSides(t *testing.T) {
	var got recorder
	s := stageFor(t, 1, got.take, "violins")
	s.Push(short(0, 0x90, 67, 49))
	s.Pull(100 * ms)
	s.Switch(0, 0, expr.Raw)
	s.Push(short(100*ms, 0x90, 67, 49))
	s.Push(short(200*ms, 0x80, 67, 64))
	s.Push(short(300*ms, 0x80, 67, 64))
	s.Pull(time.Second)
	if n := s.Sounding(0, 0); n != 0 {
		t.Errorf("%d notes hang", n)
	}
}

// decode makes music out of any bytes, switches among it.
func decode(b []byte) (events []expr.Event, switches map[int]expr.Side) {
	at := time.Duration(0)
	switches = map[int]expr.Side{}
	for len(b) >= 4 {
		at += time.Duration(b[0]&0x1F) * ms
		if b[0] > 0xF4 {
			switches[len(events)] = expr.Side(1 + b[1]&1)
		}
		ch, key := b[1]&3, 60+b[2]&7
		e := short(at, 0x80|b[1]&0x60|ch, b[2]&0x7F, b[3]&0x7F)
		switch {
		case b[0]&0x20 != 0 && b[3]&1 == 0:
			e = short(at, 0x80|ch, key, 64)
		case b[0]&0x20 != 0:
			e = short(at, 0x90|ch, key, b[3]&0x7F)
		case e.Msg[0]&0xF0 == 0xC0:
			e.Len = 2
		}
		e.Port = uint16(b[1] >> 7)
		events = append(events, e)
		b = b[4:]
	}
	return events, switches
}

// For any stream, with switches anywhere: after the notes are ended every note-on
// has its note-off, and after leaving every controller stands where the raw side has it.
func TestNothingHangs(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		events, switches := decode(rapid.SliceOfN(rapid.Byte(), 0, 1200).Draw(rt, "stream"))
		panics := rapid.Bool().Draw(rt, "panics")
		var got recorder
		s := stageFor(t, 2, got.take, "violins", "trumpet", "piano", "plain")
		now := time.Duration(0)
		for i, e := range events {
			if side, ok := switches[i]; ok {
				s.Pull(e.At)
				for ch := range 4 {
					s.Switch(int(e.Port), ch, side)
				}
			}
			s.Push(e)
			s.Pull(e.At)
			now = e.At
		}
		if panics {
			s.Panic()
		} else {
			s.Leave()
		}
		s.Pull(now + time.Second)
		type key struct {
			port uint16
			ch   int
			key  byte
		}
		held := map[key]int{}
		for _, e := range got.events {
			k := key{e.Port, e.Channel(), e.Msg[1]}
			switch {
			case e.IsNoteOn():
				held[k]++
			case e.IsNoteOff() && held[k] > 0:
				held[k]--
			}
		}
		for k, n := range held {
			if n > 0 {
				rt.Fatalf("%+v: %d notes hang", k, n)
			}
		}
		if panics {
			return
		}
		if !s.Left() {
			rt.Fatal("the ramps do not end")
		}
		for i := range s.desk.strips {
			strip := &s.desk.strips[i]
			raw, out := &strip.said[0], &strip.out
			for n := range ccSoundOff {
				if channels.IsParameter(n) || n >= ccDamper && n <= ccHold2 && n != 65 {
					continue
				}
				if raw.Told(n) != out.Told(n) {
					rt.Fatalf("channel %d controller %d stands at %d, raw has %d", i, n, out.Told(n), raw.Told(n))
				}
			}
			if raw.Bend() != out.Bend() {
				rt.Fatalf("channel %d is bent to %d, raw has %d", i, out.Bend(), raw.Bend())
			}
		}
	})
}

// A player that was away is told everything again: what a fresh listener hears of
// Restore is the state the old one had.
func TestRestoreTellsEverything(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		events, _ := decode(rapid.SliceOfN(rapid.Byte(), 0, 800).Draw(rt, "stream"))
		var got recorder
		s := stageFor(t, 2, got.take, "violins", "trumpet", "piano", "plain")
		for _, e := range events {
			s.Push(e)
			s.Pull(e.At)
		}
		got.events = nil
		s.Restore(1)
		var fresh [16]channels.State
		for i := range fresh {
			fresh[i].Clear(expr.Rest)
		}
		for i := range got.events {
			e := &got.events[i]
			if e.Port != 1 || e.IsNoteOn() || e.IsNoteOff() {
				rt.Fatalf("unwanted: %v", *e)
			}
			fresh[e.Channel()].Take(e)
		}
		for ch := range fresh {
			want, have := &s.desk.strips[16+ch].out, &fresh[ch]
			for n := range ccSoundOff {
				if !channels.IsParameter(n) && want.Said(n) != have.Said(n) {
					rt.Fatalf("channel %d controller %d: %d, want %d", ch, n, have.Said(n), want.Said(n))
				}
			}
			if !want.Same(have) {
				rt.Fatalf("channel %d: %+v, want %+v", ch, have, want)
			}
		}
	})
}

// A pedal that was lifted for an input that is gone stays up at a later switch.
func TestLiftedPedalStaysUp(t *testing.T) {
	for name, lift := range map[string]func(*Stage){
		"released": func(s *Stage) { s.Release(0) },
		"panic":    func(s *Stage) { s.Panic() },
	} {
		for _, pedal := range pedals {
			var got recorder
			s := stageFor(t, 1, got.take, "piano")
			s.Push(short(0, 0xB0, pedal, 127))
			s.Pull(10 * ms)
			lift(s)
			got.events = nil
			s.Switch(0, 0, expr.Raw)
			s.Pull(time.Second)
			s.Switch(0, 0, expr.Shaped)
			s.Pull(2 * time.Second)
			for _, e := range got.events {
				if e.Msg[0] == 0xB0 && e.Msg[1] == pedal && e.Msg[2] > 0 {
					t.Errorf("%s: controller %d is pressed again by a switch", name, pedal)
				}
			}
		}
	}
}

func TestPanicSilencesByEveryMeans(t *testing.T) {
	var got recorder
	s := stageFor(t, 1, got.take, "piano")
	s.Push(short(0, 0xB0, 64, 127))
	s.Push(short(0, 0x90, 60, 80))
	s.Pull(10 * ms)
	got.events = nil
	s.Panic()
	want := map[[3]byte]bool{
		{0x80, 60, 64}: true, {0xB0, 64, 0}: true, {0xB0, 123, 0}: true, {0xB0, 120, 0}: true,
		{0xBF, 123, 0}: true, {0xBF, 120, 0}: true,
	}
	for _, e := range got.events {
		delete(want, e.Msg)
	}
	if len(want) > 0 {
		t.Errorf("not sent: %v", want)
	}
}

// Matched, the raw side stands under its own level by what it is lowered, also when
// the notation program moves the volume, and gets its own back at the end.
func TestMatchedLevels(t *testing.T) {
	var got recorder
	s := stageFor(t, 1, got.take, "plain")
	s.MatchLevels(6)
	volume := func() int {
		v := 100 // General MIDI's, if nothing was said
		for _, e := range got.events {
			if e.Msg[0] == 0xB0 && e.Msg[1] == ccVolume {
				v = int(e.Msg[2])
			}
		}
		return v
	}
	want := func(what string, value int, lowered float64) {
		t.Helper()
		if is := decibels(volume()) - decibels(value); math.Abs(is+lowered) > 0.3 {
			t.Errorf("%s: volume %d is %.1f dB re %d, want %.1f", what, volume(), is, value, -lowered)
		}
	}
	s.Push(short(0, 0x90, 60, 80))
	s.Pull(10 * ms)
	want("shaped", 100, 0)
	s.Switch(0, 0, expr.Raw)
	s.Pull(time.Second)
	want("raw", 100, 6)
	s.Push(short(time.Second, 0xB0, ccVolume, 64))
	s.Pull(1100 * ms)
	want("raw, moved", 64, 6)
	s.Switch(0, 0, expr.Shaped)
	s.Pull(2 * time.Second)
	want("shaped again", 64, 0)
	s.Switch(0, 0, expr.Raw)
	s.Pull(3 * time.Second)
	s.Leave()
	s.Pull(4 * time.Second)
	want("left", 64, 0)
}
