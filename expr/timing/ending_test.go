package timing

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

const ms = time.Millisecond

// Friberg 1991, 1995 (from memory): the last note of a phrase is 40 ms longer. It is paid back
// within the second after.
func TestEnding(t *testing.T) {
	for _, c := range []struct {
		name  string
		k     float64
		last  time.Duration // how long the last note is
		bound time.Duration
		want  time.Duration
	}{
		{"as published", 1, 500 * ms, time.Second, 40 * ms},
		{"twice", 2, 500 * ms, time.Second, 80 * ms},
		{"more than twice", 5, 500 * ms, time.Second, 80 * ms},
		{"off", 0, 500 * ms, time.Second, 0},
		{"a short last note", 1, 60 * ms, time.Second, 20 * ms},
		{"little room", 1, 500 * ms, 30 * ms, 30 * ms},
		{"no room", 1, 500 * ms, 0, 0},
		{"a boundary that is past", 1, -500 * ms, time.Second, 0},
	} {
		e := Endings{Bound: c.bound}
		boundary := 10*time.Second + c.last
		if got := e.Lengthen(10*time.Second, boundary, c.k); (got - c.want).Abs() > 1 {
			t.Errorf("%s: longer by %v, want %v", c.name, got, c.want)
		}
		for _, at := range []struct{ t, want time.Duration }{
			{10 * time.Second, 0}, {boundary, c.want}, {boundary + payback, 0}, {boundary + time.Hour, 0},
			{boundary + payback/2, c.want / 2},
		} {
			if got := e.At(at.t); (got - at.want).Abs() > 1 {
				t.Errorf("%s: shift %v at %v, want %v", c.name, got, at.t, at.want)
			}
		}
	}
}

// The last note slows down to 1/(1+1.5·40/500) in its middle and is paid back at 1/(1-1.5·40/1000).
func TestEndingTempo(t *testing.T) {
	e := Endings{Bound: time.Second}
	e.Lengthen(10*time.Second, 10500*ms, 1)
	for _, c := range []struct {
		at   time.Duration
		want float64
	}{
		{9 * time.Second, 1}, {10 * time.Second, 1}, {10250 * ms, 1 / 1.12},
		{10500 * ms, 1}, {11 * time.Second, 1 / 0.94}, {11500 * ms, 1}, {time.Hour, 1},
	} {
		if got := e.Tempo(c.at); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("tempo %v at %v, want %v", got, c.at, c.want)
		}
	}
}

// Whatever boundaries come: what was used stays, shifts are within the bound, time goes on by more
// than half, all is paid back in the end.
func TestEndingsHold(t *testing.T) {
	lengthened := 0
	rapid.Check(t, func(t *rapid.T) {
		e := Endings{Bound: time.Duration(rapid.Int64Range(0, int64(400*ms)).Draw(t, "bound"))}
		from := time.Duration(0)
		for range rapid.IntRange(1, 40).Draw(t, "boundaries") {
			from += time.Duration(rapid.Int64Range(0, int64(time.Second)).Draw(t, "on"))
			last := e.At(from)
			if e.Lengthen(from, from+time.Duration(rapid.Int64Range(-1, int64(time.Second)).Draw(t, "last")),
				rapid.Float64Range(0, 2).Draw(t, "k")) > 0 {
				lengthened++
			}
			if got := e.At(from); got != last {
				t.Fatalf("the shift at %v, already used, goes from %v to %v", from, last, got)
			}
			for at := from; at < from+2*time.Second; at += 23 * ms {
				shift, next := e.At(at), e.At(at+ms)
				if shift < 0 || shift > e.Bound || shift > MaxEndings {
					t.Fatalf("shift of %v at %v, bound %v", shift, at, e.Bound)
				}
				if passed := ms + next - shift; passed <= ms/2 {
					t.Fatalf("1 ms at %v takes %v", at, passed)
				}
				if back := e.Inverse(at + shift); (back - at).Abs() > 2 {
					t.Fatalf("%v is played at %v, and that is %v", at, at+shift, back)
				}
			}
			if got := e.At(from + 2*time.Second); got != 0 {
				t.Fatalf("%v not paid back", got)
			}
		}
	})
	if lengthened == 0 {
		t.Error("nothing was ever lengthened")
	}
}

func TestEndingsDoNotAllocate(t *testing.T) {
	e := Endings{Bound: 100 * ms}
	at := time.Duration(0)
	if a := testing.AllocsPerRun(1000, func() {
		at += 600 * ms
		e.Lengthen(at, at+300*ms, 1)
		e.Inverse(e.At(at + 400*ms))
	}); a != 0 {
		t.Errorf("%v allocations a boundary", a)
	}
}
