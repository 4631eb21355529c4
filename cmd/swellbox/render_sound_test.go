package main

import (
	"strings"
	"testing"
)

// A piece of one's own can be heard: both sides of one length, loud enough and without clipping, and
// what is printed says what to play. Where the folder cannot be made the MIDI file is there all the same.
func TestRenderSound(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	status, out, errs := d.run("render", "raw.mid", "-o", "shaped.mid", "--sound", "heard")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	contains(t, strings.Join(strings.Fields(out), " "), "To hear it, start quiet: heard/raw.wav as it came in, heard/shaped.wav as players would")
	heardAlike(t, d, "heard/raw.wav", "heard/shaped.wav")

	status, _, errs = d.run("render", "raw.mid", "-o", "again.mid", "--sound", "raw.mid")
	if status != 1 || !strings.Contains(errs, "again.mid is written, but not its sound: the folder cannot be made") {
		t.Errorf("into a folder that is a file: status %d, %s", status, errs)
	}
	if d.read("again.mid") != d.read("shaped.mid") {
		t.Error("the shaping is not what it is without the sound")
	}
}

// heardAlike asserts of two files to compare that they are as long as each other, and that something is
// heard in both, and nothing clipped.
func heardAlike(t *testing.T, d *desktop, a, b string) {
	t.Helper()
	one, other := readWAV(t, d.read(a)), readWAV(t, d.read(b))
	if one.frames != other.frames || one.frames == 0 {
		t.Errorf("%d frames in %s, %d in %s", one.frames, a, other.frames, b)
	}
	for name, w := range map[string]sound{a: one, b: other} {
		if w.peak > -1 || w.peak < -30 {
			t.Errorf("%s peaks at %.2f dBFS, want at most -1 and something to hear", name, w.peak)
		}
	}
}
