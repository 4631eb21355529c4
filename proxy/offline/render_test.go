package offline_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

const (
	violin1 = 41 // programs of General MIDI 1, from memory
	horn    = 61
)

// everything is a file that has all that a file may have, for every format.
func everything(format int, division smf.Division) *smf.File {
	f := &smf.File{
		Format: format, Division: division,
		Foreign: []smf.Chunk{{Type: [4]byte{'X', 'F', 'I', 'H'}, Data: []byte("kept")}, {Type: [4]byte{'l', 'a', 's', 't'}, Before: 1}},
	}
	var head []smf.Event
	for kind := byte(0); kind < 0x0A; kind++ {
		if kind != smf.MetaDevice {
			head = append(head, meta(0, kind, "word"))
		}
	}
	head = append(head, meta(0, 0x54, "\x61\x02\x03\x04\x05"), meta(0, smf.MetaTimeSignature, "\x03\x02\x18\x08"),
		meta(0, 0x59, "\x02\x01"), meta(0, 0x7F, "\x00\x41"), meta(0, 0x66, "of no known type"), tempo(0, 600_000))
	music := slices.Concat(
		[]smf.Event{at(0, 0xF0, 0x7E, 0x7F, 0x09, 0x01, 0xF7), at(0, 0xC0, violin1-1), at(0, 0xB0, 7, 100)},
		note(0, 400, 0, 67, 80),
		[]smf.Event{at(100, 0xB0, 11, 90), meta(110, 0x05, "la"), at(120, 0xE0, 0, 70), at(130, 0xD0, 20), at(140, 0xA0, 67, 30)},
		[]smf.Event{at(150, 0xF0, 0x43, 0x12), at(170, 0xF7, 0x01, 0x02), at(190, 0xF7, 0x03, 0xF7), at(195, 0xF7, 0xF3, 0x01)},
		note(480, 200, 0, 55, 100), note(480, 300, 9, 38, 90),
		[]smf.Event{tempo(500, 300_000), meta(501, 0x06, "letter A"), tempo(501, 700_000)},
		note(700, 900, 0, 72, 120),
	)
	whole := track(head, music)
	whole.End = 2000
	switch format {
	case 0:
		f.Tracks = []smf.Track{whole}
	case 1:
		alone := track(head)
		alone.End = 5
		empty := smf.Track{End: 1700}
		f.Tracks = []smf.Track{alone, track(music), named("Horn", 1, horn, note(480, 900, 1, 60, 90)), empty}
	case 2:
		f.Tracks = []smf.Track{whole, named("Horn", 1, horn, []smf.Event{tempo(0, 900_000)}, note(480, 900, 1, 60, 90))}
	}
	return f
}

var divisions = []smf.Division{{TicksPerQuarter: 480}, {TicksPerQuarter: 24}, {TicksPerQuarter: 32767}, {FramesPerSecond: 25, TicksPerFrame: 40}, {FramesPerSecond: 29, TicksPerFrame: 80}}

// Whatever the format and the unit of time, the form of the file and all that no
// profile owns come out as they went in.
func TestRenderKeepsTheForm(t *testing.T) {
	for format := range 3 {
		for _, division := range divisions {
			out, report := render(t, everything(format, division))
			if len(report.Warnings) > 0 {
				t.Errorf("format %d, %v: warnings %q", format, division, report.Warnings)
			}
			if bytes.Equal(encode(t, out), encode(t, everything(format, division))) {
				t.Errorf("format %d, %v: nothing was shaped", format, division)
			}
			renderBy(t, everything(format, division), guessing(t), steady)
		}
	}
}

