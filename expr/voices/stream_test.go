package voices

import (
	"strconv"
	"testing"
	"time"
)

// Any stream of notes, in any order of times, gives answers within their ranges, the
// same answers when played again, and the tune is a part that was heard.
func FuzzAnyStream(f *testing.F) {
	f.Add([]byte{0, 60, 80, 10, 1, 64, 80, 0, 0x80, 60, 0, 100, 2, 67, 90, 200})
	f.Add([]byte{3, 255, 0, 0, 0x83, 255, 9, 255, 3, 0, 127, 255, 7, 127, 1, 0})
	f.Add([]byte("01000\x8000000\x80")) // time runs back over a closed moment
	f.Fuzz(func(t *testing.T, stream []byte) {
		type heard struct {
			voice, tune, melody int
			salience, sure      float64
		}
		var first []heard
		for run := range 2 {
			e, s := NewEnsemble(8), NewSeparator()
			var at time.Duration
			parts := map[int]bool{}
			for i := 0; i+4 <= len(stream); i += 4 {
				b := stream[i : i+4]
				at += time.Duration(int8(b[3])) * 5 * time.Millisecond
				part, key := int(b[0]&0x0F), int(b[1])
				var h heard
				if b[0]&0x80 != 0 {
					e.Off(part, at)
					s.Off(at, key)
				} else {
					e.Note(part, at, key, int(b[2]))
					var id int64
					h.voice, id = s.Note(at, key, int(b[2]))
					if part < 8 && key < 128 && b[2] > 0 && b[2] < 128 {
						parts[part] = true
					}
					if p, ok := s.VoiceOf(id); ok != (id > 0) || p.Voice >= MaxVoices || p.Voices > MaxVoices || p.Role > Bass || p.Hand > Right || ok && p.Voices < 1 {
						t.Fatalf("place %+v, %v of note %d", p, ok, id)
					}
				}
				h.tune, h.salience = e.Tune(at)
				h.melody, h.sure = s.Melody(at)
				if h.voice < -1 || h.voice >= MaxVoices || h.melody >= MaxVoices || !(h.salience >= 0 && h.salience <= 1) || !(h.sure >= 0 && h.sure <= 1) {
					t.Fatalf("event %d: %+v", i/4, h)
				}
				if h.tune >= 0 != (len(parts) > 0) || h.tune >= 0 && !parts[h.tune] {
					t.Fatalf("event %d: part %d has the tune, heard are %v", i/4, h.tune, parts)
				}
				if run == 0 {
					first = append(first, h)
				} else if first[i/4] != h {
					t.Fatalf("event %d: %+v, at first %+v", i/4, h, first[i/4])
				}
			}
		}
	})
}

// round is a bar of an orchestra: some parts move, some hold, some double.
func round(e *Ensemble, parts int, at time.Duration, n int) {
	for part := range parts {
		if (n+part)%(1+part%5) == 0 {
			e.Off(part, at)
			e.Note(part, at, 40+part%40+n*(1+part%3)%12, 60+part%40)
		}
	}
}

func TestNothingIsAllocated(t *testing.T) {
	e := NewEnsemble(256)
	s := NewSeparator()
	n := 0
	allocs := testing.AllocsPerRun(200, func() {
		n++
		at := time.Duration(n) * 200 * time.Millisecond
		round(e, 256, at, n)
		e.Tune(at)
		for i := range 5 {
			s.Note(at, 48+7*i+n%5, 80)
		}
		s.Melody(at)
		for i := range 5 {
			s.Off(at+150*time.Millisecond, 48+7*i+n%5)
		}
	})
	if allocs != 0 {
		t.Errorf("%v allocations a round, want none", allocs)
	}
}

// The cost of one note, its end, and being asked for its part's salience and the tune.
func BenchmarkEnsemble(b *testing.B) {
	for _, parts := range []int{4, 64, 256} {
		b.Run(strconv.Itoa(parts), func(b *testing.B) {
			e := NewEnsemble(parts)
			b.ReportAllocs()
			var at time.Duration
			for n := 0; b.Loop(); n++ {
				part := n % parts
				if part == 0 {
					at += 150 * time.Millisecond
				}
				e.Off(part, at)
				e.Note(part, at, 40+part%40+(n/parts)*(1+part%3)%12, 80)
			}
		})
	}
}

func BenchmarkTune(b *testing.B) {
	e := NewEnsemble(256)
	round(e, 256, 0, 0)
	b.ReportAllocs()
	for b.Loop() {
		e.Tune(0)
	}
}

// The cost of one note of a chord, and its end.
func BenchmarkSeparator(b *testing.B) {
	for _, size := range []int{1, 4, 8} {
		b.Run(strconv.Itoa(size), func(b *testing.B) {
			s := NewSeparator()
			b.ReportAllocs()
			var at time.Duration
			for n := 0; b.Loop(); n++ {
				i := n % size
				if i == 0 {
					for j := range size {
						s.Off(at+140*time.Millisecond, 40+9*j+(n-1)/size%7)
					}
					at += 150 * time.Millisecond
				}
				s.Note(at, 40+9*i+n/size%7, 80)
			}
		})
	}
}
