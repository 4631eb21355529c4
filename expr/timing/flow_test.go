package timing_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"swellbox/expr/timing"
)

// wave is beats of half a second whose tempo goes up and down, and slows down at the end.
func wave(n int) ([]timing.Beat, time.Duration) {
	beats := make([]timing.Beat, n)
	for i := range beats {
		log := 0.3*math.Sin(float64(i)/3) + 0.1*float64(i%2)
		beats[i] = timing.Beat{At: time.Duration(i) * time.Second / 2, Log: log, Inner: log}
		if i > n-5 {
			beats[i].Log += 0.2 * float64(i-n+5)
		}
	}
	return beats, time.Duration(n) * time.Second / 2
}

func TestFlowLastsAsSaid(t *testing.T) {
	beats, last := wave(80)
	w := timing.Flow(beats, last, 1, timing.Unheld)
	first := math.Log((beats[1].At + w.At(beats[1].At) - w.At(0)).Seconds() * 2)
	for i, b := range beats {
		end := last
		if i+1 < len(beats) {
			end = beats[i+1].At
		}
		got := math.Log((end + w.At(end) - b.At - w.At(b.At)).Seconds() / (end - b.At).Seconds())
		if got -= first - beats[0].Log; math.Abs(got-b.Log) > 1e-6 {
			t.Fatalf("beat %d lasts e^%.4f of its time, want e^%.4f", i, got, b.Log)
		}
	}
}

func TestFlowIsSmooth(t *testing.T) {
	beats, last := wave(80)
	for _, bound := range []time.Duration{250 * time.Millisecond, timing.Unheld} {
		w := timing.Flow(beats, last, 2, bound)
		const h = time.Millisecond
		before := w.Tempo(0)
		for at := time.Duration(0); at < last; at += h {
			step := (at + h + w.At(at+h)) - (at + w.At(at))
			if step < h/2 {
				t.Fatalf("bound %v: the time from %v to %v shrinks to %v", bound, at, at+h, step)
			}
			now := w.Tempo(at)
			if r := now / before; r > 1.05 || r < 1/1.05 {
				t.Fatalf("bound %v: the tempo jumps at %v by a factor of %.3f", bound, at, r)
			}
			if mean := float64(h) / float64(step); math.Abs(mean/w.Tempo(at+h/2)-1) > 0.01 {
				t.Fatalf("bound %v: at %v the tempo is told as %.3f, and is %.3f", bound, at, w.Tempo(at+h/2), mean)
			}
			before = now
		}
	}
}

func TestHeldFlowIsPaidBack(t *testing.T) {
	beats, last := wave(400)
	for i := range beats {
		beats[i].Log, beats[i].Inner = beats[i].Log+0.2, beats[i].Inner+0.2 // always late
	}
	const bound = 250 * time.Millisecond
	w := timing.Flow(beats, last, 2, bound)
	most := time.Duration(0)
	for at := time.Duration(0); at < last; at += 50 * time.Millisecond {
		most = max(most, w.At(at).Abs())
	}
	if most > bound || most < bound/2 {
		t.Errorf("a moment is shifted by %v, want at most %v and half of it at least", most, bound)
	}
	if early, late := w.Reach(); early > bound || late > bound {
		t.Errorf("it reaches %v and %v, want at most %v", early, late, bound)
	}
}

// No moment is shifted by more than the bound: not between two beats however long they are, and not
// after the last note, from where the line would go on for ever.
func TestManyHeldFlowsStayWithinTheirBound(t *testing.T) {
	const bound = 100 * time.Millisecond
	random := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		var beats []timing.Beat
		last := time.Duration(0)
		for range 2 + random.IntN(12) {
			log := 3*random.Float64() - 1.5
			beats = append(beats, timing.Beat{At: last, Log: log, Inner: log})
			last += time.Duration(1+random.IntN(8000)) * time.Millisecond
		}
		w := timing.Flow(beats, last, 2, bound)
		played := time.Duration(math.MinInt64)
		for at := -time.Second; at < last+time.Minute; at += 20 * time.Millisecond {
			shift := w.At(at)
			if shift.Abs() > bound {
				t.Fatalf("%v, of a piece whose last note is at %v, is shifted by %v, want at most %v", at, last, shift, bound)
			}
			if at+shift < played {
				t.Fatalf("the time turns back before %v", at)
			}
			if back := w.Inverse(at + shift); (back + w.At(back) - at - shift).Abs() > time.Microsecond {
				t.Fatalf("%v is played at %v, and what is played then is said to be written for %v", at, at+shift, back)
			}
			played = at + shift
		}
	}
}

func TestFlowOfNothing(t *testing.T) {
	one := []timing.Beat{{At: 0, Log: 1}}
	twice := []timing.Beat{{At: 0, Log: 1}, {At: 0, Log: 1}}
	beats, last := wave(8)
	for name, w := range map[string]*timing.Warp{
		"none":     timing.Flow(nil, 0, 1, timing.Unheld),
		"no time":  timing.Flow(one, 0, 1, timing.Unheld),
		"at once":  timing.Flow(twice, 0, 1, timing.Unheld),
		"off":      timing.Flow(beats, last, 0, timing.Unheld),
		"no bound": timing.Flow(beats, last, 1, 0),
	} {
		for at := -time.Second; at < 10*time.Second; at += time.Second / 4 {
			if s := w.At(at); s != 0 {
				t.Errorf("%s: %v is shifted by %v", name, at, s)
			}
		}
	}
}

// What makes a piece longer is its end alone.
func TestFlowKeepsTheTempo(t *testing.T) {
	beats, last := wave(200)
	for i := range beats {
		beats[i].Log = beats[i].Inner
	}
	if late := timing.Flow(beats, last, 2, timing.Unheld).At(last); late.Abs() > time.Millisecond {
		t.Errorf("the end comes %v later, want no later", late)
	}
	for i := 190; i < 200; i++ {
		beats[i].Log += 0.4
	}
	if late := timing.Flow(beats, last, 1, timing.Unheld).At(last); late < time.Second {
		t.Errorf("with ten beats slowed down by 1.5 the end comes %v later, want a second at least", late)
	}
}
