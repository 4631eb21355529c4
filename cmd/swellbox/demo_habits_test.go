package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// Two performances of one second: what is written of them, and at one gain.
func TestWriteHabits(t *testing.T) {
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	cast := &perform.Cast{Library: lib}
	violin := func(velocity byte) *smf.File {
		return &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{{End: 960, Events: []smf.Event{
			{Data: []byte{0xC0, 40}}, {Data: []byte{0x90, 69, velocity}}, {Tick: 960, Data: []byte{0x80, 69, 64}},
		}}}}
	}
	_, report, err := offline.Render(t.Context(), violin(80), cast, demo.Manner())
	if err != nil {
		t.Fatal(err)
	}
	parts, err := demo.Played(report, cast)
	if err != nil {
		t.Fatal(err)
	}
	var out, errs bytes.Buffer
	p := &program.Program{Output: tell.Output{Out: &out, Err: &errs}}
	dir := filepath.Join(t.TempDir(), "habits")
	solos := []demo.Solo{{Name: demo.Raw, File: violin(127)}, {Name: "phrase", File: violin(64), Report: report}}
	if err := writeHabits(t.Context(), p, dir, demo.BuiltIn(), solos, []demo.Effect{{Habit: "phrase"}}, parts); err != nil {
		t.Fatal(err)
	}
	var names []string
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if want := []string{"habits.svg", "listen.txt", "phrase.mid", "phrase.wav", "raw.mid", "raw.wav"}; !slices.Equal(names, want) {
		t.Errorf("wrote %v, want %v", names, want)
	}
	read := func(name string) string {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	raw, phrase := readWAV(t, read("raw.wav")), readWAV(t, read("phrase.wav"))
	if raw.frames != phrase.frames || raw.peak > -1 {
		t.Errorf("%d and %d frames, the louder peaks at %.2f dBFS; want as many, and at most -1", raw.frames, phrase.frames, raw.peak)
	}
	if softer := raw.peak - phrase.peak; softer < 8 || softer > 16 { // 40·log10(127/64) is 11.9 dB
		t.Errorf("velocity 64 peaks %.1f dB under 127: not at one gain", softer)
	}
	if text := read("listen.txt"); !strings.Contains(text, "\nphrase.wav ") || !strings.Contains(text, demo.Title) {
		t.Errorf("listen.txt: %s", text)
	}
	if errs.String() == "" || strings.Contains(errs.String(), "\r") {
		t.Errorf("progress: %q", &errs)
	}
	if err := writeHabits(t.Context(), p, filepath.Join(dir, "raw.mid"), demo.BuiltIn(), solos, nil, parts); err == nil || !strings.Contains(err.Error(), "raw.mid") {
		t.Errorf("into a file: %v", err)
	}
}
