package touch

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
)

// piece is a piano piece in quarter notes at 120 a minute: a melody of eighths, some of them
// repeated, over long bass notes that the hand must leave for chords.
func piece(bars int) *expr.Score {
	s := &expr.Score{Parts: []string{"Piano"}}
	at := func(b float64) time.Duration { return time.Duration(b * float64(time.Second) / 2) }
	add := func(beat, length float64, key, staff int) {
		s.Notes = append(s.Notes, expr.Written{On: at(beat), Off: at(beat + length), Beat: beat, Length: length, Key: uint8(key), Staff: uint8(staff)})
	}
	for k := range bars {
		b := float64(4 * k)
		s.Bars = append(s.Bars, expr.Bar{At: at(b), Beat: b, Number: k + 1, Beats: 4, Unit: 4})
		add(b, 4, 36+k%5, 2)
		for i := range 8 {
			beat := b + float64(i)/2
			if i == 2 {
				add(beat, 2, 57, 2)
			}
			add(beat, 0.5, 72+(i/2*5+k)%12, 1)
		}
	}
	return s
}

func TestTermsAreThoseOfTheTable(t *testing.T) {
	names, terms := Terms(piece(8))
	if len(names) != len(table) || len(terms) != len(table) {
		t.Fatalf("there are %d names and %d terms, and the table has %d: fit anew", len(names), len(terms), len(table))
	}
	seen := map[string]bool{}
	for i, n := range names {
		if seen[n] {
			t.Errorf("two terms are called %q", n)
		}
		seen[n] = true
		sum := 0.0
		for _, x := range terms[i] {
			if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
				t.Fatalf("%s: a term is %v", n, x)
			}
			sum += float64(x)
		}
		if math.Abs(sum) > 0.02 {
			t.Errorf("%s: the terms have the sum %v, want 0", n, sum)
		}
	}
}

func TestPianistsLetGo(t *testing.T) {
	s := piece(16)
	shares := Shares(s)
	of := func(f func(n *expr.Written) bool) float64 {
		sum, count := 0.0, 0.0
		for i := range s.Notes {
			if f(&s.Notes[i]) {
				sum += float64(shares[i])
				count++
			}
		}
		return sum / count
	}
	again := of(func(n *expr.Written) bool { return n.Staff == 1 && n.Beat == math.Floor(n.Beat) })
	on := of(func(n *expr.Written) bool { return n.Staff == 1 && n.Beat != math.Floor(n.Beat) })
	if again >= on {
		t.Errorf("a note that is struck again at once is held for %.2f of its length, and one that is not for %.2f", again, on)
	}
	if bass := of(func(n *expr.Written) bool { return n.Length == 4 }); bass >= on {
		t.Errorf("a bass that the hand must leave is held for %.2f of its length, and the melody for %.2f", bass, on)
	}
	before := on
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Staff == 1 {
			n.Marks |= expr.Staccato
		}
	}
	s.Notes[0].Marks |= expr.SlurBegins
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Staff == 1 && int(n.Beat/4)%2 == 0 {
			n.Marks &^= expr.Staccato
		}
	}
	shares = Shares(s)
	if dotted := of(func(n *expr.Written) bool { return n.Marks.Has(expr.Staccato) && n.Beat != math.Floor(n.Beat) }); dotted >= before {
		t.Errorf("a staccato is held for %.2f of its length, and was for %.2f without its dot", dotted, before)
	}
}

func TestNothingToHold(t *testing.T) {
	for name, s := range map[string]*expr.Score{
		"empty": {}, "one note": {Notes: piece(1).Notes[:1]},
		"no number": {Notes: []expr.Written{{Beat: math.NaN(), Length: 1, Off: 1}, {Beat: 1, Length: math.NaN(), Off: 1}, {Beat: math.Inf(1), Length: 1, Off: 1}}},
	} {
		for _, x := range Shares(s) {
			if x == x {
				t.Errorf("%s: a note is held for %v", name, x)
			}
		}
	}
}

func BenchmarkShares(b *testing.B) {
	s := piece(2000)
	b.ReportAllocs()
	for b.Loop() {
		Shares(s)
	}
	b.ReportMetric(float64(len(s.Notes))*float64(b.N)/b.Elapsed().Seconds(), "notes/s")
}
