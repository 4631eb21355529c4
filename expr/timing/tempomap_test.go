package timing

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// clock is the time of a tick in seconds by tempos in order, on its own account.
func clock(tempos []Tempo, ticksPerQuarter int, tick int64) float64 {
	seconds, at, tempo := 0.0, int64(0), 500_000.0
	for _, t := range tempos {
		if t.Tick >= tick {
			break
		}
		seconds += float64(t.Tick-at) * tempo
		at, tempo = t.Tick, float64(t.PerQuarter)
	}
	return (seconds + float64(tick-at)*tempo) / float64(ticksPerQuarter) / 1e6
}

// Of any tempos and phrases: each beat is where the warp wants it, not only within 1 ms but
// within the rounding of a microsecond; tempos are in order, of 24 bits, and none is idle.
func TestTempoMapBeats(t *testing.T) {
	worst, between, beats := 0.0, 0.0, 0
	rapid.Check(t, func(t *rapid.T) {
		perQuarter := rapid.SampledFrom([]int{1, 24, 96, 97, 480, 960, 15360, 32767}).Draw(t, "ticks a quarter note")
		steps := min(perQuarter, rapid.IntRange(1, 4).Draw(t, "steps"))
		quarters := int64(rapid.IntRange(0, 200).Draw(t, "quarters"))
		end := quarters*int64(perQuarter) + int64(rapid.IntRange(0, perQuarter-1).Draw(t, "rest"))
		tempos := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Tempo {
			return Tempo{rapid.Int64Range(0, end+10).Draw(t, "tick"), uint32(rapid.IntRange(150_000, 3_000_000).Draw(t, "tempo"))}
		}), 0, 10).Draw(t, "tempos")
		written := slices.Clone(tempos)
		slices.SortStableFunc(written, func(a, b Tempo) int { return int(a.Tick - b.Tick) })

		length := time.Duration(clock(written, perQuarter, end) * 1e9)
		k := rapid.Float64Range(0, 2).Draw(t, "k")
		w, err := Arches(nested(t, 0, length, 3), k, 300*ms)
		if err != nil {
			t.Fatal(err)
		}
		w = w.WithRitard(Ritard{From: length * 9 / 10, To: length, Most: 3 * time.Second}, k)
		made, err := TempoMap(w, tempos, perQuarter, steps, end)
		if err != nil {
			t.Fatal(err)
		}

		for i, m := range made {
			if m.PerQuarter < 1 || m.PerQuarter > MaxPerQuarter {
				t.Fatalf("tempo of %d µs a quarter note", m.PerQuarter)
			}
			if i > 0 && (m.Tick <= made[i-1].Tick || m.PerQuarter == made[i-1].PerQuarter) {
				t.Fatalf("%+v after %+v", m, made[i-1])
			}
		}
		off := func(tick int64) float64 {
			at := clock(written, perQuarter, tick)
			return math.Abs(clock(made, perQuarter, tick) - at - w.At(time.Duration(at*1e9)).Seconds())
		}
		for q := range quarters + 1 {
			o := off(q * int64(perQuarter))
			worst = max(worst, o)
			beats++
			if o > 2e-6 {
				t.Fatalf("beat %d is off by %.6f s", q, o)
			}
			if later := q*int64(perQuarter) + int64(perQuarter)/4; later < end {
				between = max(between, off(later))
			}
		}
		if o := off(end); o > 2e-6 {
			t.Fatalf("the end is off by %.6f s", o)
		}
	})
	t.Logf("%d beats off by %.2f µs at most, a quarter of a beat later by %.1f ms", beats, worst*1e6, between*1e3)
	if beats < 1000 {
		t.Errorf("only %d beats looked at", beats)
	}
}

func TestTempoMap(t *testing.T) {
	still := &Warp{}
	for _, c := range []struct {
		name   string
		tempos []Tempo
		end    int64
		want   []Tempo
	}{
		{"no tempo", nil, 4800, []Tempo{{0, 500_000}}},
		{"no music", nil, 0, []Tempo{{0, 500_000}}},
		{"no warp leaves the file's tempos", []Tempo{{0, 600_001}, {700, 400_003}, {9600, 1}}, 4800, []Tempo{{0, 600_001}, {700, 400_003}, {9600, 1}}},
		{"at the end", []Tempo{{0, 600_000}, {4800, 400_000}}, 4800, []Tempo{{0, 600_000}, {4800, 400_000}}},
		{"out of order", []Tempo{{700, 2}, {0, 1}}, 4800, []Tempo{{0, 1}, {700, 2}}},
		{"the last at a tick holds", []Tempo{{0, 1}, {0, 7}, {480, 3}, {480, 4}}, 4800, []Tempo{{0, 7}, {480, 4}}},
		{"a tempo of 0 says nothing", []Tempo{{0, 1}, {480, 0}}, 4800, []Tempo{{0, 1}}},
		{"equal tempos become one", []Tempo{{0, 1}, {480, 1}, {9600, 1}}, 4800, []Tempo{{0, 1}}},
		{"the slowest", []Tempo{{0, MaxPerQuarter}}, 4800, []Tempo{{0, MaxPerQuarter}}},
	} {
		got, err := TempoMap(still, c.tempos, 480, 2, c.end)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, %v, want %v", c.name, got, err, c.want)
		}
	}
}

