package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// fewParts are parts of all families, by their General MIDI programs.
const fewParts = `swellbox: 1
seats:
  - {part: Flute, channel: 1, program: 74, profile: flute, players: 1}
  - {part: Horns, channel: 2, program: 61, profile: horn, players: 2}
  - {part: Trumpet, channel: 3, program: 57, profile: trumpet, players: 1}
  - {part: Timpani, channel: 4, program: 48, profile: timpani, players: 1}
  - {part: Violins, channel: 5, program: 49, profile: violins-1, players: 12}
  - {part: Cellos, channel: 6, program: 43, profile: cellos, players: 6}
`

// synthesiser records a file as a synthesiser that is not ours plays it.
func (d *desktop) synthesise(bank, midi, sound string) {
	d.t.Helper()
	path := filepath.Join("/usr/share/sounds/sf2", bank)
	program, err := exec.LookPath("fluidsynth")
	if err == nil {
		_, err = os.Stat(path)
	}
	if err != nil {
		if os.Getenv("CI") != "" {
			d.t.Fatalf("a synthesiser with its bank is missing: %v", err)
		}
		d.t.Skipf("SKIPPED: no synthesiser with the bank %s here, so no real sampler was calibrated: %v", bank, err)
	}
	cmd := exec.Command(program, "-niq", "-F", sound, "-T", "wav", "-O", "s24", "-r", "44100", "-g", "0.5", "-R", "0", "-C", "0", "-o", "synth.dynamic-sample-loading=1", path, midi)
	if out, err := cmd.CombinedOutput(); err != nil {
		d.t.Fatalf("%v: %s", err, out)
	}
}

// TestCalibrationIsTrueOnASynthesiser takes all its steps on a real sampler with two banks: on notes that
// were not measured, the balance is nearer to the model than raw, by far.
func TestCalibrationIsTrueOnASynthesiser(t *testing.T) {
	for bank, most := range map[string]float64{"FluidR3_GM.sf2": 1.8, "TimGM6mb.sf2": 1.8} {
		t.Run(bank, func(t *testing.T) {
			d := atDesktop(t)
			d.file("seating.yaml", fewParts)
			seating := []string{"--seating", "seating.yaml"}
			d.must(append(seating, "calibrate", "plan", "-o", "probe.mid")...)
			d.synthesise(bank, "probe.mid", "probe.wav")
			d.must(append(seating, "calibrate", "fit", "probe.wav", "-o", "measured")...)
			seating = append(seating, "--profiles", "measured")
			if out := d.must(append(seating, "calibrate", "check", "-o", "check.mid")...); !strings.Contains(out, "check.mid plays for") {
				t.Errorf("check says %q", out)
			}
			d.synthesise(bank, "check.mid", "check.wav")
			var v struct {
				Raw, Shaped struct {
					ErrorDB float64 `json:"error_db"`
					OnsetMS float64 `json:"onset_sd_ms"`
				}
			}
			out := d.must(append(seating, "calibrate", "check", "check.wav", "--json")...)
			if err := json.Unmarshal([]byte(out), &v); err != nil {
				t.Fatal(err)
			}
			if v.Shaped.ErrorDB > most || v.Shaped.ErrorDB > v.Raw.ErrorDB/2 {
				t.Errorf("the notes stand %.2f dB off shaped and %.2f raw; want %.1f at most, and half of raw", v.Shaped.ErrorDB, v.Raw.ErrorDB, most)
			}
			told := d.must(append(seating, "calibrate", "check", "check.wav")...)
			for _, want := range []string{"vibrato asked", "Violins", "Balance:", "Loudness:"} {
				if !strings.Contains(told, want) {
					t.Errorf("check lacks %q:\n%s", want, told)
				}
			}
			t.Logf("\n%s", told)
		})
	}
}

// TestCalibrateCheckRefuses says what is missing.
func TestCalibrateCheckRefuses(t *testing.T) {
	d := atDesktop(t)
	d.file("seating.yaml", fewParts)
	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"calibrate", "check", "--seating", "seating.yaml"}, "-o CHECK.mid"},
		{[]string{"calibrate", "check", "a.wav", "-o", "b.mid", "--seating", "seating.yaml"}, "leave it out"},
		{[]string{"calibrate", "check", "-o", "b.mid"}, "which parts"},
		{[]string{"calibrate", "check", "missing.wav", "--seating", "seating.yaml"}, "missing.wav"},
	} {
		if status, _, errs := d.run(c.args...); status == 0 || !strings.Contains(errs, c.says) {
			t.Errorf("%q: status %d, %q; want it to say %q", c.args, status, errs, c.says)
		}
	}
	if _, _, errs := d.run("calibrate", "check", "--seating", "seating.yaml", "-o", "check.mid"); !strings.Contains(errs, "was measured yet") {
		t.Errorf("of parts that were not measured it says %q", errs)
	}
}
