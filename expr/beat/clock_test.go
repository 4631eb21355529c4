package beat

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

const ms = time.Millisecond

// sender is a program that sends its clock.
type sender struct {
	clock Clock
	at    time.Duration
}

func (s *sender) send(msg ...byte) { s.clock.Take(s.at, msg) }

// clocks sends n of them, each a period after the one before.
func (s *sender) clocks(n int, period time.Duration) {
	for range n {
		s.at += period
		s.send(timingClock)
	}
}

func wantBeat(t *testing.T, c *Clock, at time.Duration, want, tolerance float64) {
	t.Helper()
	got, sure, ok := c.Beat(at)
	if !ok || math.Abs(got-want) > tolerance {
		t.Errorf("at %v: beat %.4f (sure %.2f, known %v), want %.4f", at, got, sure, ok, want)
	}
}

func wantNoBeat(t *testing.T, c *Clock, at time.Duration) {
	t.Helper()
	if got, sure, ok := c.Beat(at); ok || sure != 0 {
		t.Errorf("at %v: beat %.4f (sure %.2f, known %v), want none", at, got, sure, ok)
	}
}

// 125 quarters a minute: a clock each 20 ms.
const tick = 20 * ms

func TestClockCounts(t *testing.T) {
	var s sender
	wantNoBeat(t, &s.clock, 0)
	s.send(start)
	wantBeat(t, &s.clock, s.at, 0, 0)
	s.clocks(1, tick)
	wantBeat(t, &s.clock, s.at, 0, 0)
	s.clocks(24, tick)
	wantBeat(t, &s.clock, s.at, 1, 1e-9)
	wantBeat(t, &s.clock, s.at+tick/2, 1+0.5/24, 1e-9)
	if bpm, ok := s.clock.Tempo(s.at); !ok || math.Abs(bpm-125) > 1e-6 {
		t.Errorf("tempo %v, %v, want 125", bpm, ok)
	}
	wantBeat(t, &s.clock, s.at+3*tick, 1+3.0/24, 1e-9)
	wantNoBeat(t, &s.clock, s.at+4*tick)
	if _, ok := s.clock.Tempo(s.at + 4*tick); ok {
		t.Error("a tempo without a clock")
	}
}

func TestClockStopsAndGoesOn(t *testing.T) {
	var s sender
	s.send(start)
	s.clocks(25, tick)
	s.send(stop)
	wantNoBeat(t, &s.clock, s.at)
	s.clocks(50, tick) // many programs go on
	wantNoBeat(t, &s.clock, s.at)
	if bpm, ok := s.clock.Tempo(s.at); !ok || math.Abs(bpm-125) > 1e-6 {
		t.Errorf("tempo %v, %v, want 125", bpm, ok)
	}
	s.send(goOn)
	s.clocks(1, tick) // the clock after number 24
	wantBeat(t, &s.clock, s.at, 25.0/24, 1e-9)
	s.send(stop)
	s.send(songPosition, 8, 1) // 136 sixteenths
	s.at += 10 * time.Second
	s.send(goOn)
	s.clocks(1, tick)
	wantBeat(t, &s.clock, s.at, 34, 1e-9)
	s.clocks(12, tick)
	wantBeat(t, &s.clock, s.at, 34.5, 1e-9)
}

func TestClockWhileRunning(t *testing.T) {
	var s sender
	s.send(start)
	s.send(start)
	s.clocks(1, tick)
	s.send(start) // a start from the beginning, of 20 ms later
	s.clocks(49, tick)
	wantBeat(t, &s.clock, s.at, 2, 1e-9)
	s.send(goOn) // it runs already
	s.clocks(12, tick)
	wantBeat(t, &s.clock, s.at, 2.5, 1e-9)
	s.send(songPosition, 0, 1)
	wantBeat(t, &s.clock, s.at, 32, 1e-9)
	s.clocks(13, tick)
	wantBeat(t, &s.clock, s.at, 32.5, 1e-9)
	s.send(start) // a loop
	s.send(timingClock)
	s.send(start) // the same start once more, by another way
	s.clocks(24, tick)
	wantBeat(t, &s.clock, s.at, 1, 1e-2)
	s.send(reset)
	wantNoBeat(t, &s.clock, s.at)
}

func TestClockLosesSome(t *testing.T) {
	var s sender
	s.send(start)
	s.clocks(25, tick)
	s.clocks(1, 2*tick) // one lost
	wantBeat(t, &s.clock, s.at, 26.0/24, 1e-9)
	_, doubt, _ := s.clock.Beat(s.at)
	s.clocks(22, tick)
	wantBeat(t, &s.clock, s.at, 2, 1e-9)
	s.clocks(1, 3*tick) // two lost
	wantBeat(t, &s.clock, s.at, 2+3.0/24, 1e-9)
	if doubt > 0.5 {
		t.Errorf("sure %.2f after a lost clock", doubt)
	}
	s.send(stop)
	s.send(songPosition, 0, 0)
	s.send(goOn)
	s.clocks(25, tick)
	if _, sure, _ := s.clock.Beat(s.at); sure < 0.8 {
		t.Errorf("sure %.2f after a new position", sure)
	}
}

