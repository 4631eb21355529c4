package main

import (
	"encoding/json"
	"strings"
	"testing"

	"swellbox/proxy/live"
)

// A profile is edited while it plays: what is saved well plays at once and is a
// version of the history, what is broken is told of and plays on as it was.
func TestLiveFollowsEdits(t *testing.T) {
	d := atDesktop(t)
	sys := newAudible()
	d.system = sys
	d.file("user/swellbox/profiles/violins.yaml", "swellbox: 1\nname: violins\nextends: violins\nplayers: 10\n")
	r := d.start("live")
	sys.Feed("swellbox in 1", 0xC0, 40) // GM's violin
	sys.Feed("swellbox in 1", 0x90, 69, 90)
	await(t, sys.heard, "the note", noteOn)
	sys.Feed("swellbox in 1", 0x80, 69, 64)

	taken := func(words ...string) {
		t.Helper()
		await(t, r.errs.lines, "the log to say "+strings.Join(words, " … "), func(line string) bool {
			for _, w := range words {
				if !strings.Contains(line, w) {
					return false
				}
			}
			return true
		})
	}
	d.file("user/swellbox/profiles/violins.yaml", "swellbox: 1\nname: violins\nextends: violins\nplayers: 14\n")
	taken("profile taken", "violins")
	d.file("user/swellbox/profiles/violins.yaml", "swellbox: 1\nname: violins\nextends: violins\nplayers: many\n")
	taken("not all profiles taken", "violins.yaml:4")
	var s live.Status
	if err := json.Unmarshal([]byte(d.must("status", "--json")), &s); err != nil {
		t.Fatal(err)
	}
	if w := strings.Join(s.Warnings, "\n"); !strings.Contains(w, "violins.yaml:4:10") {
		t.Errorf("the status warns of %q", w)
	}
	if len(s.Parts) != 1 || s.Parts[0].Players != 14 || !strings.HasPrefix(s.Parts[0].Origin, "own, ") {
		t.Errorf("the parts are %+v, want the violins of the last good save, 14 players", s.Parts)
	}
	d.file("user/swellbox/profiles/violins.yaml", "swellbox: 1\nname: violins\nextends: violins\nplayers: 14\nsustain: {swell_db: 2}\n")
	taken("violins.yaml has old names of keys", "swellbox profile update", `sustain: this key is now called`)
	if _, _, errs := d.run("status"); !strings.Contains(errs, "swellbox profile update") {
		t.Errorf("the status does not say how to have the new names: %s", errs)
	}
	r.cancel()
	if status := r.end(); status != 0 {
		t.Fatalf("ended with status %d: %s", status, r.errs)
	}
	var h struct {
		Versions []struct{ N int }
	}
	if err := json.Unmarshal([]byte(d.must("profile", "history", "violins", "--json")), &h); err != nil {
		t.Fatal(err)
	}
	if len(h.Versions) < 2 {
		t.Errorf("the history has %d versions, want those with 10 and with 14 players", len(h.Versions))
	}
}

// By a lock, edits change nothing.
func TestLiveLocked(t *testing.T) {
	d := atDesktop(t)
	sys := newAudible()
	d.system = sys
	d.duet()
	path := d.file("user/swellbox/profiles/violins-1.yaml", "swellbox: 1\nname: violins-1\nextends: violins-1\nplayers: 10\n")
	d.must("profile", "lock", "raw.mid")
	before := d.must("render", "raw.mid", "-o", "before.mid", "--locked", "swellbox.lock")
	d.file("user/swellbox/profiles/violins-1.yaml", "swellbox: 1\nname: violins-1\nextends: violins-1\nplayers: 1\nmarks: {amount: 0.2}\n")
	after := d.must("render", "raw.mid", "-o", "after.mid", "--locked", "swellbox.lock")
	if strings.Replace(before, "before.mid", "after.mid", 1) != after || d.read("before.mid") != d.read("after.mid") {
		t.Errorf("a locked piece changes with %s", path)
	}
	r := d.start("play", "raw.mid", "--loop", "1-1", "--locked", "swellbox.lock")
	await(t, sys.heard, "a note", noteOn)
	r.cancel()
	if status := r.end(); status != 0 {
		t.Errorf("ended with status %d: %s", status, r.errs)
	}
}
