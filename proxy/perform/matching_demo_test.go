package perform_test

import (
	"math"
	"testing"
	"time"

	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/demo"
	"swellbox/proxy/study/loudness"
)

// The demonstration's two sounds, as its synthesiser plays them, are measured by the standard; what is
// modelled of the messages alone comes near.
func TestManyNotesAreMatched(t *testing.T) {
	const tolerance = 0.5 // LU; the synthesiser's spectra and decays are not modelled
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	raw, cast := demo.Score(), &perform.Cast{Library: lib}
	shaped, report, err := offline.Render(t.Context(), raw, cast, demo.Manner())
	if err != nil {
		t.Fatal(err)
	}
	var seats []audition.Part
	for _, p := range report.Parts {
		profile, err := cast.Library.Resolve(p.Profile)
		if err != nil {
			t.Fatal(err)
		}
		seats = append(seats, audition.Part{Port: p.Port - 1, Channel: p.Channel - 1, Instrument: lib.Voice(p.Profile), Family: profile.Family, Players: p.Players})
	}
	const from, length = 40 * time.Second, 12 * time.Second // soft, and the tutti
	var takes []*offline.Timeline
	var loud []float64
	for _, file := range []*smf.File{raw, shaped} {
		tl, err := offline.NewTimeline(file, 0)
		if err != nil {
			t.Fatal(err)
		}
		kept := tl.Events[:0]
		for _, e := range tl.Events {
			if e.At = max(e.At-from, 0); e.At < length && !(e.At == 0 && e.IsNoteOn()) {
				kept = append(kept, e)
			}
		}
		tl.Events = kept
		takes = append(takes, tl)
		sound, err := audition.Render(t.Context(), seats, kept, length, func(_, _ time.Duration) {})
		if err != nil {
			t.Fatal(err)
		}
		m, err := loudness.Measure(sound.Left, sound.Right, audition.SampleRate)
		if err != nil {
			t.Fatal(err)
		}
		loud = append(loud, m.Integrated)
	}
	db, err := perform.LouderDB(cast, takes[0].Ports, takes[0].Hints, takes[0].Events, takes[1].Events)
	if measured := loud[0] - loud[1]; err != nil || math.Abs(db-measured) > tolerance || measured < 0.5 {
		t.Errorf("raw is modelled %.2f dB louder (%v), was measured %.2f LU", db, err, measured)
	}
	t.Logf("modelled %.2f dB, measured %.2f LU", db, loud[0]-loud[1])
}
