package acoustics

import "testing"

// hundred is an orchestra of 100 parts, all sounding.
func hundred(tb testing.TB) []Source {
	var sources []Source
	for len(sources) < 100 {
		sources = append(sources, tutti(tb, F)...)
	}
	return sources[:100]
}

// BenchmarkHear is one evaluation of 100 parts; the budget is 100 µs and no allocation.
func BenchmarkHear(b *testing.B) {
	s := reference(b)
	sources := hundred(b)
	out := make([]Sound, len(sources))
	s.Hear(sources, out)
	b.ReportAllocs()
	for b.Loop() {
		s.Hear(sources, out)
	}
}

// BenchmarkTarget is one part's target, as the engine asks for it at a note.
func BenchmarkTarget(b *testing.B) {
	s := reference(b)
	sources := hundred(b)
	for i := range sources {
		s.TargetDB(&sources[i])
	}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		s.TargetDB(&sources[i%len(sources)])
		i++
	}
}

// BenchmarkMeet is a new scene and the first meeting with every instrument.
func BenchmarkMeet(b *testing.B) {
	for b.Loop() {
		s := NewScene(Studio())
		for _, in := range all {
			s.TargetDB(&Source{Instrument: in})
		}
	}
}

func TestHearAllocatesNothing(t *testing.T) {
	s := reference(t)
	sources := hundred(t)
	out := make([]Sound, len(sources))
	s.Hear(sources, out)
	if n := testing.AllocsPerRun(10, func() {
		s.Hear(sources, out)
		s.TargetDB(&sources[3])
	}); n != 0 {
		t.Errorf("%g allocations an evaluation", n)
	}
}
