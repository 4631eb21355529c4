package loudness_test

import (
	"errors"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
	"time"

	"github.com/go-audio/audio"
	"github.com/go-audio/wav"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/demo"
	"swellbox/proxy/study/loudness"
)

// independent finds a program to measure with, which has nothing of ours.
func independent(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("ffmpeg")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("ffmpeg is missing: %v", err)
		}
		t.Skipf("SKIPPED: no ffmpeg here, so no independent program has measured the same recordings")
	}
	return path
}

// TestManySoundsAgainstFFmpeg measures the demonstration, raw and shaped, as a user gets it on
// disk, with another program.
func TestManySoundsAgainstFFmpeg(t *testing.T) {
	ffmpeg := independent(t)
	raw := demo.Score()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	shaped, report, err := offline.Render(t.Context(), raw, &perform.Cast{Library: lib}, perform.Manner{})
	if err != nil {
		t.Fatal(err)
	}
	var parts []audition.Part
	for _, p := range report.Parts {
		parts = append(parts, audition.Part{Port: p.Port - 1, Channel: p.Channel - 1, Instrument: lib.Voice(p.Profile), Players: p.Players})
	}
	for name, file := range map[string]*smf.File{"raw": raw, "shaped": shaped} {
		take, gain, path := recorded(t, parts, file)
		for _, x := range [][]float32{take.Left, take.Right} {
			for i := range x {
				x[i] *= float32(gain)
			}
		}
		ours, err := loudness.Measure(take.Left, take.Right, audition.SampleRate)
		if err != nil {
			t.Fatal(err)
		}
		theirs := ebur128(t, ffmpeg, path)
		t.Logf("%s: %.3f LKFS and a range of %.2f LU, by ffmpeg %.3f and %.2f", name, ours.Integrated, ours.Range, theirs["I"], theirs["LRA"])
		if d := ours.Integrated - theirs["I"]; !(d > -.1 && d < .1) {
			t.Errorf("%s has %.3f LKFS, by ffmpeg %.3f; want them within 0.1", name, ours.Integrated, theirs["I"])
		}
		if d := ours.Range - theirs["LRA"]; !(d > -1 && d < 1) {
			t.Errorf("%s has a range of %.2f LU, by ffmpeg %.2f; want them within 1", name, ours.Range, theirs["LRA"])
		}
	}
}

// TestRatesAgainstFFmpeg does the same with noise, which has all of the spectrum, at
// rates for which the filters are derived.
func TestRatesAgainstFFmpeg(t *testing.T) {
	ffmpeg := independent(t)
	for _, rate := range []int{32000, 44100, 88200, 96000} {
		rng := rand.New(rand.NewPCG(1, 2))
		left, right := make([]float32, 5*rate), make([]float32, 5*rate)
		pcm := &audio.IntBuffer{Format: &audio.Format{NumChannels: 2, SampleRate: rate}, SourceBitDepth: 16}
		for i := range left {
			a, b := rng.IntN(8000)-4000, rng.IntN(2000)-1000
			left[i], right[i] = float32(a)/32768, float32(b)/32768
			pcm.Data = append(pcm.Data, a, b)
		}
		path := filepath.Join(t.TempDir(), "noise.wav")
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		enc := wav.NewEncoder(f, rate, 16, 2, 1)
		if err := errors.Join(enc.Write(pcm), enc.Close()); err != nil {
			t.Fatal(err)
		}
		ours, err := loudness.Measure(left, right, rate)
		if err != nil {
			t.Fatal(err)
		}
		theirs := ebur128(t, ffmpeg, path)
		t.Logf("at %d Hz: %.3f LKFS, by ffmpeg %.3f", rate, ours.Integrated, theirs["I"])
		if d := ours.Integrated - theirs["I"]; !(d > -.1 && d < .1) {
			t.Errorf("at %d Hz: %.3f LKFS, by ffmpeg %.3f; want them within 0.1", rate, ours.Integrated, theirs["I"])
		}
	}
}

// recorded renders the most eventful part of a piece and writes it as the demo does.
func recorded(t *testing.T, parts []audition.Part, f *smf.File) (take *audition.Take, gain float64, path string) {
	t.Helper()
	timeline, err := offline.NewTimeline(f, 0)
	if err != nil {
		t.Fatal(err)
	}
	const from, length = 36 * time.Second, 14 * time.Second // over the step from p to f
	var events []expr.Event
	for _, e := range timeline.Events {
		e.At = max(e.At-from, 0)
		if e.At > 0 || !e.IsNoteOn() {
			events = append(events, e)
		}
	}
	if take, err = audition.Render(t.Context(), parts, events, length, nil); err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "take.wav")
	w, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	gain = audition.CommonGain(take)
	if err := take.WriteWAV(w, gain); err != nil {
		t.Fatal(err)
	}
	return take, gain, path
}

var measured = regexp.MustCompile(`lavfi\.r128\.(I|LRA)=(-?[0-9.]+)`)

// ebur128 is what the filter of that name measured up to the end of the file.
func ebur128(t *testing.T, ffmpeg, path string) map[string]float64 {
	t.Helper()
	out, err := exec.Command(ffmpeg, "-nostdin", "-hide_banner", "-loglevel", "error", "-i", path,
		"-filter:a", "ebur128=metadata=1,ametadata=print:file=-", "-f", "null", "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	last := map[string]float64{}
	for _, m := range measured.FindAllSubmatch(out, -1) {
		if last[string(m[1])], err = strconv.ParseFloat(string(m[2]), 64); err != nil {
			t.Fatal(err)
		}
	}
	if len(last) != 2 {
		t.Fatalf("ffmpeg printed no loudness: %.200s", out)
	}
	return last
}