// With every quantity at 0 a render gives back the file, byte for byte.
func TestRenderWithAllOffIsTheInput(t *testing.T) {
	files := map[string]*smf.File{"the demonstration": demo.Score(), "the long file": demo.Symphony(2000)}
	for format := range 3 {
		for _, d := range divisions {
			files[strings.Join([]string{"format", string(rune('0' + format)), string(rune(d.TicksPerQuarter))}, " ")] = everything(format, d)
		}
	}
	found, err := filepath.Glob("../../testdata/smf/*.mid")
	if err != nil || len(found) == 0 {
		t.Fatalf("no files in testdata/smf (%v)", err)
	}
	for _, path := range found {
		f, err := smf.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		files[path] = f
	}
	cast := allPlain(t)
	for name, f := range files {
		out, report := renderWith(t, f, cast)
		want := *f
		want.Tracks = slices.Clone(f.Tracks)
		for i := range want.Tracks {
			want.Tracks[i].Events = introduced(want.Tracks[i].Events)
		}
		if !bytes.Equal(encode(t, out), encode(t, &want)) {
			t.Errorf("%s: it came out changed", name)
		}
		for _, p := range report.Parts {
			for habit, n := range p.Habits {
				if n > 0 {
					t.Errorf("%s: %s shaped %d notes of %s", name, habit, n, p.Name)
				}
			}
		}
	}
}

func TestRenderWithoutNotes(t *testing.T) {
	for name, f := range map[string]*smf.File{
		"no event":     score(smf.Track{}),
		"only an end":  score(smf.Track{End: 4800}),
		"only a tempo": score(track([]smf.Event{tempo(0, 400_000)})),
		"no note":      score(named("Violin I", 0, violin1, []smf.Event{at(10, 0xB0, 11, 80), at(20, 0x80, 60, 0)})),
	} {
		out, report := render(t, f)
		if !bytes.Equal(encode(t, out), encode(t, f)) {
			t.Errorf("%s: it came out changed", name)
		}
		if len(report.Parts) > 0 || len(report.Warnings) > 0 {
			t.Errorf("%s: %+v", name, report)
		}
	}
}

// Notes that the file leaves hanging, some twice, are ended where it ends.
func TestRenderEndsHangingNotes(t *testing.T) {
	flute := named("Flute", 0, 74, []smf.Event{at(0, 0x90, 72, 80), at(100, 0x90, 72, 90), at(200, 0x90, 76, 80), at(300, 0x80, 76, 0)})
	horns := named("Horn", 1, horn, []smf.Event{at(0, 0x91, 60, 80)})
	f := score(flute, horns, smf.Track{End: 960})
	out, report := render(t, f)
	if len(report.Warnings) != 1 || !strings.Contains(report.Warnings[0], "no end") || !strings.HasSuffix(report.Warnings[0], ": 3") {
		t.Errorf("warnings %q, want one of three notes", report.Warnings)
	}
	for i, want := range []int{2, 1} {
		got := 0
		for _, e := range out.Tracks[i].Events {
			if e.Tick == 960 && e.Data[0]&0xF0 == 0x80 {
				got++
			}
		}
		if got != want || out.Tracks[i].End != 960 {
			t.Errorf("track %d ends %d notes at tick 960, want %d; it ends at %d", i+1, got, want, out.Tracks[i].End)
		}
	}
}

// A piece cannot last for years, but a damaged file can say so.
func TestRenderRefusesEndlessFiles(t *testing.T) {
	f := score(track([]smf.Event{tempo(0, 1<<24-1)}, note(0, 1<<27, 0, 60, 80)))
	_, _, err := offline.Render(t.Context(), f, guessing(t), perform.Manner{})
	if err == nil || !strings.Contains(err.Error(), "the file lasts") {
		t.Errorf("got %v, want an error that tells of the length", err)
	}
}

// Ticks so short that many fall on one nanosecond are still kept.
func TestRenderKeepsTicksUnderANanosecond(t *testing.T) {
	var events [][]smf.Event
	for i := range int64(100) {
		events = append(events, note(2*i, 1, 0, 60, 80), []smf.Event{meta(2*i, 0x01, "here")})
	}
	f := &smf.File{Division: smf.Division{TicksPerQuarter: 32767}, Tracks: []smf.Track{track(append(events, []smf.Event{tempo(0, 1)})...)}}
	render(t, f)
}

