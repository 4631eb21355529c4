package audition

import (
	"fmt"
	"math"
	"testing"

	"swellbox/expr"
)

const a4 = 440

// trace is a violin's A4 in cents about 440 Hz, from 500 ms on.
func trace(t *testing.T, before ...expr.Event) []float64 {
	x := hear(t, solo("violin"), 3000, append(before, send(0, 0x90, 69, 90))...)
	_, cents := follow(between(x, 500, 2900), a4)
	return cents
}

func TestManyVibratoDepths(t *testing.T) {
	for _, c := range []struct{ n, v, want float64 }{
		{1, 0, 0}, {1, 32, 25.2}, {1, 64, 50.4}, {1, 127, 100}, {77, 64, 0}, {77, 0, 0}, {77, 96, 100 * 32. / 63}, {77, 127, 100},
	} {
		lo, hi := span(trace(t, send(0, 0xB0, byte(c.n), byte(c.v))))
		near(t, fmt.Sprintf("vibrato with controller %g at %g, cents", c.n, c.v), hi-lo, c.want, .5+.02*c.want)
		near(t, "the middle of it, cents", (hi+lo)/2, 0, 1)
	}
}

func TestVibratoRate(t *testing.T) {
	for _, c := range []struct {
		v    byte
		want float64
	}{{0, 4}, {64, 6}, {96, 7}, {112, 7.5}} {
		cents := trace(t, send(0, 0xB0, 1, 64), send(0, 0xB0, 76, c.v))
		first, last, cycles := 0, 0, -1.0
		for i := 1; i < len(cents); i++ {
			if cents[i-1] < 0 && cents[i] >= 0 {
				if cycles++; cycles == 0 {
					first = i
				}
				last = i
			}
		}
		near(t, fmt.Sprintf("rate with controller 76 at %d, Hz", c.v), cycles*SampleRate/float64(last-first), c.want, .05)
	}
}

func TestNoVibratoWhereThereIsNone(t *testing.T) {
	x := hear(t, solo("clarinet"), 2000, send(0, 0xB0, 1, 127), send(0, 0x90, 69, 90))
	_, cents := follow(between(x, 500, 1900), a4)
	lo, hi := span(cents)
	near(t, "a clarinet's vibrato, cents", hi-lo, 0, .5)
}

func TestPitchBend(t *testing.T) {
	rpn := func(semitones, cents byte) []expr.Event {
		return []expr.Event{send(0, 0xB0, 101, 0), send(0, 0xB0, 100, 0), send(0, 0xB0, 6, semitones), send(0, 0xB0, 38, cents),
			send(0, 0xB0, 101, 127), send(0, 0xB0, 100, 127), send(0, 0xB0, 6, 5)} // the last one is for no parameter
	}
	for _, c := range []struct {
		what   string
		within []expr.Event
		bend   int
		want   float64
	}{
		{"the range at the start", nil, 8192 + 2048, 50},
		{"a range of one semitone", rpn(1, 0), 8192 - 4096, -50},
		{"a range of half a semitone", rpn(0, 50), 0, -50},
	} {
		bend := send(0, 0xE0, byte(c.bend&0x7F), byte(c.bend>>7))
		lo, hi := span(trace(t, append(c.within, bend)...))
		near(t, c.what+", lowest, cents", lo, c.want, .5)
		near(t, c.what+", highest, cents", hi, c.want, .5)
	}
	for _, name := range []string{"piano", "timpani"} {
		x := hear(t, solo(name), 1000, send(0, 0x90, 69, 90), send(100, 0xE0, 0, 0x50))
		_, cents := follow(between(x, 200, 700), a4)
		near(t, name+" bent, cents", cents[len(cents)/2], 50, 1)
	}
}

// What is not a multiple of the fundamental was folded down at the Nyquist
// frequency or came from the tables.
func TestNoAliases(t *testing.T) {
	for _, c := range []struct {
		name string
		key  byte
		span byte // semitones of bend, all of it used
	}{
		{"violin", 100, 0}, {"piccolo", 108, 0}, {"trumpet", 96, 2}, {"violin", 108, 12}, {"oboe", 103, 24}, {"violin", 127, 24}, {"cello", 40, 0},
	} {
		x := hear(t, solo(c.name), 1300, send(0, 0xB0, 101, 0), send(0, 0xB0, 100, 0), send(0, 0xB0, 6, c.span),
			send(0, 0xE0, 127, 127), send(0, 0xB0, 74, 127), send(0, 0x90, c.key, 127))
		p := spectrumOf(between(x, 400, 1200))
		_, highest := reach(keyHz(float64(c.key)), float64(c.span))
		f := keyHz(float64(c.key) + min(highest, float64(c.span)*8191/8192))
		all, stray := 0.0, 0.0
		for i, v := range p {
			all += v
			k := float64(int(float64(i)*binHz/f + .5))
			if k == 0 || math.Abs(float64(i)-k*f/binHz) > 6 {
				stray += v
			}
		}
		if d := toDB(stray / all); !(d < -70) {
			t.Errorf("%s, key %d bent by %d: %.1f dB lie between the partials, want under -70", c.name, c.key, c.span, d)
		}
	}
}
