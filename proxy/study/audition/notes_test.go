package audition

import (
	"math"
	"testing"

	"swellbox/expr"
)

// silentDB is what counts as nothing: 16 bits do not hold it.
const silentDB = -100

// sounds tells whether there is anything between two times, in ms.
func sounds(x []float64, from, to float64) bool { return power(between(x, from, to)) > silentDB }

func TestWhatEndsANote(t *testing.T) {
	on, off := send(0, 0x90, 60, 100), send(1000, 0x80, 60, 0)
	pedal := func(ms float64, v byte) expr.Event { return send(ms, 0xB0, 64, v) }
	mode := func(ms float64, n byte) expr.Event { return send(ms, 0xB0, n, 0) }
	for _, c := range []struct {
		what   string
		events []expr.Event
		ends   float64 // ms, about; past 4000 it does not
	}{
		{"a note-off", []expr.Event{on, off}, 1000},
		{"a note-on of velocity 0", []expr.Event{on, send(1000, 0x90, 60, 0)}, 1000},
		{"a note-off of another key", []expr.Event{on, send(1000, 0x80, 61, 0)}, 9999},
		{"a note-off under the pedal", []expr.Event{pedal(0, 127), on, off}, 9999},
		{"the pedal's end", []expr.Event{pedal(0, 64), on, off, pedal(2000, 63)}, 2000},
		{"the pedal's end while the key is down", []expr.Event{pedal(0, 64), on, pedal(500, 0), off}, 1000},
		{"all sound off, pedal or not", []expr.Event{pedal(0, 127), on, mode(1000, 120)}, 1000},
		{"all notes off", []expr.Event{on, mode(1000, 123)}, 1000},
		{"poly mode on, which implies it", []expr.Event{on, mode(1000, 127)}, 1000},
		{"all notes off under the pedal", []expr.Event{pedal(0, 127), on, mode(1000, 123)}, 9999},
		{"a reset lifts the pedal", []expr.Event{pedal(0, 127), on, off, mode(2000, 121)}, 2000},
		{"a reset leaves a note alone", []expr.Event{on, mode(500, 121), off}, 1000},
	} {
		x := hear(t, solo("flute"), 4000, c.events...)
		if end := min(c.ends, 3900); !sounds(x, end-50, end) {
			t.Errorf("%s: silent before %g ms", c.what, end)
		}
		if c.ends < 4000 && sounds(x, c.ends+600, 3900) {
			t.Errorf("%s: still sounding 600 ms after %g ms", c.what, c.ends)
		}
	}
}

func TestSamePitchTwice(t *testing.T) {
	x := hear(t, solo("flute"), 4000, send(0, 0x90, 60, 100), send(500, 0x90, 60, 100), send(1000, 0x80, 60, 0), send(2000, 0x80, 60, 0))
	if !sounds(x, 1900, 2000) {
		t.Error("one note-off has ended two notes")
	}
	if sounds(x, 2600, 3900) {
		t.Error("two note-offs have left a note of two")
	}
	x = hear(t, solo("piano"), 4000, send(0, 0x90, 60, 100), send(500, 0x90, 60, 100), send(1000, 0x80, 60, 0), send(1000, 0x80, 60, 0))
	if sounds(x, 2600, 3900) {
		t.Error("two note-offs have left a struck note of two")
	}
}

func TestResetControllers(t *testing.T) {
	level := func(events ...expr.Event) float64 {
		return power(between(hear(t, solo("flute"), 1500, append(events, send(10, 0x90, 72, 100))...), 500, 1400))
	}
	plain := level()
	near(t, "level after expression 30 and a reset", level(send(0, 0xB0, 11, 30), send(1, 0xB0, 121, 0)), plain, .1)
	near(t, "level after volume 50 and a reset", level(send(0, 0xB0, 7, 50), send(1, 0xB0, 121, 0)), plain+40*math.Log10(50./100), .2)
	lo, hi := span(trace(t, send(0, 0xB0, 1, 127), send(0, 0xE0, 0, 127), send(0, 0xB0, 121, 0)))
	near(t, "pitch after modulation, bend and a reset, lowest", lo, 0, .5)
	near(t, "highest", hi, 0, .5)
	// RP-015 leaves the bend's range as it was, and no parameter selected.
	lo, _ = span(trace(t, send(0, 0xB0, 101, 0), send(0, 0xB0, 100, 0), send(0, 0xB0, 6, 1), send(0, 0xB0, 121, 0),
		send(0, 0xB0, 6, 2), send(0, 0xE0, 0, 96)))
	near(t, "half a bend in the range of before, cents", lo, 50, .5)
}

