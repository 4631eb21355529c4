package acoustics

import (
	"math"
	"testing"
)

// at gives a source a note.
func at(src Source, pitch string) Source {
	src.PitchHz = note(pitch).Hz()
	return src
}

// hear is Hear into a new slice.
func hear(s *Scene, sources ...Source) []Sound {
	out := make([]Sound, len(sources))
	s.Hear(sources, out)
	return out
}

// A low flute at mp against three trombones at f is covered, an octave up and two
// it comes out more and more; without the trombones it is alone.
func TestLowFluteAgainstTrombones(t *testing.T) {
	s := reference(t)
	trombones := at(seated(t, "trombone", F), "F3")
	trombones.Players = 3
	low := at(seated(t, "flute", MP), "D4")
	h := hear(s, low, trombones)
	t.Logf("flute on D4, mp: %+.1f dB", h[0].AudibilityDB)
	if h[0].State != Covered || h[0].AudibilityDB > -5 || h[0].Masker != 1 {
		t.Errorf("low: %+v, wanted it covered by 5 dB or more, by source 1", h[0])
	}
	if h[1].State != Dominant {
		t.Errorf("trombones: %+v, wanted them dominant", h[1])
	}
	last := h[0].AudibilityDB
	for _, pitch := range []string{"D5", "D6"} {
		got := hear(s, at(low, pitch), trombones)[0].AudibilityDB
		t.Logf("flute on %s, mp: %+.1f dB", pitch, got)
		if got < last+3 {
			t.Errorf("on %s the flute is at %+.1f dB, an octave lower at %+.1f", pitch, got, last)
		}
		last = got
	}
	trombones.DynamicDB = P
	if got := hear(s, low, trombones)[0].AudibilityDB; got < h[0].AudibilityDB+8 {
		t.Errorf("with trombones at p the flute is at %+.1f dB, at f %+.1f", got, h[0].AudibilityDB)
	}
	if got := hear(s, low)[0]; got.State != Dominant || got.Masker != -1 {
		t.Errorf("alone: %+v", got)
	}
}

// tutti is an orchestra in full chords of C major, all at one dynamic.
func tutti(t testing.TB, dynamic float64) []Source {
	var all []Source
	for _, p := range []struct {
		name, pitch string
		players     int
	}{
		{"flute", "G6", 2}, {"oboe", "E5", 2}, {"clarinet", "C5", 2}, {"bassoon", "G3", 2},
		{"horn", "C4", 2}, {"horn", "E4", 2}, {"trumpet", "G4", 1}, {"trumpet", "C5", 1},
		{"trombone", "C3", 2}, {"bass-trombone", "G2", 1}, {"tuba", "C2", 1},
		{"violins-1", "C6", 0}, {"violins-2", "G5", 0}, {"violas", "E4", 0}, {"cellos", "C3", 0}, {"double-basses", "C2", 0},
	} {
		src := at(seated(t, p.name, dynamic), p.pitch)
		src.Players = p.players
		all = append(all, src)
	}
	return all
}

// p. 33: glockenspiel, bells, xylophone and timpani prevail over other groups: beside
// all strings, all wood-wind or all brass at f, each is heard, to within 3 dB, as the
// model knows nothing of the onset by which the ear finds a stroke.
func TestStruckOnesPrevail(t *testing.T) {
	s := reference(t)
	for _, c := range []struct{ name, pitch string }{{"glockenspiel", "G7"}, {"tubular-bells", "C5"}, {"xylophone", "C7"}, {"timpani", "C3"}} {
		for _, family := range []string{"strings", "woodwind", "brass"} {
			group := []Source{at(seated(t, c.name, F), c.pitch)}
			for _, src := range tutti(t, F) {
				if src.Instrument.Family == family {
					group = append(group, src)
				}
			}
			got := hear(s, group...)[0]
			t.Logf("%s beside all %s, f: %+.1f dB at %.0f Hz", c.name, family, got.AudibilityDB, got.BandHz)
			if got.AudibilityDB < HeardDB-3 {
				t.Errorf("%s beside all %s at f is %s at %+.1f dB, wanted it heard within 3 dB", c.name, family, got.State, got.AudibilityDB)
			}
		}
	}
}

