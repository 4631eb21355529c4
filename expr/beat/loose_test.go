package beat

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// person has somebody play running sixteenths over a bass on every beat: each note up to 15 ms off, and the tempo
// swinging by an eighth over sixteen beats. heard is told after each moment where in the beats it lies.
func person(t *Tracker, beats int, heard func(at time.Duration, place, period float64)) {
	rng := rand.New(rand.NewPCG(3, 5))
	at := 1.0
	for i := range 4 * beats {
		place := float64(i) / 4
		period := 0.6 * (1 + 0.125*math.Sin(2*math.Pi*place/16))
		on := time.Duration((at + 0.030*(rng.Float64()-0.5)) * float64(time.Second))
		if i%4 == 0 {
			t.Onset(on, 40, 80)
			t.Onset(on+5*time.Millisecond, 64, 80)
		}
		t.Onset(on+8*time.Millisecond, 72+i%5, 70)
		heard(on, place, period)
		at += period / 4
	}
}

func TestLooseFollowsAPerson(t *testing.T) {
	var tr Tracker
	n, right := 0, 0
	person(&tr, 80, func(at time.Duration, place, period float64) {
		e := tr.Beat(at)
		if e.Sure > 0.8 {
			t.Errorf("beat %v: sure by %.2f of a person's beat", place, e.Sure)
		}
		if place < 16 {
			return
		}
		n++
		off := math.Abs(math.Remainder(e.Quarter-place, 1)) * period
		if off < 0.070 && math.Abs(e.Period.Seconds()/period-1) < 0.2 {
			right++
		}
	})
	if right < n*9/10 {
		t.Errorf("right at %d of %d moments", right, n)
	}
}

// What a filter holds stays a distribution, whatever comes.
func TestLooseStaysProbable(t *testing.T) {
	var l loose
	rng := rand.New(rand.NewPCG(7, 1))
	for range 400 {
		m := moment{low: rng.IntN(128), notes: 1 + rng.IntN(9)}
		l.step(&m, math.Pow(10, -1.5+3*rng.Float64())) // 30 ms to half a minute
		sum := 0.0
		for k := range l.is {
			for _, p := range l.is[k] {
				sum += p
			}
		}
		if !(math.Abs(sum-1) < 1e-2) {
			t.Fatalf("the probabilities sum to %v", sum)
		}
		if period, place, sure := l.tell(math.NaN()); !(period >= 0.2 && period < 1.8 && math.Abs(place) <= 0.5 && sure >= 0 && sure < 1.01) {
			t.Fatalf("told %v s, %v, sure by %v", period, place, sure)
		}
	}
}

func TestLooseDoesNotAllocate(t *testing.T) {
	var tr Tracker
	person(&tr, 20, func(time.Duration, float64, float64) {})
	at := 60 * time.Second
	if n := testing.AllocsPerRun(200, func() { at += 333 * time.Millisecond; tr.Onset(at, 60, 80) }); n != 0 {
		t.Errorf("%v allocations a note", n)
	}
}

// BenchmarkLoose is one moment of a person's playing.
func BenchmarkLoose(b *testing.B) {
	var tr Tracker
	person(&tr, 20, func(time.Duration, float64, float64) {})
	at := 60.0
	for i := 0; b.Loop(); i++ {
		at += 0.25 + 0.02*float64(i*7%5)
		tr.Onset(seconds(at), 60+i%7, 80)
	}
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
