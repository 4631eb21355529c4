package beat

import (
	"math/rand/v2"
	"testing"
	"time"
)

// desk plays messages to a transport and asks what held for each note.
type desk struct {
	t         *testing.T
	transport *Transport
	at        time.Duration
}

func newDesk(t *testing.T) *desk { return &desk{t: t, transport: NewTransport(2)} }

func (d *desk) send(msg ...byte) State { return d.transport.Take(d.at, 0, msg) }
func (d *desk) wait(by time.Duration)  { d.at += by }

// click sounds a note of a channel for a time, at once.
func (d *desk) click(channel byte, length time.Duration) State {
	s := d.send(noteOn|channel, 60, 80)
	d.at += length
	d.send(noteOff|channel, 60, 64)
	return s
}

func (d *desk) want(want State, why Reason, what string) {
	d.t.Helper()
	if got, reason := d.transport.State(d.at); got != want || reason != why {
		d.t.Errorf("%s, at %v: %v (%s), want %v (%s)", what, d.at, got, reason, want, why)
	}
}

func (d *desk) wantNote(got, want State, what string) {
	d.t.Helper()
	if got != want {
		d.t.Errorf("%s, at %v: the note was heard as %v, want %v", what, d.at, got, want)
	}
}

// setUp is what a program sends before it plays on some channels.
func (d *desk) setUp(channels ...byte) {
	for _, c := range channels {
		d.send(control|c, 0, 0)
		d.send(program|c, 40)
		d.send(control|c, 7, 100)
		d.wait(ms)
	}
}

// line plays a regular line and returns how many of its notes ran.
func (d *desk) line(channel byte, n int, beat time.Duration) (ran int) {
	for range n {
		if d.click(channel, beat*9/10) == Runs {
			ran++
		}
		d.wait(beat / 10)
	}
	return ran
}