// p. 33: groups that sustain overpower pizzicato, soft piano and celesta.
func TestSustainedOverpowerPlucked(t *testing.T) {
	s := reference(t)
	winds := func() []Source {
		return []Source{at(seated(t, "oboe", F), "E5"), at(seated(t, "clarinet", F), "C5"), at(seated(t, "horn", F), "G4"), at(seated(t, "horn", F), "C4")}
	}
	violins := seated(t, "pizzicato-strings", F)
	violins.Players = 12
	for _, c := range []struct {
		src  Source
		name string
	}{
		{at(violins, "C5"), "pizzicato of 12"},
		{at(seated(t, "piano", P), "C5"), "soft piano"},
		{at(seated(t, "celesta", F), "C5"), "celesta"},
	} {
		h := hear(s, append(winds(), c.src)...)
		got := h[len(h)-1]
		t.Logf("%s beside four winds, f: %+.1f dB", c.name, got.AudibilityDB)
		if got.State >= Heard {
			t.Errorf("%s beside four winds at f is %s at %+.1f dB", c.name, got.State, got.AudibilityDB)
		}
	}
}

// p. 33-34: four winds in unison absorb one department, so that it is no voice of
// its own any more, to within 2.5 dB; one wind only thickens it.
func TestWindsAbsorbADepartment(t *testing.T) {
	s := reference(t)
	for _, c := range []struct{ department, a, b, pitch string }{
		{"violins-1", "flute", "oboe", "C5"},
		{"violas", "oboe", "clarinet", "G4"},
		{"cellos", "clarinet", "bassoon", "G3"},
	} {
		for _, dynamic := range []float64{P, F} {
			department := at(seated(t, c.department, dynamic), c.pitch)
			a, b := at(seated(t, c.a, dynamic), c.pitch), at(seated(t, c.b, dynamic), c.pitch)
			one := hear(s, department, b)
			a.Players, b.Players = 2, 2
			four := hear(s, department, a, b)
			t.Logf("%s at %+.1f dB re mf: %+.1f dB beside one %s, which is at %+.1f; %+.1f beside four winds",
				c.department, dynamic, one[0].AudibilityDB, c.b, one[1].AudibilityDB, four[0].AudibilityDB)
			if four[0].AudibilityDB > HeardDB+2.5 {
				t.Errorf("%s at %+.1f dB re mf: %s at %+.1f dB beside four winds", c.department, dynamic, four[0].State, four[0].AudibilityDB)
			}
			if one[0].State < Heard {
				t.Errorf("%s at %+.1f dB re mf: %s at %+.1f dB beside one wind", c.department, dynamic, one[0].State, one[0].AudibilityDB)
			}
			if four[0].AudibilityDB > one[0].AudibilityDB-3 {
				t.Errorf("%s: four winds mask no more than one", c.department)
			}
		}
	}
}

// In a studio a part's strength is its own affair: players and seats of others
// do not move it, a fader does, and each part's own mf is StudioDB.
func TestStudio(t *testing.T) {
	s := NewScene(Studio())
	for _, in := range Instruments() {
		src := Source{Instrument: in, Seat: Position{3, 9}}
		if got := s.StrengthDB(&src); !near(got, StudioDB, 0.01) {
			t.Errorf("%s: mf is at %.2f dB, wanted %d", in.Name, got, StudioDB)
		}
		if got := s.TargetDB(&src); !near(got, 0, 0.01) {
			t.Errorf("%s: target %.2f dB, wanted 0", in.Name, got)
		}
		src.FaderDB, src.Seat, src.Players = -6.5, Position{}, 7
		if got := s.StrengthDB(&src); !near(got, StudioDB-6.5, 0.01) {
			t.Errorf("%s: the fader moves it to %.2f dB", in.Name, got)
		}
	}
	// What the hall covers, a fader can bring out.
	flute, trombones := at(seated(t, "flute", MP), "D4"), at(seated(t, "trombone", F), "F3")
	flute.FaderDB, trombones.FaderDB = 12, -12
	h := hear(s, flute, trombones)
	if h[0].State < Heard {
		t.Errorf("the flute with its fader up is %s at %+.1f dB", h[0].State, h[0].AudibilityDB)
	}
	// The hall knows no faders.
	hall := reference(t)
	up := seated(t, "flute", MP)
	plain := hall.StrengthDB(&up)
	up.FaderDB = 20
	if hall.StrengthDB(&up) != plain {
		t.Error("a fader moves a part in the hall")
	}
}

// Targets are told against one horn at mf on its seat.
func TestTarget(t *testing.T) {
	s := reference(t)
	horn := seated(t, "horn", MF)
	if got := s.TargetDB(&horn); !near(got, 0, 1e-9) {
		t.Errorf("one horn at mf has the target %g dB, wanted 0", got)
	}
	trumpet := seated(t, "trumpet", F)
	horn.DynamicDB, horn.Players = F, 2
	if a, b := s.TargetDB(&trumpet), s.TargetDB(&horn); !near(a, b, fitted) {
		t.Errorf("f: a trumpet's target is %.1f dB, that of two horns %.1f", a, b)
	}
}