// A clock that comes late, with those after it in a burst, is not counted twice.
func TestClockComesLate(t *testing.T) {
	for _, late := range []int{1, 2, 4, 9} {
		var s sender
		s.send(start)
		s.clocks(25, tick)
		s.clocks(1, time.Duration(late+1)*tick)
		s.clocks(late, ms/10)
		s.clocks(1, tick)
		s.clocks(22, tick)
		wantBeat(t, &s.clock, s.at, float64(24+1+late+23)/24, 0.03)
	}
}

// A tempo that falls to the half looks like a lost clock, once.
func TestClockChangesTempo(t *testing.T) {
	for _, period := range []time.Duration{10 * ms, 15 * ms, 22 * ms, 25 * ms, 30 * ms, 40 * ms, 60 * ms} {
		var s sender
		s.send(start)
		s.clocks(25, tick)
		s.clocks(12, period)
		wantBeat(t, &s.clock, s.at, 1.5, 0.005)
		if bpm, ok := s.clock.Tempo(s.at); !ok || math.Abs(bpm*period.Minutes()*24-1) > 0.01 {
			t.Errorf("%v a clock: tempo %.1f, want %.1f", period, bpm, 1/(24*period.Minutes()))
		}
	}
}

// A steady slowing by a tenth each quarter is followed to a sixth of a clock.
func TestClockSlows(t *testing.T) {
	var s sender
	s.send(start)
	s.clocks(25, tick)
	period := float64(tick)
	for i := range 96 {
		period *= math.Pow(1.1, 1.0/24)
		s.clocks(1, time.Duration(period))
		wantBeat(t, &s.clock, s.at, float64(24+i+1)/24, 0.25/24)
	}
}

// Jitter of a millisecond is filtered to half of that.
func TestClockSmoothes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var c Clock
	c.Take(0, []byte{start})
	var raw, smooth float64
	n := 0
	for i := range 2400 {
		true := time.Duration(i) * tick
		at := true + time.Duration(rng.NormFloat64()*float64(ms))
		c.Take(at, []byte{timingClock})
		if i < 48 {
			continue
		}
		q, sure, ok := c.Beat(at)
		if !ok || sure < 0.6 {
			t.Fatalf("clock %d: sure %.2f, known %v", i, sure, ok)
		}
		e := q*24 - at.Seconds()/tick.Seconds()
		smooth += e * e
		e = (at - true).Seconds() / tick.Seconds()
		raw += e * e
		n++
	}
	if ratio := math.Sqrt(smooth / raw); ratio > 0.5 {
		t.Errorf("the jitter left is %.2f of what came", ratio)
	}
}

// Between clocks the beat never goes back, and it stays within a clock of the count.
func TestClockIsMonotone(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	var s sender
	s.send(start)
	for range 500 {
		s.clocks(1, tick+time.Duration(rng.Int64N(int64(2*ms))))
		last := -1.0
		for d := time.Duration(0); d < 70*ms; d += 3 * ms {
			q, sure, ok := s.clock.Beat(s.at + d)
			if q < last && ok || sure < 0 || sure > 1 {
				t.Fatalf("beat %v after %v, sure %v", q, last, sure)
			}
			last = q
		}
	}
}

func FuzzClock(f *testing.F) {
	seeds := [][]byte{
		{start, 20, timingClock, 20, timingClock, 20, timingClock, 40, timingClock, 40, stop, 1},
		{timingClock, 0, timingClock, 0, songPosition, 255, goOn, 3, timingClock, 0, reset, 9, timingClock, 200},
	}
	for _, s := range seeds {
		f.Add(s)
	}
	if len(seeds) == 0 {
		f.Fatal("no seeds")
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		var a, b Clock
		var at time.Duration
		for i := 0; i+1 < len(in); i += 2 {
			at += time.Duration(in[i+1]) * ms
			msg := []byte{in[i], in[i+1], in[i+1] >> 1}[:1+2*int(in[i+1]&1)]
			a.Take(at, msg)
			b.Take(at, msg)
			q, sure, ok := a.Beat(at)
			if q2, sure2, ok2 := b.Beat(at); q != q2 || sure != sure2 || ok != ok2 {
				t.Fatal("two clocks differ")
			}
			if !(q >= 0 && q < 1e6) || !(sure >= 0 && sure <= 1) || !ok && sure != 0 {
				t.Fatalf("beat %v, sure %v, known %v", q, sure, ok)
			}
			if bpm, ok := a.Tempo(at); ok && !(bpm > 0 && !math.IsInf(bpm, 0)) {
				t.Fatalf("tempo %v", bpm)
			}
		}
	})
}

func BenchmarkClock(b *testing.B) {
	var c Clock
	c.Take(0, []byte{start})
	msg := []byte{timingClock}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		c.Take(time.Duration(i)*tick, msg)
	}
}
