package offline_test

import (
	"fmt"
	"slices"
	"testing"

	"swellbox/proxy/formats/smf"
)

// Names and programs (from 1) as notation programs give them, in four languages.
func TestRenderFindsTheInstruments(t *testing.T) {
	parts := []struct {
		name    string
		program int
		profile string
	}{
		{"Flauto piccolo", 73, "piccolo"},
		{"Flute 1", 74, "flute"},
		{"Oboe I", 69, "oboe"},
		{"Klarinette in B", 72, "clarinet"},
		{"Clarinet in E\u266d", 72, "clarinet-e-flat"},
		{"Bsn. 2", 71, "bassoon"},
		{"Horn in F 1.2", 61, "horn"},
		{"Trompete in C", 57, "trumpet"},
		{"Bass Trombone", 58, "bass-trombone"},
		{"Schlagzeug", 0, "percussion"}, // the tenth, so on channel 10
		{"Pauken", 48, "timpani"},
		{"Arpa", 47, "harp"},
		{"Violin I", 41, "violins-1"},
		{"Violini II", 41, "violins-2"},
		{"Bratschen", 42, "violas"},
		{"Contrebasses", 44, "double-basses"},
	}
	f := score(track([]smf.Event{meta(0, smf.MetaTrackName, "Overture")}))
	nameless := score(track([]smf.Event{meta(0, smf.MetaTrackName, "Overture")}))
	for i, p := range parts {
		f.Tracks = append(f.Tracks, named(p.name, byte(i), p.program, note(0, 480, byte(i), 60, 80)))
		nameless.Tracks = append(nameless.Tracks, named("", byte(i), p.program, note(0, 480, byte(i), 60, 80)))
	}
	_, report := render(t, f)
	if len(report.Parts) != 16 {
		t.Fatalf("%d parts, want 16", len(report.Parts))
	}
	for i, got := range report.Parts {
		if want := parts[i]; got.Name != want.name || got.Profile != want.profile || got.Channel != i+1 || got.Port != 1 || got.Notes != 1 || got.Why == "" {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
	byProgram := []string{
		"piccolo", "flute", "oboe", "clarinet", "clarinet", "bassoon", "horn", "trumpet",
		"trombone", "drum-kit", "timpani", "harp", "violins", "violins", "violas", "double-basses",
	}
	_, report = render(t, nameless)
	for i, got := range report.Parts {
		if want := fmt.Sprintf("channel %d of port 1 (%s)", i+1, byProgram[i]); got.Profile != byProgram[i] || got.Name != want {
			t.Errorf("%+v, want the profile %s and the name %q", got, byProgram[i], want)
		}
	}
}

// One track of violins: arco, pizzicato, arco, tremolo by their programs. Plucked and
// trembling strings have no vibrato, and what it was before does not stay.
func TestRenderFollowsTheProgram(t *testing.T) {
	var music [][]smf.Event
	for i, program := range []byte{41, 46, 41, 45} {
		start := int64(i) * 4800
		music = append(music, []smf.Event{at(start, 0xC0, program-1)}, note(start, 4800, 0, 69, 90))
	}
	out, report := render(t, score(named("Violin I", 0, 0, music...)))
	if len(report.Parts) != 1 || report.Parts[0].Notes != 4 || report.Parts[0].Profile != "violins-1" {
		t.Errorf("%+v, want one part that stays the first violins, as its programs are their ways of playing", report.Parts)
	}
	if n := report.Parts[0].Habits["vibrato"]; n != 2 {
		t.Errorf("vibrato on %d notes, want the two that are neither plucked nor tremolo", n)
	}
	depth, depths := 0, make([]int, 4) // the greatest in each of the four notes
	for _, e := range out.Tracks[0].Events {
		if e.Data[0] == 0xB0 && e.Data[1] == 1 {
			depth = int(e.Data[2])
		}
		if e.Data[0] == 0x90 || e.Data[0] == 0xB0 {
			depths[e.Tick/4800] = max(depths[e.Tick/4800], depth)
		}
	}
	if depths[0] < 40 || depths[2] < 40 || depths[1] != 0 || depths[3] != 0 {
		t.Errorf("vibrato depths %v in the four notes, want some in the first and third only", depths)
	}
}

// A program set on a channel that never plays makes no part of it.
func TestRenderReportsWhoPlays(t *testing.T) {
	var setup []smf.Event
	for ch := range byte(16) {
		setup = append(setup, at(0, 0xC0|ch, ch))
	}
	_, report := render(t, score(track(setup), named("Oboe", 3, 69, note(0, 480, 3, 72, 80))))
	if len(report.Parts) != 1 || report.Parts[0].Name != "Oboe" {
		t.Errorf("parts %+v, want the oboe alone", report.Parts)
	}
}

// Two ports give one channel to two instruments; each is shaped as what it is.
func TestRenderSeparatesPorts(t *testing.T) {
	for name, sayPort := range map[string]func(i int) smf.Event{
		"by number": func(i int) smf.Event { return meta(0, smf.MetaPort, string(rune(i))) },
		"by device": func(i int) smf.Event { return meta(0, smf.MetaDevice, []string{"left", "right"}[i]) },
	} {
		f := score(
			named("Violin I", 0, violin1, []smf.Event{sayPort(0)}, note(0, 4800, 0, 69, 90)),
			named("Horn 1", 0, horn, []smf.Event{sayPort(1)}, note(0, 4800, 0, 60, 90)),
		)
		out, report := render(t, f)
		if len(report.Parts) != 2 || report.Parts[0].Profile != "violins-1" || report.Parts[1].Profile != "horn" || report.Parts[1].Port != 2 {
			t.Fatalf("%s: parts %+v", name, report.Parts)
		}
		if !moves(out.Tracks[0], 1) || moves(out.Tracks[1], 1) || moves(out.Tracks[0], 74) || !moves(out.Tracks[1], 74) {
			t.Errorf("%s: want vibrato in the violins only, brightness in the horn only", name)
		}
	}
}

func moves(tr smf.Track, controller byte) bool {
	return slices.ContainsFunc(tr.Events, func(e smf.Event) bool {
		return e.Data[0]&0xF0 == 0xB0 && e.Data[1] == controller && e.Data[2] > 0
	})
}

// The pieces of a format 2 file play apart: each has its own instrument on the channel.
func TestRenderFormatTwo(t *testing.T) {
	f := &smf.File{Format: 2, Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{
		named("Violin I", 0, violin1, note(0, 4800, 0, 69, 90)),
		named("Horn", 0, horn, note(0, 4800, 0, 60, 90)),
	}}
	out, report := render(t, f)
	if len(report.Parts) != 2 || report.Parts[0].Profile != "violins-1" || report.Parts[1].Profile != "horn" {
		t.Fatalf("parts %+v", report.Parts)
	}
	if !moves(out.Tracks[0], 1) || moves(out.Tracks[1], 1) {
		t.Error("want vibrato in the violins only")
	}
}