// A part whose tone is masked is covered, though a trace of its overtones sounds where
// nobody else does; half as loud as the tone, it is no trace.
func TestTraceOfOvertones(t *testing.T) {
	s := NewScene(Studio())
	tone := func(modes ...Mode) Source {
		in := *instrument(t, "vibraphone")
		in.Colour = &Colour{Peak: 500, Dynamic: 1, Modes: modes}
		return Source{Instrument: &in, PitchHz: 500}
	}
	masker := tone(Mode{1, 0})
	masker.FaderDB = 12
	for _, c := range []struct {
		overtone float64
		want     State
	}{{-25, Covered}, {-17, Covered}, {-5, Heard}} {
		src := tone(Mode{1, 0}, Mode{10, c.overtone})
		if got := hear(s, src, masker)[0]; got.State != c.want {
			t.Errorf("an overtone at %+g dB: %+v, wanted it %s", c.overtone, got, c.want)
		}
	}
}

// Silence, notes that nobody could hear, and chords.
func TestHearEdges(t *testing.T) {
	s := reference(t)
	sources := []Source{{}, seated(t, "oboe", MF)}
	h := hear(s, sources...)
	if h[0].State != Silent || h[0].LevelDB != FloorDB || h[0].Masker != -1 {
		t.Errorf("a silent part: %+v", h[0])
	}
	if h[1].State != Dominant || h[1].Masker != -1 {
		t.Errorf("an oboe alone: %+v", h[1])
	}
	if total := s.Hear(nil, nil); total.Sone != 0 || total.LevelDB != FloorDB {
		t.Errorf("no part at all: %+v", total)
	}
	// Two notes of equal power in different bands: 3 dB more level, at least as audible.
	one := at(seated(t, "horn", MF), "C4")
	two := one
	two.AlsoHz = []float64{note("C4").Hz()}
	a, b := hear(s, one)[0], hear(s, two)[0]
	if !near(b.LevelDB-a.LevelDB, 3.01, 0.01) || b.AudibilityDB < a.AudibilityDB {
		t.Errorf("one note %+v, two %+v", a, b)
	}
	// A far, soft note under the threshold is silent rather than covered.
	far := NewScene(Hall(Room{Volume: 1e6, RT: 1}, Position{Y: -2000}))
	soft := seated(t, "celesta", Softest)
	if got := hear(far, soft)[0]; got.State != Silent {
		t.Errorf("nobody could hear it: %+v", got)
	}
	// Numbers that are none make no panic, and count as the lowest or the softest.
	odd := seated(t, "horn", math.NaN())
	odd.PitchHz, odd.AlsoHz = math.Inf(1), []float64{-3, math.NaN(), 0}
	if got := hear(s, odd)[0]; !near(got.LevelDB, 60, 60) {
		t.Errorf("odd numbers: %+v", got)
	}
	// One seat or another, one instrument or another, in the same place of the list.
	if x, y := hear(s, one)[0], hear(s, seated(t, "tuba", F), one)[1]; !near(x.LevelDB, y.LevelDB, 1e-9) {
		t.Errorf("the level of a part depends on its place in the list: %.3f, %.3f", x.LevelDB, y.LevelDB)
	}
}

// A full chord at ff reaches 85 to 105 dB in a hall, and 12 to 28 dB less at pp: the
// span of ordinary playing in Meyer's powers, less what players do. Ours: no
// published figure for a chord.
func TestTuttiLevel(t *testing.T) {
	s := reference(t)
	loud, soft := tutti(t, FF), tutti(t, PP)
	out := make([]Sound, len(loud))
	ff, pp := s.Hear(loud, out), s.Hear(soft, out)
	t.Logf("tutti ff %.1f dB, %.1f dB(A), %.0f sone, %.0f phon; pp %.1f dB", ff.LevelDB, ff.LevelA, ff.Sone, ff.Phon, pp.LevelDB)
	if ff.LevelDB < 85 || ff.LevelDB > 105 || !near(ff.LevelDB-pp.LevelDB, 20, 8) {
		t.Errorf("ff %.1f dB, pp %.1f dB", ff.LevelDB, pp.LevelDB)
	}
	if ff.LevelA >= ff.LevelDB || ff.Phon < ff.LevelA || !near(ff.Phon, Phon(ff.Sone), 1e-9) {
		t.Errorf("ff: %+v", ff)
	}
}

func TestStateNames(t *testing.T) {
	for s, want := range map[State]string{Silent: "silent", Covered: "covered", Blended: "blended", Heard: "heard", Dominant: "dominant"} {
		if b, err := s.MarshalText(); err != nil || string(b) != want {
			t.Errorf("%d: %q, %v", s, b, err)
		}
	}
}
