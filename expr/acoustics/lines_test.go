package acoustics

import "testing"

// Who plays a line together is heard as one, masks nobody in it, and is masked by the others.
func TestLines(t *testing.T) {
	room, _ := LookupRoom("large")
	s := NewScene(Hall(room, Row(10)))
	flute, horn, viola := source(t, "flute"), source(t, "horn"), source(t, "violas")
	flute.PitchHz, horn.PitchHz, viola.PitchHz = 523, 523, 262
	out, apart, lines := make([]Sound, 3), make([]Sound, 3), make([]Sound, 3)
	all := []Source{flute, horn, viola}
	s.Hear(all, apart)
	s.Lines([]int{0, 1, 2}, lines)
	for i := range apart {
		if d := lines[i].AudibilityDB - apart[i].AudibilityDB; d > 1e-9 || d < -1e-9 || lines[i].Masker != apart[i].Masker {
			t.Errorf("source %d by itself: %+v as a line, %+v as a part", i, lines[i], apart[i])
		}
	}
	s.Lines([]int{0, 0, 2}, lines)
	if both := max(apart[0].AudibilityDB, apart[1].AudibilityDB); lines[0].AudibilityDB <= both || lines[0].Masker != 2 {
		t.Errorf("flute and horn together: %+v, the better of them by itself %g dB", lines[0], both)
	}
	if lines[1].State != Silent || lines[1].AudibilityDB != FloorDB || lines[1].Masker != -1 {
		t.Errorf("a line of nobody: %+v", lines[1])
	}
	if m := lines[2].Masker; m != 0 && m != 1 {
		t.Errorf("the violas are masked by %d", m)
	}
	s.Hear([]Source{flute, viola}, out)
	if n := testing.AllocsPerRun(10, func() { s.Hear(all, out); s.Lines([]int{0, 0, 2}, lines) }); n > 0 {
		t.Errorf("%g allocations", n)
	}
}

func source(t *testing.T, name string) Source {
	t.Helper()
	in, ok := Lookup(name)
	if !ok {
		t.Fatalf("no %s", name)
	}
	return Source{Instrument: in, Seat: seatings[0].Seat(in)}
}
