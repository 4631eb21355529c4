package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/ports/portstub"
)

// What was played is recorded and played again: listed, written, and what came in written to be rendered.
func TestRecordAndReplay(t *testing.T) {
	d := atDesktop(t)
	sys := newAudible()
	d.system = sys
	r := d.start("live", "--record", "today.rec")
	sys.Feed("swellbox in 1", 0xC0, 40)
	sys.Feed("swellbox in 1", 0x90, 69, 90)
	await(t, sys.heard, "the note", noteOn)
	sys.Feed("swellbox in 1", 0xF8)
	d.must("switch", "raw")
	sys.Feed("swellbox in 1", 0x80, 69, 0)
	await(t, sys.heard, "its end", noteOff)
	r.cancel()
	if status := r.end(); status != 0 {
		t.Fatalf("ended with status %d, %s", status, r.errs)
	}
	sent := sys.Sent("swellbox out 1")

	if out := d.must("replay", "today.rec"); !strings.Contains(out, "played as violins") || !strings.Contains(out, "4 messages came in") {
		t.Errorf("replay prints %q", out)
	}
	list := strings.Split(strings.TrimSpace(d.must("replay", "today.rec", "--list")), "\n")
	if len(list) != len(sent) {
		t.Errorf("%d messages were sent, %d are listed:\n%s", len(sent), len(list), strings.Join(list, "\n"))
	}
	if out := d.must("replay", "today.rec", "--json"); !strings.Contains(out, `"cut": false`) {
		t.Errorf("replay --json prints %q", out)
	}
	d.must("replay", "today.rec", "-o", "sent.mid")
	wantNotes(t, d, "sent.mid")
	d.must("replay", "today.rec", "--received", "-o", "came.mid")
	wantNotes(t, d, "came.mid")
	d.must("render", "came.mid", "-o", "rendered.mid")
	wantNotes(t, d, "rendered.mid")
}

// wantNotes wants the one note-on of the session in a file.
func wantNotes(t *testing.T, d *desktop, name string) {
	t.Helper()
	f, err := smf.ReadFile(filepath.Join(d.dir, name))
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, track := range f.Tracks {
		for _, e := range track.Events {
			if noteOn(append([]byte{}, e.Data...)) && e.Data[1] == 69 {
				n++
			}
		}
	}
	if n != 1 || len(f.Warnings) != 0 {
		t.Errorf("%s has the note %d times; %q", name, n, f.Warnings)
	}
}

// A recording is not written over, nothing else is taken for one, and a live that does not start
// leaves none behind.
func TestRecordingRefusals(t *testing.T) {
	d := atDesktop(t)
	d.file("novel.txt", "It was a dark night.")
	if status, _, errs := d.run("live", "--record", "novel.txt"); status != 1 || !strings.Contains(errs, "never written over") {
		t.Errorf("status %d, %s", status, errs)
	}
	if status, _, errs := d.run("replay", "novel.txt"); status != 1 || !strings.Contains(errs, "not a recording") {
		t.Errorf("status %d, %s", status, errs)
	}
	d.system = &portstub.System{}
	if status, _, _ := d.run("live", "--record", "none.rec", "--in", "a cable that is not there", "--out", "nor this"); status == 0 {
		t.Error("it plays")
	}
	if _, err := os.Stat(filepath.Join(d.dir, "none.rec")); err == nil {
		t.Error("a recording of nothing is left")
	}
}
