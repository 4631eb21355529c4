package hearing

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// unbroken is a score of one line in which no phrase ever ends: steps up and down, each note
// as long as the last and joined to it.
func unbroken(notes int) *expr.Score {
	s := &expr.Score{Parts: []string{"flute"}}
	const step = 125 * exprtest.Thousandth
	for i := range notes {
		at := time.Duration(i) * step
		s.Notes = append(s.Notes, expr.Written{
			On: at, Off: at + step, Beat: float64(i) / 4, Length: 0.25, Key: byte(60 + i%2), Velocity: 80, Staff: 1,
		})
		s.End = at + step
	}
	return s
}

// wholeLine is a line that has heard notes with rests, leaps and chords, and forgotten none.
func wholeLine(rng *rand.Rand, notes int) *Line {
	l := &Line{}
	l.init()
	l.whole = true
	at := time.Duration(0)
	for range notes {
		key := uint8(40 + rng.IntN(50))
		l.noteOn(key, 80, at)
		length := time.Duration(rng.IntN(900)) * exprtest.Thousandth
		if rng.IntN(20) > 0 {
			l.noteOff(key, at+length)
		}
		at += length + time.Duration(rng.IntN(2)*rng.IntN(1500))*exprtest.Thousandth
	}
	return l
}

// Where a tone stands in its phrase is what one finds who goes on from it to the phrase's end.
func TestSpansOfAWholeLine(t *testing.T) {
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 0))
		l := wholeLine(rng, 1+rng.IntN(300))
		for _, kind := range [...]starting{StartsPhrase, startsSub} {
			for i, got := range spans(len(l.all), l.Tone, kind) {
				first := &l.all[i]
				want := expr.Span{Since: first.since(kind), Until: expr.Unknown}
				for last := first; ; {
					next := l.Tone(last.Next)
					if next == nil && last.Off != expr.Unknown {
						want.End, want.Final, want.Until = 1, last == first, last.Off-first.On
					}
					if next != nil && next.Starts&kind != 0 {
						want.End, want.Final, want.Until = float64(next.strength), last == first, endOf(last, next)-first.On
					}
					if next == nil || next.Starts&kind != 0 {
						break
					}
					last = next
				}
				if got != want {
					t.Fatalf("seed %d: tone %d of %d: %+v, want %+v", seed, i+1, len(l.all), got, want)
				}
			}
		}
	}
}

// A line without a boundary takes no more looks a note than any other, however long it is.
func TestSpansAreLinear(t *testing.T) {
	for _, notes := range [...]int{1000, 4000, 16000} {
		r := read(unbroken(notes), nil)
		l := &r.lines[0]
		looks := 0
		spans(len(l.all), func(number int64) *Tone { looks++; return l.Tone(number) }, StartsPhrase)
		if looks > 2*notes {
			t.Errorf("%d notes take %d looks, want two a note at most", notes, looks)
		}
		if p := &r.notes[1]; p.phrase.Until < r.score.End-r.score.Notes[2].On {
			t.Errorf("the phrase of %d notes goes on for %v: it was to be one", notes, p.phrase.Until)
		}
	}
}

func BenchmarkReadUnbroken(b *testing.B) {
	for _, notes := range [...]int{10_000, 40_000, 160_000} {
		b.Run(fmt.Sprint(notes), func(b *testing.B) {
			s := unbroken(notes)
			for b.Loop() {
				read(s, nil)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*notes), "ns/note")
		})
	}
}