// A click is a step from frame to frame that the note itself does not make.
func TestNoClicks(t *testing.T) {
	for _, name := range sustained {
		key := byte(find(name, "").middle)
		x := hear(t, solo(name), 2500, send(50, 0x90, key, 100), send(600, 0xB0, 11, 20), send(900, 0xB0, 11, 127), send(1100, 0xB0, 74, 127),
			send(1300, 0xB0, 74, 64), send(1500, 0x80, key, 0))
		steady := jump(between(x, 350, 590))
		for _, c := range []struct {
			what     string
			from, to float64
		}{{"at its start", 45, 200}, {"where expression falls", 595, 800}, {"where expression rises", 895, 1050}, {"at its end", 1480, 2500}} {
			if j := jump(between(x, c.from, c.to)); j > 1.15*steady {
				t.Errorf("%s jumps by %.4f %s, against %.4f when held", name, j, c.what, steady)
			}
		}
	}
	for _, name := range []string{"flute", "piano", "timpani", "double bass"} {
		key := byte(find(name, "").middle)
		x := hear(t, solo(name), 1500, send(0, 0x90, key, 127), send(500, 0xB0, 7, 10), send(1000, 0xB0, 120, 0))
		steady := jump(between(x, 300, 499))
		if j := jump(between(x, 495, 600)); j > 1.15*steady {
			t.Errorf("%s jumps by %.4f where its volume falls, against %.4f before", name, j, steady)
		}
		if j := jump(between(x, 990, 1500)); j > 1.15*steady {
			t.Errorf("%s jumps by %.4f where all sound ends, against %.4f before", name, j, steady)
		}
	}
}

func TestStruckNotesDecay(t *testing.T) {
	for _, name := range []string{"piano", "harp", "timpani", "glockenspiel", "celesta", "vibraphone", "marimba", "xylophone", "tubular bells"} {
		key := byte(find(name, "").middle)
		x := hear(t, solo(name), 2000, send(0, 0x90, key, 100))
		for from := 20.0; from < 1700; from += 300 {
			early, late := power(between(x, from, from+100)), power(between(x, from+200, from+300))
			if early > silentDB && late > early-.3 {
				t.Errorf("%s is at %.1f dB %.0f ms after its start and at %.1f dB 200 ms later", name, early, from, late)
			}
		}
	}
}

// More notes than a part can hold are silenced, not stacked up.
func TestManyNotesAtOnce(t *testing.T) {
	var events []expr.Event
	for range 200 {
		for key := range byte(128) {
			events = append(events, send(10, 0x90, key, 127))
		}
	}
	for _, name := range []string{"flute", "piano", "tubular bells", "percussion"} {
		p := newPlayer(solo(name), 0)
		for _, e := range events {
			if p.take(e.Msg); len(p.voices) > 2*maxVoices+1 { // a stroke may be of two sounds
				t.Fatalf("%s: %d voices at once", name, len(p.voices))
			}
		}
		if x := hear(t, solo(name), 1500, append(events, send(1000, 0xB0, 120, 0))...); sounds(x, 1100, 1400) {
			t.Errorf("%s sounds on after all sound off", name)
		}
	}
}

// Bytes that are not MIDI, and what is not a channel message, make no sound.
func TestRubbish(t *testing.T) {
	events := []expr.Event{{Data: []byte{0x90, 60, 100}}, {}}
	for status := range 256 {
		for _, b := range []byte{0x80, 0xFF} {
			events = append(events, send(0, byte(status), b, 100), send(0, byte(status), 60, b), send(0, byte(status), b))
		}
		events = append(events, send(0, byte(status)))
	}
	for _, name := range []string{"flute", "piano", "percussion"} {
		if j := jump(hear(t, solo(name), 300, events...)); j != 0 {
			t.Errorf("%s moves by %g", name, j)
		}
	}
}
