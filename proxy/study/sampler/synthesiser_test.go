package sampler

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
)

// synthesiser finds a synthesiser that is not ours, and its banks.
func synthesiser(t *testing.T, bank string) (program, path string) {
	t.Helper()
	program, err := exec.LookPath("fluidsynth")
	path = filepath.Join("/usr/share/sounds/sf2", bank)
	if err == nil {
		_, err = os.Stat(path)
	}
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("a synthesiser with its bank is missing: %v", err)
		}
		t.Skipf("SKIPPED: no synthesiser with the bank %s here, so no real sampler was measured: %v", bank, err)
	}
	return program, path
}

// TestFitOfASynthesiser measures a real sampler, which follows General MIDI: its velocity and
// controllers by 40·log10, and a vibrato that is not at a player's rate. A second measurement of the
// same agrees with the first.
func TestFitOfASynthesiser(t *testing.T) {
	for _, bank := range []string{"FluidR3_GM.sf2", "TimGM6mb.sf2"} {
		t.Run(bank, func(t *testing.T) {
			program, path := synthesiser(t, bank)
			parts := subjects(t)
			parts[0].Program, parts[1].Program = 74, 1
			plan, err := NewPlan(parts, false)
			if err != nil {
				t.Fatal(err)
			}
			folder := t.TempDir()
			probe, sound := filepath.Join(folder, "probe.mid"), filepath.Join(folder, "probe.wav")
			if err := smf.WriteFile(probe, plan.File()); err != nil {
				t.Fatal(err)
			}
			cmd := exec.Command(program, "-niq", "-F", sound, "-T", "wav", "-O", "s24", "-r", "48000", "-g", "0.5", "-R", "0", "-C", "0", path, probe)
			if out, err := cmd.CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, out)
			}
			rec, err := ReadWAV(sound)
			if err != nil {
				t.Fatal(err)
			}
			res, err := Fit(t.Context(), plan, rec)
			if err != nil {
				t.Fatal(err)
			}
			flute, piano := &res.Parts[0], &res.Parts[1]
			checkLaw(t, flute, "velocity", flute.Velocity, mf, 0.5)
			for _, f := range []*PartFit{flute, piano} {
				checkLaw(t, f, "expression", f.Dynamics, 127, 0.6)
				if want := law(64) - law(100); math.Abs(f.VolumeDB-want) > 0.3 {
					t.Errorf("%s: volume 64 takes %.2f dB, want %.2f", f.Name, f.VolumeDB, want)
				}
			}
			if math.Abs(res.DriftPPM) > 30 || math.Abs(res.OffsetS) > 0.05 {
				t.Errorf("the probe begins at %.3f s and drifts by %.0f parts in a million, want none of either", res.OffsetS, res.DriftPPM)
			}
			if v := flute.Depth[1]; v.Cents < 40 || v.Hz < 7.5 || v.Hz > 9 {
				t.Errorf("controller 1 makes %.0f cents at %.2f Hz, want a vibrato of about 8.2 Hz", v.Cents, v.Hz)
			}
			docs, err := res.Documents(Making{Weight: Ear, Ensemble: profiles.DefaultEnsemble, On: time.Date(2026, 12, 31, 0, 0, 0, 0, time.UTC)})
			if err != nil || len(docs) != 2 {
				t.Fatalf("%d documents: %v", len(docs), err)
			}
			again, err := Fit(t.Context(), plan, rec)
			if err != nil || again.Parts[0].LevelDB != flute.LevelDB {
				t.Errorf("measured again it is %v, was %v: %v", again.Parts[0].LevelDB, flute.LevelDB, err)
			}
		})
	}
}
