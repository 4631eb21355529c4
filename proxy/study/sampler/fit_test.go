package sampler

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"swellbox/profiles"
)

func planOf(t testing.TB) *Plan {
	t.Helper()
	p, err := NewPlan(subjects(t), false)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestManyFitsFindWhatIsKnown measures a sampler of which all is known, as people record: every answer
// must be the known one, within what the harm done to the recording leaves.
func TestManyFitsFindWhatIsKnown(t *testing.T) {
	p := planOf(t)
	for name, c := range map[string]struct {
		take
		levelDB, lateMS float64 // allowed
	}{
		"clean":        {take{rate: 44100}, 0.3, 4},
		"noisy, late":  {take{rate: 48000, offset: time.Second, noiseDB: -52, dc: 0.05, dead: true}, 0.5, 8},
		"another pace": {take{rate: 96000, drift: 100e-6}, 0.3, 4},
		"reverberant":  {take{rate: 44100, tail: 1500 * time.Millisecond}, 1.2, 25},
		"dull":         {take{rate: 44100, bandLimit: 4000}, 1, 6},
	} {
		t.Run(name, func(t *testing.T) {
			res, err := Fit(t.Context(), p, record(p, voices, c.take))
			if err != nil {
				t.Fatal(err)
			}
			if d := res.DriftPPM - c.drift*1e6; math.Abs(d) > 12 {
				t.Errorf("the clocks differ by %.0f parts in a million, found %.0f", c.drift*1e6, res.DriftPPM)
			}
			flute, piano := &res.Parts[0], &res.Parts[1]
			for _, f := range []*PartFit{flute, piano} {
				checkLaw(t, f, "velocity", f.Velocity, mf, c.levelDB)
				checkLaw(t, f, "expression", f.Dynamics, 127, c.levelDB)
				if want := law(64) - law(100); math.Abs(f.VolumeDB-want) > c.levelDB {
					t.Errorf("%s: volume 64 takes %.2f dB, want %.2f", f.Name, f.VolumeDB, want)
				}
			}
			for _, k := range flute.Keys {
				if want := 3 * float64(k.Key-72) / 12; math.Abs(k.DB[Flat]-want) > c.levelDB+0.3 && c.bandLimit == 0 {
					t.Errorf("key %d: %.2f dB, want %.2f", k.Key, k.DB[Flat], want)
				}
			}
			if late := flute.AttackMS - piano.AttackMS; late < 18-c.lateMS || late > 20+c.lateMS { // a ramp of 60 ms comes within 10 dB after 19
				t.Errorf("the flute is heard %.1f ms after the piano, want about 19", late)
			}
			if v := flute.Own; math.Abs(v.Cents-20) > 3 || math.Abs(v.Hz-5.5) > 0.3 {
				t.Errorf("a vibrato of its own of %.1f cents at %.2f Hz, want 20 at 5.5", v.Cents, v.Hz)
			}
			if v := flute.Depth[1]; math.Abs(v.Cents-80) > 8 || math.Abs(v.Hz-8.2) > 0.3 {
				t.Errorf("a vibrato by controller of %.1f cents at %.2f Hz, want 80 at 8.2", v.Cents, v.Hz)
			}
			if math.Abs(flute.BendST-2) > 0.1 && c.tail == 0 { // the note before the bend sounds on in a hall
				t.Errorf("a full bend of %.2f semitones, want 2", flute.BendST)
			}
			if want := -1.0; math.Abs(flute.LongDB-want) > 1.5 { // the whole of its ramp is in it
				t.Errorf("a long note is %.1f dB against one of the probe, want %.1f", flute.LongDB, want)
			}
			if c.dead != (len(res.Remarks) > 0) {
				t.Errorf("remarks %q", res.Remarks)
			}
		})
	}
}

// checkLaw holds a response against General MIDI's, which the voices have; under -25 dB it is let go.
func checkLaw(t *testing.T, f *PartFit, what string, steps []Step, zero int, allowed float64) {
	t.Helper()
	if len(steps) < 3 {
		t.Errorf("%s: %d values of %s were measured", f.Name, len(steps), what)
	}
	for _, s := range steps {
		if want := law(float64(s.Value)) - law(float64(zero)); want > -20 && math.Abs(s.DB-want) > allowed {
			t.Errorf("%s: %s %d gives %.2f dB, want %.2f", f.Name, what, s.Value, s.DB, want)
		}
	}
}

// TestManyFitsRefuse says why for recordings that show nothing.
func TestManyFitsRefuse(t *testing.T) {
	p := planOf(t)
	good := record(p, voices, take{rate: 44100})
	cut := &Recording{Rate: good.Rate, Channels: [][]float32{good.Channels[0][:len(good.Channels[0])*3/4]}}
	other, err := NewPlan(subjects(t), true)
	if err != nil {
		t.Fatal(err)
	}
	silent := &Recording{Rate: 44100, Channels: [][]float32{make([]float32, len(good.Channels[0]))}}
	for name, c := range map[string]struct {
		plan *Plan
		rec  *Recording
		says string
	}{
		"clipped":       {p, record(p, voices, take{rate: 44100, clip: 6}), "clipped"},
		"silent":        {p, silent, "silent"},
		"cut":           {p, cut, "record it"},
		"another probe": {other, good, "record it"},
		"noise alone":   {p, record(p, []voice{{gainDB: -120}, {gainDB: -120}}, take{rate: 44100, noiseDB: -40}), "not in this recording"},
	} {
		if _, err := Fit(t.Context(), c.plan, c.rec); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v; want it to say %q", name, err, c.says)
		}
	}
}

// TestDeadControllerIsFound has a sampler that does not listen to its controller: the velocity
// carries the dynamics then, and the document says why.
func TestDeadControllerIsFound(t *testing.T) {
	p := planOf(t)
	deaf := append([]voice(nil), voices...)
	deaf[0].ignoresDynamic = true
	res, err := Fit(context.Background(), p, record(p, deaf, take{rate: 44100}))
	if err != nil {
		t.Fatal(err)
	}
	docs, err := res.Documents(Making{Weight: Ear, Ensemble: profiles.DefaultEnsemble, On: time.Date(2026, 12, 31, 0, 0, 0, 0, time.UTC), By: "a tester"})
	if err != nil {
		t.Fatal(err)
	}
	text := string(docs[0].Text)
	for _, want := range []string{"carried_by: velocity} # the controller of its level is dead", "level: none", "controller 11, which should carry its level, is dead", `by: "a tester"`, `on: "2026-12-31"`, "bend_vibrato: true # controller 1 makes"} {
		if !strings.Contains(text, want) {
			t.Errorf("the document of the flute lacks %q:\n%s", want, text)
		}
	}
	if !strings.Contains(string(docs[1].Text), "carried_by: velocity} # the dynamics lie in the stroke") {
		t.Errorf("the document of the piano:\n%s", docs[1].Text)
	}
}
