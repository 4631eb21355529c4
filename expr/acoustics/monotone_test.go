package acoustics

import (
	"testing"

	"pgregory.net/rapid"
)

// rounding is what two ways of adding up the same numbers may differ by, dB.
const rounding = 1e-9

func drawInstrument(t *rapid.T) *Instrument {
	return rapid.SampledFrom(all).Draw(t, "instrument")
}

func drawSource(t *rapid.T) Source {
	in := drawInstrument(t)
	return Source{
		Instrument: in,
		Players:    rapid.IntRange(1, 40).Draw(t, "players"),
		DynamicDB:  rapid.Float64Range(-35, 20).Draw(t, "dynamic"),
		PitchHz:    Pitch(rapid.Float64Range(float64(in.Low), float64(in.High)).Draw(t, "pitch")).Hz(),
		Seat:       Position{rapid.Float64Range(-10, 10).Draw(t, "x"), rapid.Float64Range(0, 15).Draw(t, "y")},
		FaderDB:    rapid.Float64Range(-20, 12).Draw(t, "fader"),
	}
}

// monotoneScenes are halls of both fields and a studio.
func monotoneScenes() []*Scene {
	var scenes []*Scene
	for _, r := range rooms {
		scenes = append(scenes, NewScene(Hall(r, Row(9))), NewScene(Place{Room: r, Field: Diffuse, Listener: Podium()}))
	}
	return append(scenes, NewScene(Studio()))
}

// A louder marking is never less power, alone or in the ensemble, in any register.
func TestLouderMarkingNeverLessPower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src := drawSource(t)
		p := PitchOf(src.PitchHz)
		louder := src.DynamicDB + rapid.Float64Range(0, 20).Draw(t, "more")
		in := src.Instrument
		if a, b := in.PowerDB(src.DynamicDB, p), in.PowerDB(louder, p); b < a-rounding {
			t.Fatalf("%s on %g: %g dB at %g, %g dB at %g", in.Name, p, a, src.DynamicDB, b, louder)
		}
		if a, b := in.PlayedDB(src.Players, src.DynamicDB, p), in.PlayedDB(src.Players, louder, p); b < a-rounding {
			t.Fatalf("%s on %g in the ensemble: %g dB at %g, %g dB at %g", in.Name, p, a, src.DynamicDB, b, louder)
		}
	})
}

// Nor is it less strong to the ear, whatever it does to the spectrum.
func TestLouderMarkingNeverLessStrong(t *testing.T) {
	scenes := monotoneScenes()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(scenes).Draw(t, "scene")
		src := drawSource(t)
		soft := s.StrengthDB(&src)
		src.DynamicDB += rapid.Float64Range(0, 20).Draw(t, "more")
		if loud := s.StrengthDB(&src); loud < soft-rounding {
			t.Fatalf("%s: %g dB, and %g with a louder marking", src.Instrument.Name, soft, loud)
		}
	})
}

// More players are never less, in power and as heard.
func TestMorePlayersNeverLess(t *testing.T) {
	scenes := monotoneScenes()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(scenes).Draw(t, "scene")
		src := drawSource(t)
		few := s.StrengthDB(&src)
		src.Players += rapid.IntRange(1, 20).Draw(t, "more")
		if many := s.StrengthDB(&src); many < few || many == few && s.place.hall() {
			t.Fatalf("%s: %g dB with fewer players, %g with %d", src.Instrument.Name, few, many, src.Players)
		}
	})
}

// A seat farther away is never louder, in the direct field and in both kinds of hall.
func TestFartherNeverLouder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom(rooms).Draw(t, "room")
		field := rapid.SampledFrom([]Field{Diffuse, Receding}).Draw(t, "field")
		q := rapid.Float64Range(0.05, 10).Draw(t, "q")
		near := rapid.Float64Range(nearest, 60).Draw(t, "near")
		far := near + rapid.Float64Range(0.01, 60).Draw(t, "farther")
		if direct(far) >= direct(near) {
			t.Fatalf("direct sound at %g and %g m", near, far)
		}
		if a, b := r.LevelDB(90, q, near, field), r.LevelDB(90, q, far, field); b > a {
			t.Fatalf("%g dB at %g m, %g dB at %g m", a, near, b, far)
		}
	})
}

// One masker more never makes a part more audible, wherever it stands in the list;
// nor does a masker with more players.
func TestMaskerNeverHelps(t *testing.T) {
	scenes := monotoneScenes()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(scenes).Draw(t, "scene")
		n := rapid.IntRange(1, 8).Draw(t, "parts")
		var few []Source
		for range n {
			few = append(few, drawSource(t))
		}
		place := rapid.IntRange(0, n).Draw(t, "place")
		many := append([]Source(nil), few[:place]...)
		many = append(many, drawSource(t))
		many = append(many, few[place:]...)
		before, after := make([]Sound, n), make([]Sound, n+1)
		quiet := s.Hear(few, before)
		loud := s.Hear(many, after)
		if loud.LevelDB < quiet.LevelDB-rounding || loud.Sone < quiet.Sone-rounding {
			t.Fatalf("all together: %+v, with one more %+v", quiet, loud)
		}
		for i, a := range before {
			j := i
			if i >= place {
				j++
			}
			b := after[j]
			if b.AudibilityDB > a.AudibilityDB+rounding || b.State > a.State {
				t.Fatalf("%s: %+v, with one masker more %+v", few[i].Instrument.Name, a, b)
			}
		}
		many[place].Players += 10
		again := make([]Sound, n+1)
		s.Hear(many, again)
		for i := range again {
			if i != place && again[i].AudibilityDB > after[i].AudibilityDB+rounding {
				t.Fatalf("%s: %+v, with ten maskers more %+v", many[i].Instrument.Name, after[i], again[i])
			}
		}
	})
}

// What is heard is the same whatever was heard before, and finite for any input in
// the tables' ranges.
func TestHearKeepsNothing(t *testing.T) {
	room := rooms[1]
	used := NewScene(Hall(room, Row(7)))
	rapid.Check(t, func(t *rapid.T) {
		sources := []Source{drawSource(t), drawSource(t), drawSource(t)}
		a, b := make([]Sound, 3), make([]Sound, 3)
		used.Hear(sources, a)
		NewScene(Hall(room, Row(7))).Hear(sources, b)
		for i := range a {
			if a[i] != b[i] {
				t.Fatalf("%s: %+v, in a fresh scene %+v", sources[i].Instrument.Name, a[i], b[i])
			}
			if !near(a[i].AudibilityDB, 0, 200) || !near(a[i].LevelDB, 0, 200) {
				t.Fatalf("%s: %+v", sources[i].Instrument.Name, a[i])
			}
		}
	})
}
