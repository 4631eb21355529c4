package offline_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/profiles/names"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
)

func timeline(t *testing.T, f *smf.File, track int) *offline.Timeline {
	t.Helper()
	tl, err := offline.NewTimeline(f, track)
	if err != nil {
		t.Fatal(err)
	}
	return tl
}

// Events come in the order of time, at one time in that of the tracks, and in one
// track as they stand; tempos of any track hold for all.
func TestTimelineOrder(t *testing.T) {
	f := score(
		track([]smf.Event{tempo(0, 500_000), tempo(960, 1_000_000)}),
		smf.Track{End: 1440, Events: []smf.Event{at(480, 0x90, 60, 80), at(480, 0x80, 60, 0), at(1440, 0x90, 61, 80)}},
		track([]smf.Event{at(0, 0x91, 62, 80), at(480, 0x81, 62, 0), at(1200, 0xF0, 1, 2, 3, 0xF7)}),
	)
	f.Tracks[0].End = 1920
	tl := timeline(t, f, 0)
	var got []string
	for _, e := range tl.Events {
		got = append(got, fmt.Sprintf("%v track %d % X", e.At, e.Source, e.Bytes()))
	}
	want := []string{
		"0s track 0 FF 51 07 A1 20",
		"0s track 2 91 3E 50",
		"500ms track 1 90 3C 50",
		"500ms track 1 80 3C 00",
		"500ms track 2 81 3E 00",
		"1s track 0 FF 51 0F 42 40",
		"1.5s track 2 F0 01 02 03 F7",
		"2s track 1 90 3D 50",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if tl.End != 3*time.Second || tl.Bars == nil || tl.Ports != 1 {
		t.Errorf("ends at %v, bars %v, ports %d", tl.End, tl.Bars, tl.Ports)
	}
}

func TestTimelineInFrames(t *testing.T) {
	f := &smf.File{Division: smf.Division{FramesPerSecond: 25, TicksPerFrame: 40}, Tracks: []smf.Track{track(note(0, 1500, 0, 60, 80))}}
	tl := timeline(t, f, 0)
	if tl.End != 1500*time.Millisecond || tl.Bars != nil {
		t.Errorf("ends at %v, want 1.5s; bars %v, want none", tl.End, tl.Bars)
	}
}

func TestTimelinePorts(t *testing.T) {
	number := func(tick int64, n byte) smf.Event { return meta(tick, smf.MetaPort, string([]byte{n})) }
	device := func(tick int64, name string) smf.Event { return meta(tick, smf.MetaDevice, name) }
	n := func(tick int64) []smf.Event { return note(tick, 10, 0, 60, 80) }
	for name, c := range map[string]struct {
		tracks []smf.Track
		want   string // the ports of the note-ons in order, and how many there are
	}{
		"none":                {[]smf.Track{track(n(0)), track(n(1))}, "0 0 of 1"},
		"by number":           {[]smf.Track{track([]smf.Event{number(0, 0)}, n(0)), track([]smf.Event{number(0, 5)}, n(1))}, "0 1 of 2"},
		"by device":           {[]smf.Track{track([]smf.Event{device(0, "a")}, n(0)), track([]smf.Event{device(0, "b")}, n(1)), track([]smf.Event{device(0, "a")}, n(2))}, "0 1 0 of 2"},
		"by both":             {[]smf.Track{track([]smf.Event{number(0, 0), device(0, "a")}, n(0)), track([]smf.Event{number(0, 1), device(0, "a")}, n(1)), track([]smf.Event{device(0, "a"), number(0, 1)}, n(2))}, "0 1 1 of 2"},
		"one says nothing":    {[]smf.Track{track([]smf.Event{number(0, 1)}, n(0)), track(n(1)), track([]smf.Event{number(0, 0)}, n(2))}, "0 1 1 of 2"},
		"named, not played":   {[]smf.Track{track([]smf.Event{number(0, 7)}), track([]smf.Event{number(0, 2)}, n(0))}, "0 of 1"},
		"said late":           {[]smf.Track{track([]smf.Event{number(0, 0)}, n(0)), track(n(1), []smf.Event{number(100, 1)})}, "0 1 of 2"},
		"changed on the way":  {[]smf.Track{track([]smf.Event{number(0, 1)}, n(0), []smf.Event{number(50, 2)}, n(60), []smf.Event{number(70, 1)}, n(80))}, "0 1 0 of 2"},
		"changed before play": {[]smf.Track{track([]smf.Event{number(0, 1), number(0, 2)}, n(0))}, "0 of 1"},
	} {
		tl := timeline(t, score(c.tracks...), 0)
		var got []string
		for _, e := range tl.Events {
			if e.IsNoteOn() {
				got = append(got, fmt.Sprint(e.Port))
			}
			if e.IsChannel() && int(e.Port) >= tl.Ports {
				t.Errorf("%s: an event on port %d of %d", name, e.Port, tl.Ports)
			}
		}
		if s := fmt.Sprintf("%s of %d", strings.Join(got, " "), tl.Ports); s != c.want {
			t.Errorf("%s: ports %s, want %s", name, s, c.want)
		}
	}
}

func TestTimelineLimitsPorts(t *testing.T) {
	devices := func(n int) *smf.File {
		f := score()
		for i := range n {
			f.Tracks = append(f.Tracks, track([]smf.Event{meta(0, smf.MetaDevice, fmt.Sprintf("device %d", i))}, note(0, 10, 0, 60, 80)))
		}
		return f
	}
	if tl := timeline(t, devices(256), 0); tl.Ports != 256 {
		t.Errorf("%d ports, want 256", tl.Ports)
	}
	if _, err := offline.NewTimeline(devices(257), 0); err == nil || !strings.Contains(err.Error(), "257 ports") {
		t.Errorf("got %v, want an error that tells of 257 ports", err)
	}
}

func TestTimelineHints(t *testing.T) {
	format0 := &smf.File{Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{track(
		[]smf.Event{meta(0, smf.MetaTrackName, "Trumpet Voluntary"), meta(0, smf.MetaInstrument, "Piano"), at(0, 0xC0, 40), at(0, 0xC1, 60)},
		note(0, 10, 0, 60, 80), note(20, 10, 1, 60, 80))}}
	format2 := &smf.File{Format: 2, Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{named("One", 0, 41, note(0, 10, 0, 60, 80)), named("Two", 1, 61, note(0, 10, 1, 60, 80))}}
	hint := func(channel, program int, track, instrument string) names.Hint {
		return names.Hint{Port: 1, Channel: channel, Program: program, HasProgram: program > 0, Track: track, Instrument: instrument}
	}
	for name, c := range map[string]struct {
		file  *smf.File
		track int
		want  []names.Hint
	}{
		"the name of a format 0 track is the piece's": {format0, 0, []names.Hint{hint(1, 41, "", ""), hint(2, 61, "", "")}},
		"one piece of format 2":                       {format2, 1, []names.Hint{hint(2, 61, "Two", "")}},
		"in the order of the tracks, not of play": {score(
			named("Flute", 4, 74, note(900, 10, 4, 60, 80)), named("Tuba", 2, 59, note(0, 10, 2, 60, 80)),
		), 0, []names.Hint{hint(5, 74, "Flute", ""), hint(3, 59, "Tuba", "")}},
		"two staves": {score(
			named("Piano right", 0, 1, note(0, 10, 0, 60, 80)), named("Piano left", 0, 1, note(0, 10, 0, 48, 80)),
		), 0, []names.Hint{hint(1, 1, "Piano", "")}},
		"two staves of one name": {score(
			named("Harp", 0, 47, note(0, 10, 0, 60, 80)), named("Harp", 0, 0, note(5, 10, 0, 48, 80)),
		), 0, []names.Hint{hint(1, 47, "Harp", "")}},
		"two instruments on one channel": {score(
			named("Oboe", 0, 69, note(0, 10, 0, 60, 80)), named("Horn", 0, 0, note(5, 10, 0, 48, 80)),
		), 0, []names.Hint{hint(1, 69, "Oboe", "")}},
		"an instrument, and the program set by another track": {score(
			track([]smf.Event{at(0, 0xC0, 60)}), track([]smf.Event{meta(0, smf.MetaInstrument, "Corno")}, note(0, 10, 0, 60, 80)),
		), 0, []names.Hint{hint(1, 61, "", "Corno")}},
		"a program after the first note is not the first": {score(
			named("Violin I", 0, 0, note(0, 10, 0, 60, 80), []smf.Event{at(20, 0xC0, 45)}),
		), 0, []names.Hint{hint(1, 0, "Violin I", "")}},
	} {
		if got := timeline(t, c.file, c.track).Hints; !reflect.DeepEqual(got, names.InScore(c.want)) {
			t.Errorf("%s: got\n%+v\nwant\n%+v", name, got, c.want)
		}
	}
}
