package audition

import (
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
)

func TestSameInputSameSamples(t *testing.T) {
	const length = 1500 * time.Millisecond
	parts := orchestra()
	events := tutti(parts, length)
	first, err := Render(t.Context(), parts, events, length, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, procs := range []int{1, 3} {
		before := runtime.GOMAXPROCS(procs)
		again, err := Render(t.Context(), parts, events, length, nil)
		runtime.GOMAXPROCS(before)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(first.Left, again.Left) || !slices.Equal(first.Right, again.Right) {
			t.Errorf("%d processors give other samples", procs)
		}
	}
	if first.Peak() == 0 {
		t.Error("the orchestra is silent")
	}
}

func TestLength(t *testing.T) {
	for _, length := range []time.Duration{0, 1, time.Millisecond, 171 * time.Millisecond, 2 * time.Second} {
		var last time.Duration
		take, err := Render(t.Context(), []Part{solo("flute")}, []expr.Event{send(0, 0x90, 72, 127)}, length, func(done, whole time.Duration) {
			if done < last || whole != length {
				t.Errorf("progress went from %v to %v of %v", last, done, whole)
			}
			last = done
		})
		if err != nil {
			t.Fatal(err)
		}
		want := int(length.Seconds() * SampleRate)
		if len(take.Left) != want || len(take.Right) != want {
			t.Errorf("%v: %d and %d frames, want %d", length, len(take.Left), len(take.Right), want)
		}
		if last != length {
			t.Errorf("progress ended at %v, want %v", last, length)
		}
		if want > 0 && (take.Left[want-1] != 0 || take.Right[want-1] != 0) {
			t.Errorf("%v: a note that goes on is cut at %g", length, take.Left[want-1])
		}
	}
}

func TestWhatCannotBeRendered(t *testing.T) {
	flute := solo("flute")
	at := func(port, channel int, players int, pan float64) Part {
		return Part{Instrument: "oboe", Port: port, Channel: channel, Players: players, Pan: pan}
	}
	for _, c := range []struct {
		parts  []Part
		events []expr.Event
		length time.Duration
		want   string
	}{
		{[]Part{at(0, 16, 1, 0)}, nil, 0, "part 1 (oboe): the channel"},
		{[]Part{flute, at(0, -1, 1, 0)}, nil, 0, "part 2 (oboe): the channel"},
		{[]Part{at(65536, 0, 1, 0)}, nil, 0, "the port"},
		{[]Part{at(0, 0, -1, 0)}, nil, 0, "the number of players"},
		{[]Part{at(0, 0, 1, 1.1)}, nil, 0, "the pan"},
		{[]Part{at(0, 0, 1, math.NaN())}, nil, 0, "the pan"},
		{[]Part{flute, at(1, 0, 1, 0), at(0, 0, 1, 0)}, nil, 0, "parts 1 and 3 share port 0, channel 0"},
		{make([]Part, maxParts+1), nil, 0, "found 257 parts"},
		{nil, nil, -1, "a take must be"},
		{nil, nil, MaxLength + 1, "a take must be"},
		{[]Part{flute}, []expr.Event{send(5, 0x90, 60, 1), send(4, 0x80, 60, 0)}, 0, "event 2 is at 4ms, after one at 5ms"},
		{[]Part{flute}, []expr.Event{send(-1, 0x90, 60, 1)}, 0, "event 1"},
	} {
		take, err := Render(t.Context(), c.parts, c.events, c.length, nil)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want one with %q", err, c.want)
		}
		if take != nil {
			t.Errorf("a take came with the error %v", err)
		}
	}
}

func TestOnlyItsOwnChannel(t *testing.T) {
	p := Part{Instrument: "flute", Port: 2, Channel: 5}
	note := func(port uint16, channel byte) float64 {
		take, err := Render(t.Context(), []Part{p}, []expr.Event{expr.Short(0, port, 0x90|channel, 72, 100)}, 300*time.Millisecond, nil)
		if err != nil {
			t.Fatal(err)
		}
		return take.Peak()
	}
	if note(2, 5) < .01 {
		t.Error("the part does not hear its channel")
	}
	// The room's guard against denormal numbers is all that is left.
	if x, y := note(1, 5), note(2, 4); x > 1e-15 || y > 1e-15 {
		t.Errorf("the part hears another port (%g) or channel (%g)", x, y)
	}
}

func TestPan(t *testing.T) {
	for _, c := range []struct{ pan, want float64 }{{-1, math.Inf(1)}, {-.5, 7.66}, {0, 0}, {.5, -7.66}, {1, math.Inf(-1)}} {
		take, err := render(t.Context(), []Part{{Instrument: "flute", Pan: c.pan}}, []expr.Event{send(0, 0x90, 72, 100)}, time.Second, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		sum := func(x []float32) (s float64) {
			for _, v := range x {
				s += float64(v) * float64(v)
			}
			return s
		}
		l, r := sum(take.Left), sum(take.Right)
		if d := toDB(l / r); c.pan != 1 && c.pan != -1 {
			near(t, "left over right, dB", d, c.want, .05)
		} else if toDB(min(l, r)/max(l, r)) > -200 || (l > r) != (c.pan < 0) {
			t.Errorf("pan %g leaves %.1f dB between left and right", c.pan, d)
		}
	}
}

// The room rings out, decays evenly in both channels, and is linear: twice the
// sound has twice the room.
func TestRoom(t *testing.T) {
	const n = 3 * SampleRate
	ring := func(amp float32) (l, r []float64) {
		left, right := make([]float32, n), make([]float32, n)
		left[0], right[0] = amp, amp
		newRoom().add(left, right)
		for i := range left {
			l, r = append(l, float64(left[i])), append(r, float64(right[i]))
		}
		return l, r
	}
	l, r := ring(1)
	for _, ch := range [][]float64{l, r} {
		// Over a second: 60 dB in 1.4 s, and somewhat more in the treble.
		fall := power(between(ch, 200, 400)) - power(between(ch, 1200, 1400))
		if fall < 60/roomT60-3 || fall > 60/roomT60+15 {
			t.Errorf("the room falls by %.1f dB in a second", fall)
		}
	}
	near(t, "left over right in the room, dB", power(between(l, 50, 500))-power(between(r, 50, 500)), 0, 1)
	loud, _ := ring(2)
	near(t, "the room of twice the sound, dB", power(between(loud, 50, 500))-power(between(l, 50, 500)), 6.02, .01)
}