// Two staves of one instrument share its channel. A player of the file plays their
// tracks as one, and must hear what it would hear of a single track.
func TestRenderTwoStavesOneChannel(t *testing.T) {
	t.Run("detached", func(t *testing.T) { twoStaves(t, 20) })
	t.Run("joined", func(t *testing.T) { twoStaves(t, 0) })
}

// twoStaves plays them with a gap, in ticks, between two notes.
func twoStaves(t *testing.T, gap int64) {
	var upper, lower [][]smf.Event
	for i := range int64(24) {
		upper = append(upper, note(i*480, 480-gap, 0, byte(72+i%5), byte(60+i*2)))
		lower = append(lower, note(i*720, 720-gap, 0, byte(55+i%7), byte(110-i*2)), []smf.Event{at(i*720+240, 0xB0, 11, byte(127-i))})
	}
	// Ticks of 5 ms divide the control period, so that much falls together.
	head := []smf.Event{at(0, 0xC0, violin1-1), tempo(0, 480*5000)}
	two := score(track(head, slices.Concat(upper...)), track(lower...))
	one := &smf.File{Format: 1, Division: two.Division, Tracks: []smf.Track{{}}}
	timeline, err := offline.NewTimeline(two, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range timeline.Events {
		one.Tracks[0].Events = append(one.Tracks[0].Events, smf.Event{Tick: timeline.Tempo.Tick(e.At), Data: slices.Clone(e.Bytes())})
		one.Tracks[0].End = timeline.Tempo.Tick(e.At)
	}
	play := func(f *smf.File) (lines []string) {
		out, _ := render(t, f)
		timeline, err := offline.NewTimeline(out, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range timeline.Events {
			if e.IsChannel() {
				lines = append(lines, line(e.At, e.Bytes()))
			}
		}
		return lines
	}
	want, got := play(one), play(two)
	if len(want) < 500 {
		t.Fatalf("only %d events: too little moves", len(want))
	}
	for i := range min(len(want), len(got)) {
		if want[i] != got[i] {
			t.Fatalf("event %d is %s, on one track %s", i, got[i], want[i])
		}
	}
	if len(want) != len(got) {
		t.Errorf("%d events, on one track %d", len(got), len(want))
	}
}

// A profile that the seating names and that cannot be had is an error, not a silence.
func TestRenderNeedsItsProfiles(t *testing.T) {
	cast := allPlain(t)
	cast.Seating.Seats[0].Profile = "theremin"
	_, _, err := offline.Render(t.Context(), score(named("Violin I", 0, violin1, note(0, 480, 0, 60, 80))), cast, perform.Manner{})
	if err == nil || !strings.Contains(err.Error(), "port 1 channel 1") || !strings.Contains(err.Error(), "theremin") {
		t.Errorf("got %v", err)
	}
}

// The text of a rendered passage, which a person can read and review.
func TestRenderGolden(t *testing.T) {
	f := score(
		track([]smf.Event{meta(0, smf.MetaTrackName, "Four bars"), tempo(0, 600_000)}),
		named("Violin I", 0, violin1, note(0, 960, 0, 67, 64), note(960, 480, 0, 69, 80), note(1440, 480, 0, 55, 96),
			[]smf.Event{at(1900, 0xC0, 45)}, note(1920, 240, 0, 67, 96), []smf.Event{at(2160, 0xC0, violin1-1)}, note(2400, 480, 0, 74, 49)),
		named("Horn in F 1.2", 1, horn, note(0, 960, 1, 55, 49), note(960, 1920, 1, 60, 96)),
		named("Piano", 2, 1, note(0, 480, 2, 48, 80), note(480, 480, 2, 52, 33)),
	)
	out, report := render(t, f)
	var b strings.Builder
	for _, p := range report.Parts {
		b.WriteString(describe(p))
	}
	for i, tr := range out.Tracks {
		b.WriteString(dump(i, tr))
	}
	golden(t, "../../testdata/render/passage.golden", b.String())
}

func golden(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s: got\n%s\nIf that is as it should be, run this test with -update and read the difference", path, got)
	}
}