// Between two steps of h seconds the warp is cut off by h²/8 times its second derivative, which
// is at most 4m/P in a phrase of P seconds: at 120 quarter notes a minute, for phrases of 8 s
// and their halves, 14 ms in beats, 3.5 ms in half beats and 0.9 ms in quarters.
func TestTempoMapWithinSteps(t *testing.T) {
	w := mustArches(t, 1, time.Second, Phrase{0, phraseLength, 1}, Phrase{0, phraseLength / 2, 1}, Phrase{phraseLength / 2, phraseLength, 1})
	for steps := 1; steps <= 4; steps *= 2 {
		made, err := TempoMap(w, nil, 480, steps, 480*16)
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for tick := range int64(480 * 16) {
			at := float64(tick) / 960
			worst = max(worst, math.Abs(clock(made, 480, tick)-at-w.At(time.Duration(at*1e9)).Seconds()))
		}
		h := 0.5 / float64(steps)
		theory := h * h / 8 * 4 * 0.3 * (1.0/8 + 1.0/4)
		t.Logf("%d steps a beat: off by %.2f ms between them, by theory at most %.2f ms", steps, worst*1e3, theory*1e3)
		if worst > theory+2e-6 || worst < theory/2 {
			t.Errorf("%d steps a beat: off by %.2f ms between them, want at most %.2f", steps, worst*1e3, theory*1e3)
		}
	}
}

// After a ritard at the end of a section the file's tempo is back, and the rest is as much later.
func TestTempoMapAfterRitard(t *testing.T) {
	w := new(Warp).WithRitard(Ritard{From: 2 * time.Second, To: 4 * time.Second, Most: time.Second}, 1)
	made, err := TempoMap(w, nil, 480, 1, 480*16)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := clock(made, 480, 480*16), 8+2.0/3; math.Abs(got-want) > 2e-6 {
		t.Errorf("8 s of music with a ritard over 2 s last %v s, want %v", got, want)
	}
	// The last tempo may repair a microsecond.
	for _, m := range made {
		if m.Tick >= 480*8 && (m.PerQuarter < 499_999 || m.PerQuarter > 500_001) {
			t.Errorf("%+v after the ritard, want the tempo of before", m)
		}
	}
}

// A tempo that no file can hold is held, and made good as far as can be.
func TestTempoMapTooSlow(t *testing.T) {
	w := mustArches(t, 2, time.Minute, Phrase{0, 4 * 16 * time.Second, 1})
	made, err := TempoMap(w, []Tempo{{0, 16_000_000}}, 480, 2, 4*480)
	if err != nil {
		t.Fatal(err)
	}
	if got := made[0].PerQuarter; got != MaxPerQuarter {
		t.Errorf("first tempo %d, want the slowest", got)
	}
	if got := made[2].PerQuarter; got >= 16_000_000 {
		t.Errorf("tempo %d in the middle, want a faster one than written", got)
	}
}

func TestTempoMapFaults(t *testing.T) {
	for _, c := range []struct {
		name, want        string
		tempos            []Tempo
		perQuarter, steps int
		end               int64
	}{
		{"no ticks", "ticks a quarter", nil, 0, 1, 10},
		{"too many ticks", "ticks a quarter", nil, 32768, 1, 10},
		{"no steps", "steps", nil, 480, 0, 10},
		{"more steps than ticks", "steps", nil, 480, 481, 10},
		{"before the beginning", "no end", nil, 480, 1, -1},
		{"too long", "no end", nil, 1, 1, MaxTempos + 1},
		{"far too long", "no end", nil, 32767, 32767, math.MaxInt64},
		{"too many steps", "no end", nil, 480, 2, 480 * (MaxTempos/2 + 1)},
		{"a tempo before the beginning", "ticks begin at 0", []Tempo{{-1, 1}}, 480, 1, 10},
		{"a tempo too slow", "tempos go to", []Tempo{{0, MaxPerQuarter + 1}}, 480, 1, 10},
	} {
		made, err := TempoMap(&Warp{}, c.tempos, c.perQuarter, c.steps, c.end)
		if err == nil || !strings.Contains(err.Error(), c.want) || made != nil {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	if _, err := TempoMap(&Warp{}, []Tempo{{0, MaxPerQuarter}}, 1, 1, MaxTempos-1); err != nil {
		t.Errorf("the longest: %v", err)
	}
}

func BenchmarkTempoMap(b *testing.B) {
	w := manyPhrases(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := TempoMap(w, nil, 480, 2, 480*7200); err != nil {
			b.Fatal(err)
		}
	}
}
