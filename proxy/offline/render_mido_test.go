package offline_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// python is Debian's own, which sees Debian's python3-mido.
const python = "/usr/bin/python3"

// mido runs a script that reads files with mido, or skips the test where there is no
// mido and no need to have it.
func mido(t *testing.T, into any, script string, args ...string) {
	t.Helper()
	if out, err := exec.Command(python, "-c", "import mido").CombinedOutput(); err != nil {
		complaint := fmt.Sprintf("NOT TESTED WITH ANOTHER READER: install Debian's package python3-mido (%v: %s)", err, out)
		if os.Getenv("CI") != "" {
			t.Fatal(complaint)
		}
		t.Skip(complaint)
	}
	cmd := exec.Command(python, append([]string{filepath.Join("../../testdata", script)}, args...)...)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v", script, err)
	}
	if err := json.Unmarshal(out, into); err != nil {
		t.Fatal(err)
	}
}

// write writes a file into a folder of the test's and returns its path.
func write(t *testing.T, name string, f *smf.File) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := smf.WriteFile(path, f); err != nil {
		t.Fatal(err)
	}
	return path
}

// What another reader finds in the shaped file is what it finds in the raw one, but
// for velocities, controllers and the ends of notes, and for these too in a steady manner;
// and its controllers are those that we wrote.
func TestRenderReadByMido(t *testing.T) {
	raw := demo.Score()
	shaped, _ := render(t, raw)
	still, _ := renderBy(t, raw, guessing(t), steady)
	type told struct {
		Notes   [][6]int64 // track, channel, pitch, velocity, start and end tick
		Tempos  [][3]int64
		Seconds float64
		Tracks  []struct {
			Events [][2]any
			End    int64
		}
	}
	var all map[string]told
	mido(t, &all, "smf/mido_check.py", "dump", write(t, "raw.mid", raw), write(t, "shaped.mid", shaped), write(t, "still.mid", still))
	a, b, c := all["raw.mid"], all["shaped.mid"], all["still.mid"]
	if len(a.Notes) != notesOf(raw) || len(a.Tempos) < 5 || a.Seconds < 60 {
		t.Fatalf("mido found %d notes, %d tempos and %g s in the raw file", len(a.Notes), len(a.Tempos), a.Seconds)
	}
	if len(b.Notes) != len(a.Notes) || len(c.Notes) != len(a.Notes) {
		t.Fatalf("mido found %d notes in the raw file, %d and %d in the shaped ones", len(a.Notes), len(b.Notes), len(c.Notes))
	}
	velocities, later := 0, 0
	for i, raw := range a.Notes {
		for _, shaped := range [...]*[6]int64{&b.Notes[i], &c.Notes[i]} {
			velocities += int(math.Abs(float64(raw[3] - shaped[3])))
			shaped[3] = raw[3]
		}
		if b.Notes[i][5] > raw[5] {
			b.Notes[i][5] = raw[5]
			later++
		}
	}
	if !slices.Equal(a.Notes, c.Notes) || velocities == 0 {
		t.Errorf("the notes differ in more than their velocities, or not even in those (%d)", velocities)
	}
	if !slices.Equal(a.Notes, b.Notes) || later == 0 {
		t.Errorf("the notes differ in more than their velocities and later ends, or not even in these (%d)", later)
	}
	if !slices.Equal(a.Tempos, b.Tempos) || math.Abs(a.Seconds-b.Seconds) > 1e-6 { // mido adds up seconds as it goes
		t.Errorf("tempos %v and %v, lengths %g and %g s", a.Tempos, b.Tempos, a.Seconds, b.Seconds)
	}
	violins := slices.IndexFunc(shaped.Tracks, func(tr smf.Track) bool { return tr.Name() == "Violins I" })
	var ours, theirs []string
	for _, e := range shaped.Tracks[violins].Events {
		if e.Data[0]&0xF0 == 0xB0 {
			ours = append(ours, fmt.Sprintf("%d %X", e.Tick, e.Data))
		}
	}
	for _, e := range b.Tracks[violins].Events {
		if data := e[1].(string); strings.HasPrefix(data, "B") {
			theirs = append(theirs, fmt.Sprintf("%.0f %s", e[0], data))
		}
	}
	if !slices.Equal(ours, theirs) || len(ours) < 500 {
		t.Errorf("of the %d controllers of the violins mido reads %d, or reads them otherwise", len(ours), len(theirs))
	}
}

// One trumpet, two horns and four wood-winds are equals in forte, and in piano each is
// about as loud as each other (Rimsky-Korsakov, Principles of Orchestration, ch. I).
// Measured in Python from the velocities and the expression of the file, by the
// response of General MIDI 2 and DLS, as sums of powers, as of a sampler whose parts a recording
// has shown to be equally strong to the ear.
func TestRenderBrassMeasuredElsewhere(t *testing.T) {
	const forte, piano = 96, 49 // common practice, no published source
	groups := []struct {
		names   []string
		program int
	}{
		{[]string{"Trumpet"}, 57},
		{[]string{"Horn 1", "Horn 2"}, 61},
		{[]string{"Flute", "Oboe", "Clarinet", "Bassoon"}, 0},
	}
	f := score()
	channel := byte(0)
	for _, g := range groups {
		for _, name := range g.names {
			f.Tracks = append(f.Tracks, named(name, channel, g.program, note(0, 960, channel, 67, forte), note(1920, 960, channel, 67, piano)))
			channel++
		}
	}
	measure := func(f *smf.File) (forte, piano map[string]float64) {
		var all []struct {
			Tick   int64
			Levels map[string]float64
		}
		mido(t, &all, "render/loudness.py", write(t, "brass.mid", f))
		if len(all) != 2 || all[0].Tick != 0 || all[1].Tick != 1920 || len(all[0].Levels) != 7 || len(all[1].Levels) != 7 {
			t.Fatalf("measured %+v, want seven parts at two ticks", all)
		}
		return all[0].Levels, all[1].Levels
	}
	together := func(levels map[string]float64, names []string) float64 {
		power := 0.0
		for _, name := range names {
			power += math.Pow(10, levels[name]/10)
		}
		return 10 * math.Log10(power)
	}
	balanced, _ := renderBy(t, f, evened(t), perform.Manner{Only: []string{"marks", "orchestra-weight"}})
	loud, soft := measure(balanced)
	trumpet := loud["Trumpet"]
	for _, g := range groups[1:] {
		if sum := together(loud, g.names); math.Abs(sum-trumpet) > 0.5 { // the model's fit leaves 0.4 dB, and a step of expression is up to 0.2 dB here
			t.Errorf("forte: %v are %.2f dB, the trumpet %.2f dB", g.names, sum, trumpet)
		}
	}
	for name, level := range soft {
		if math.Abs(level-soft["Trumpet"]) > 0.5 {
			t.Errorf("piano: %s is %.2f dB, the trumpet %.2f dB", name, level, soft["Trumpet"])
		}
	}
	// The raw file, where all are alike, shows that the measure can tell.
	if loud, _ := measure(f); loud["Trumpet"] != loud["Flute"] || together(loud, groups[2].names) < loud["Trumpet"]+6 {
		t.Errorf("raw: %v", loud)
	}
}