func TestTransport(t *testing.T) {
	const s = time.Second
	for name, scene := range map[string]func(d *desk){
		"nothing": func(d *desk) {
			d.want(Stands, Silence, "at first")
			d.wait(time.Hour)
			d.want(Stands, Silence, "later")
		},
		"tried by clicks": func(d *desk) {
			for _, gap := range []time.Duration{700, 1130, 480, 260, 900, 1900, 3200, 611, 333, 478, 5300, 402} {
				d.wantNote(d.click(3, 250*ms), Stands, "click")
				d.want(Stands, SingleNotes, "click")
				d.wait(gap * ms)
			}
		},
		"typed one by one": func(d *desk) {
			rng := rand.New(rand.NewPCG(5, 6))
			ran := 0
			for range 400 { // half to two seconds apart, as fingers are
				if d.click(0, 200*ms) == Runs {
					ran++
				}
				d.wait(300*ms + time.Duration(rng.Int64N(int64(1500*ms))))
				d.transport.Take(d.at, 0, []byte{control, ccDamper, 127})
			}
			if ran > 4 {
				t.Errorf("%d of 400 irregular notes ran", ran)
			}
		},
		"a chord is tried": func(d *desk) {
			for range 3 {
				for key := range byte(14) {
					d.wantNote(d.send(noteOn, 40+3*key, 80), Stands, "chord")
					d.wait(ms)
				}
				d.wait(600 * ms)
				for key := range byte(14) {
					d.send(noteOn, 40+3*key, 0)
				}
				d.wait(970 * ms)
			}
		},
		"a chord is rolled by hand": func(d *desk) {
			for key := range byte(20) {
				d.wantNote(d.send(noteOn, 40+3*key, 80), Stands, "roll")
				d.wait(40 * ms)
			}
		},
		"bend, pedal and modulation come with a single note": func(d *desk) {
			d.send(bend, 0, 64)
			d.send(control, ccModulation, 3)
			d.send(control, ccDamper, 127)
			d.send(pressure, 3)
			d.wantNote(d.click(0, 300*ms), Stands, "note")
		},
		"a solo line is played back without set-up": func(d *desk) {
			if ran := d.line(0, 20, 500*ms); ran != 17 {
				t.Errorf("%d of 20 notes ran, want all from the fourth on", ran)
			}
			d.want(Runs, MusicPlays, "solo")
			d.wait(4 * s)
			d.want(Stands, Silence, "after the end")
			d.wantNote(d.click(0, s), Stands, "tried afterwards")
		},
		"a dotted line is played back without set-up": func(d *desk) {
			for _, l := range []time.Duration{750, 250, 500} {
				d.wantNote(d.click(0, l*ms), Stands, "dotted")
			}
			d.wantNote(d.click(0, 500*ms), Runs, "dotted")
		},
		"a solo line is played back with set-up": func(d *desk) {
			d.setUp(0)
			if ran := d.line(0, 8, 800*ms); ran != 8 {
				t.Errorf("%d of 8 notes ran", ran)
			}
		},
		"set-up too early": func(d *desk) {
			d.setUp(0)
			d.wait(600 * ms)
			d.wantNote(d.click(0, s), Stands, "note")
		},
		"each tried note comes with its program": func(d *desk) {
			d.setUp(2)
			d.wantNote(d.click(2, s), Runs, "the first cannot be told")
			for range 3 {
				d.wait(5 * s)
				d.setUp(4)
				d.wantNote(d.click(4, s), Stands, "the next can")
			}
			d.wait(5 * s)
			d.setUp(1, 2)
			d.wantNote(d.click(1, s), Runs, "set-up of two channels")
		},
		"the mixer is moved between tried notes": func(d *desk) {
			d.click(0, 500*ms)
			d.wait(900 * ms)
			d.send(control|3, 7, 90)
			d.wait(50 * ms)
			d.wantNote(d.click(0, 500*ms), Stands, "note")
		},
		"a song position comes first": func(d *desk) {
			d.click(0, 500*ms)
			d.wait(300 * ms)
			d.send(songPosition, 0, 1)
			d.wantNote(d.click(0, 500*ms), Runs, "note")
		},
		"a tutti": func(d *desk) {
			d.wantNote(d.send(noteOn, 60, 80), Stands, "the first cannot be told")
			d.wait(ms)
			for c := byte(1); c < 16; c++ {
				d.wantNote(d.send(noteOn|c, 60, 80), Runs, "tutti")
			}
			d.wait(20 * s)
			d.want(Runs, MusicPlays, "a long chord")
			d.wait(10 * s)
			d.want(Stands, Silence, "a chord that hangs")
		},
		"general pause": func(d *desk) {
			d.setUp(0, 1)
			d.line(0, 4, 500*ms)
			d.wait(3 * s)
			d.want(Runs, MusicPlays, "in the pause")
			d.wantNote(d.click(0, s), Runs, "after the pause")
		},
		"cut off, then tried": func(d *desk) {
			d.setUp(0, 1)
			d.line(0, 4, 500*ms)
			d.send(noteOn, 60, 80)
			for c := range byte(16) {
				d.send(control|c, ccAllNotesOff, 0)
			}
			d.want(Stands, Stopped, "cut")
			d.wait(700 * ms)
			d.wantNote(d.click(0, s), Stands, "tried")
		},
		"a solo is cut off": func(d *desk) {
			d.setUp(5)
			d.line(5, 6, 500*ms)
			d.send(control|5, ccAllSoundOff, 0)
			d.want(Stands, Stopped, "cut")
		},
		"one channel of several is cut off": func(d *desk) {
			d.setUp(0, 1)
			d.line(0, 4, 500*ms)
			d.line(1, 4, 500*ms)
			d.send(control, ccAllNotesOff, 0)
			d.want(Runs, MusicPlays, "cut")
		},
		"a loop": func(d *desk) {
			d.setUp(0, 1)
			for range 3 {
				if ran := d.line(0, 5, 500*ms); ran != 5 {
					t.Errorf("%d of 5 notes ran", ran)
				}
				d.send(control, ccAllNotesOff, 0)
				d.send(control|1, ccAllNotesOff, 0)
				d.want(Stands, Stopped, "cut")
				d.wait(20 * ms)
			}
		},
		"the clock alone": func(d *desk) {
			for range 100 {
				d.send(timingClock)
				d.wait(20 * ms)
			}
			d.wantNote(d.click(0, s), Stands, "note")
			d.wait(3 * s)
			d.send(timingClock)
			d.want(Stands, SingleNotes, "a clock")
			d.wait(s)
			d.want(Stands, Silence, "the clock breaks no silence")
		},
		"played back with start and stop": func(d *desk) {
			d.send(start)
			d.want(Runs, ClockRuns, "start")
			d.wait(20 * s)
			d.wantNote(d.click(0, s), Runs, "one note")
			d.wait(20 * s)
			d.want(Runs, ClockRuns, "a long rest")
			d.send(stop)
			d.want(Stands, Stopped, "stop")
			d.send(noteOn, 60, 80)
			d.wantNote(d.send(noteOn|1, 60, 80), Stands, "a chord is tried on two channels")
			d.wait(s)
			d.setUp(0, 1)
			d.wantNote(d.click(0, s), Stands, "tried after set-up")
			d.send(goOn)
			d.want(Runs, ClockRuns, "continue")
			d.send(reset)
			d.want(Stands, Stopped, "reset")
		},
		"a program with a start goes away": func(d *desk) {
			d.send(start)
			for range 3000 {
				d.send(timingClock)
				d.wait(20 * ms)
			}
			d.want(Runs, ClockRuns, "a minute of rests")
			d.wait(30 * s)
			d.want(Stands, Silence, "gone")
			d.setUp(0, 1)
			d.wantNote(d.click(0, s), Runs, "another program")
		},
		"a program without a start follows one with it": func(d *desk) {
			d.send(start)
			d.send(stop)
			d.wait(10 * s)
			if ran := d.line(0, 8, 500*ms); ran != 5 {
				t.Errorf("%d of 8 notes ran, want all from the fourth on", ran)
			}
		},
		"a stop without a start": func(d *desk) {
			d.setUp(0, 1)
			d.line(0, 4, 500*ms)
			d.send(stop)
			d.want(Stands, Stopped, "stop")
			d.wait(s)
			d.setUp(0, 1)
			d.wantNote(d.click(0, s), Runs, "the next playing")
		},
		"a file's meta event": func(d *desk) {
			d.send(start)
			d.send(reset, 0x51, 3, 7, 161, 32)
			d.want(Runs, ClockRuns, "tempo")
		},
	} {
		t.Run(name, func(t *testing.T) { scene(newDesk(t)) })
	}
}

