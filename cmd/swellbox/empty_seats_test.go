package main

import (
	"strings"
	"testing"
)

// A seat that nothing can take is named in the log and in the status, also after its document was
// changed while swellbox runs; what is played from a file is held against its tracks.
func TestEmptySeatsAreNamed(t *testing.T) {
	const track = "swellbox: 1\nseats:\n  - {channel: 1, profile: violins-1}\n  - {track: Nobody, profile: oboe}\n"
	d := atDesktop(t)
	d.duet()
	d.file("seating.yaml", track)
	said := func(r *running, words string) {
		t.Helper()
		await(t, r.errs.lines, "the log to say "+words, func(line string) bool { return strings.Contains(line, words) })
	}

	d.system = newAudible()
	r := d.start("live", "--seating", "seating.yaml")
	said(r, "nobody plays by Nobody (seat 2, line 4): what comes in live has no names of tracks")
	if _, _, errs := d.run("status"); !strings.Contains(errs, "nobody plays by Nobody") {
		t.Errorf("the status says nothing of it: %s", errs)
	}
	d.file("seating.yaml", strings.Replace(track, "track: Nobody", "port: 4", 1))
	said(r, "nobody plays by oboe (seat 2, line 4): it is on port 4, and swellbox listens to 1")
	r.cancel()
	if status := r.end(); status != 0 {
		t.Fatalf("status %d: %s", status, r.errs)
	}

	d.file("seating.yaml", track)
	d.system = newAudible()
	r = d.start("play", "raw.mid", "--seating", "seating.yaml")
	said(r, `no track with notes is called "Nobody"`)
	r.cancel()
	r.end()
}
