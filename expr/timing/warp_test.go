package timing

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

const phraseLength = 8 * time.Second

// mustArches is the warp of phrases that have no fault.
func mustArches(t testing.TB, k float64, bound time.Duration, phrases ...Phrase) *Warp {
	t.Helper()
	w, err := Arches(phrases, k, bound)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// Todd 1985, D = A + 4m(τ-½)² with mean 1: for m = 0.3, 1.2 at the boundaries and 0.9 in
// the middle; most of the shift P·m/(9√3) at τ = ½ ± 1/√12.
func TestArch(t *testing.T) {
	w := mustArches(t, 1, time.Second, Phrase{time.Second, time.Second + phraseLength, 1})
	at := func(tau float64) time.Duration { return time.Second + time.Duration(tau*float64(phraseLength)) }
	peak := time.Duration(float64(phraseLength) * 0.3 / (9 * math.Sqrt(3)))
	for _, c := range []struct {
		tau   float64
		shift time.Duration
		beat  float64
	}{
		{0, 0, 1.2}, {0.5, 0, 0.9}, {1 - 1e-9, 0, 1.2},
		{0.5 - 1/math.Sqrt(12), peak, 1}, {0.5 + 1/math.Sqrt(12), -peak, 1},
		{-0.1, 0, 1}, {1, 0, 1}, {1.1, 0, 1},
	} {
		if got := w.At(at(c.tau)); (got - c.shift).Abs() > 2 {
			t.Errorf("shift at %v of the phrase: %v, want %v", c.tau, got, c.shift)
		}
		if got := 1 / w.Tempo(at(c.tau)); math.Abs(got-c.beat) > 1e-6 {
			t.Errorf("beat at %v of the phrase: %v of the mean, want %v", c.tau, got, c.beat)
		}
	}
	t.Logf("a phrase of 8 s at k 1 goes to ±%v", peak)
}

func TestArchesQuantity(t *testing.T) {
	phrases := []Phrase{{0, phraseLength, 1}, {0, phraseLength / 2, 0.5}}
	one, two, off := mustArches(t, 1, time.Second, phrases...), mustArches(t, 2, time.Second, phrases...), mustArches(t, 0, time.Second, phrases...)
	nan, more := mustArches(t, math.NaN(), time.Second, phrases...), mustArches(t, 9, time.Second, phrases...)
	moved := 0
	for at := -time.Second; at < phraseLength+time.Second; at += 7 * time.Millisecond {
		if one.At(at) != 0 {
			moved++
		}
		if (two.At(at) - 2*one.At(at)).Abs() > 2 {
			t.Fatalf("at %v: %v at k 1, %v at k 2", at, one.At(at), two.At(at))
		}
		if off.At(at) != 0 || off.Tempo(at) != 1 || nan.At(at) != 0 {
			t.Fatalf("at %v: %v at k 0, %v at no k", at, off.At(at), nan.At(at))
		}
		if more.At(at) != two.At(at) {
			t.Fatalf("at %v: %v at k 9, %v at k 2", at, more.At(at), two.At(at))
		}
	}
	if moved < 1000 {
		t.Errorf("only %d moments moved", moved)
	}
	var zero Warp
	if zero.At(time.Second) != 0 || zero.Tempo(time.Second) != 1 || zero.Inverse(time.Second) != time.Second {
		t.Error("the zero warp does something")
	}
}

// A phrase that would go too far is made smaller as a whole: the same form, its peak at
// the bound, its neighbour as it was.
func TestArchesBound(t *testing.T) {
	long, short := Phrase{0, time.Minute, 1}, Phrase{time.Minute, time.Minute + phraseLength, 1}
	free, bound := mustArches(t, 1, time.Hour, long, short), mustArches(t, 1, 200*time.Millisecond, long, short)
	factor := 200.0 / 1154.7005 // 60 s · 0.3/(9√3) = 1.1547 s
	greatest := time.Duration(0)
	for at := time.Duration(0); at < time.Minute; at += 10 * time.Millisecond {
		if want := factor * float64(free.At(at)); math.Abs(want-float64(bound.At(at))) > 100 {
			t.Fatalf("at %v: %v, want %v", at, bound.At(at), time.Duration(want))
		}
		greatest = max(greatest, bound.At(at).Abs())
	}
	if greatest > 200*time.Millisecond || greatest < 199*time.Millisecond {
		t.Errorf("greatest shift %v, bound 200 ms", greatest)
	}
	for at := time.Minute; at < time.Minute+phraseLength; at += 10 * time.Millisecond {
		if free.At(at) != bound.At(at) {
			t.Fatalf("at %v the short phrase has changed from %v to %v", at, free.At(at), bound.At(at))
		}
	}
	if early, late := bound.Reach(); early != 200*time.Millisecond || late != early {
		t.Errorf("reach %v and %v, want 200 ms", early, late)
	}
	if still := mustArches(t, 1, -1, long); still.At(10*time.Second) != 0 {
		t.Errorf("a negative bound lets through %v", still.At(10*time.Second))
	}
}

func TestArchesFaults(t *testing.T) {
	var deep []Phrase
	for i := range time.Duration(MaxNesting) {
		deep = append(deep, Phrase{i, 100 - i, 1})
	}
	if _, err := Arches(deep, 1, time.Second); err != nil {
		t.Errorf("%d phrases within each other: %v", len(deep), err)
	}
	for _, c := range []struct {
		name, want string
		phrases    []Phrase
	}{
		{"empty", "does not last", []Phrase{{5, 5, 1}}},
		{"backward", "does not last", []Phrase{{5, 4, 1}}},
		{"crossing", "overlap", []Phrase{{3, 9, 1}, {0, 4, 1}}},
		{"crossing within", "overlap", []Phrase{{0, 20, 1}, {3, 9, 1}, {8, 20, 1}}},
		{"too deep", "leave out inner", append(slices.Clone(deep), Phrase{40, 41, 1})},
	} {
		w, err := Arches(c.phrases, 1, time.Second)
		if err == nil || !strings.Contains(err.Error(), c.want) || w != nil {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// nested draws phrases one after another, with parts of parts.
func nested(t *rapid.T, from, to time.Duration, depth int) []Phrase {
	var all []Phrase
	for from < to-time.Millisecond {
		end := min(to, from+time.Duration(rapid.Int64Range(int64(time.Millisecond), int64(20*time.Second)).Draw(t, "length")))
		if rapid.IntRange(0, 4).Draw(t, "gap") > 0 {
			all = append(all, Phrase{from, end, rapid.Float64Range(0, 1).Draw(t, "depth")})
			if depth > 1 && rapid.Bool().Draw(t, "parts") {
				all = append(all, nested(t, from, end, depth-1)...)
			}
		}
		from = end
	}
	return all
}

// Of any phrases: on time at the boundaries of the outermost, within the bound and the reach,
// time goes on by more than half, tempo is the slope, and the inverse is the inverse.
func TestManyWarpsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const end = 40 * time.Second
		phrases := nested(t, 0, end, 4)
		bound := time.Duration(rapid.Int64Range(0, int64(time.Second)).Draw(t, "bound"))
		k := rapid.Float64Range(0, 2).Draw(t, "k")
		w, err := Arches(rapid.Permutation(phrases).Draw(t, "phrases"), k, bound)
		if err != nil {
			t.Fatal(err)
		}
		ritard := rapid.Bool().Draw(t, "ritard")
		if ritard {
			w = w.WithRitard(Ritard{From: 30 * time.Second, To: end, Most: time.Second}, k)
		}
		outermost := time.Duration(0)
		for _, p := range phrases {
			if p.Start < outermost {
				continue
			}
			outermost = p.End
			for _, boundary := range []time.Duration{p.Start, p.End} {
				if shift := w.At(boundary); shift != 0 && !(ritard && boundary > 30*time.Second) {
					t.Fatalf("shift of %v at the boundary %v", shift, boundary)
				}
			}
		}
		early, late := w.Reach()
		if early > bound || !ritard && late > bound || ritard && late > bound+time.Second {
			t.Fatalf("reach %v and %v, bound %v", early, late, bound)
		}
		const step = time.Millisecond
		for at := -step; at < end+step; at += 13 * step {
			shift, next := w.At(at), w.At(at+step)
			if shift < -early || shift > late {
				t.Fatalf("shift of %v at %v, reach %v and %v", shift, at, early, late)
			}
			if passed := step + next - shift; passed <= step/2 {
				t.Fatalf("%v at %v takes %v", step, at, passed)
			}
			if back := w.Inverse(at + shift); (back - at).Abs() > 2 {
				t.Fatalf("%v is played at %v, and that is %v", at, at+shift, back)
			}
			if tempo := w.Tempo(at); !(tempo > 0 && tempo < 2) {
				t.Fatalf("tempo %v at %v", tempo, at)
			}
		}
	})
}

// Tempo is the slope of the shift, inside phrases.
func TestWarpTempo(t *testing.T) {
	w := mustArches(t, 1, time.Second, Phrase{0, phraseLength, 1}, Phrase{0, 3 * time.Second, 0.7}).
		WithRitard(Ritard{From: 5 * time.Second, To: phraseLength, Most: time.Minute}, 1)
	const step = time.Millisecond
	for at := 10 * step; at < phraseLength-10*step; at += 17 * step {
		if at > 2990*step && at < 3010*step || at > 4990*step && at < 5010*step {
			continue // tempo jumps
		}
		want := float64(2*step) / float64(2*step+w.At(at+step)-w.At(at-step))
		if got := w.Tempo(at); math.Abs(got-want) > 1e-4 {
			t.Fatalf("tempo %v at %v, slope %v", got, at, want)
		}
	}
}

// manyPhrases is an hour of phrases of 8 s in two parts.
func manyPhrases(t testing.TB) *Warp {
	var phrases []Phrase
	for at := time.Duration(0); at < time.Hour; at += phraseLength {
		phrases = append(phrases, Phrase{at, at + phraseLength, 1},
			Phrase{at, at + phraseLength/2, 0.5}, Phrase{at + phraseLength/2, at + phraseLength, 0.5})
	}
	return mustArches(t, 1, 200*time.Millisecond, phrases...)
}

func TestWarpDoesNotAllocate(t *testing.T) {
	w := manyPhrases(t)
	at := time.Duration(0)
	if a := testing.AllocsPerRun(1000, func() {
		at += 77 * time.Millisecond
		w.Inverse(at + w.At(at))
	}); a != 0 {
		t.Errorf("%v allocations a note", a)
	}
}

func BenchmarkWarpAt(b *testing.B) {
	w := manyPhrases(b)
	at := time.Duration(0)
	b.ReportAllocs()
	for b.Loop() {
		at = (at + 77*time.Millisecond) % time.Hour
		w.At(at)
	}
}

func BenchmarkWarpInverse(b *testing.B) {
	w := manyPhrases(b)
	at := time.Duration(0)
	b.ReportAllocs()
	for b.Loop() {
		at = (at + 77*time.Millisecond) % time.Hour
		w.Inverse(at)
	}
}