// A port beyond those asked for is heard like another, except that its notes' ends are
// not known.
func TestTransportOfAnotherPort(t *testing.T) {
	tr := NewTransport(1)
	for i := range 3 {
		if tr.Take(time.Duration(i)*500*ms, 7, []byte{noteOn, 60, 80}) != Stands {
			t.Errorf("note %d ran", i)
		}
	}
	if tr.Take(1500*ms, 7, []byte{noteOn, 60, 80}) != Runs {
		t.Error("the fourth note did not run")
	}
	if tr.Take(2*time.Second, -1, []byte{noteOn, 60, 80}) != Runs {
		t.Error("a port that there is not changed it")
	}
}

func FuzzTransport(f *testing.F) {
	seeds := [][]byte{
		{50, 0x90, 60, 80, 50, 0x91, 60, 80, 50, 0xFA, 0, 0, 250, 0xFC, 0, 0},
		{0, 0xC0, 1, 1, 1, 0x90, 60, 80, 1, 0xB0, 123, 0, 1, 0xB1, 123, 0, 9, 0xFF, 0, 0, 255, 0xF8, 0, 0},
	}
	for _, s := range seeds {
		f.Add(s)
	}
	if len(seeds) == 0 {
		f.Fatal("no seeds")
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		a, b := NewTransport(1), NewTransport(1)
		var at time.Duration
		for ; len(in) >= 4; in = in[4:] {
			at += time.Duration(in[0]) * 20 * ms
			msg := in[1:4]
			switch {
			case msg[0]&0xF0 == program || msg[0]&0xF0 == pressure:
				msg = msg[:2]
			case msg[0] > songPosition:
				msg = msg[:1]
			}
			state := a.Take(at, 0, msg)
			if b.Take(at, 0, msg) != state {
				t.Fatal("two transports differ")
			}
			now, why := a.State(at)
			if now != state || why == "" {
				t.Fatalf("%v is told, %v (%s) holds", state, now, why)
			}
			if why == ClockRuns && state != Runs || (why == Stopped || why == SingleNotes) && state != Stands {
				t.Fatalf("%v for %s", state, why)
			}
			if a.down.sounding < 0 || a.down.sounding > 16*128 {
				t.Fatalf("%d notes sound", a.down.sounding)
			}
			if state, _ := a.State(at + time.Hour); state != Stands {
				t.Fatal("it runs for an hour without input")
			}
		}
	})
}

func BenchmarkTransport(b *testing.B) {
	tr := NewTransport(16)
	on, off := []byte{noteOn, 60, 80}, []byte{noteOn, 60, 0}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		at := time.Duration(i) * 50 * ms
		tr.Take(at, i&15, on)
		tr.Take(at+20*ms, i&15, off)
	}
}
