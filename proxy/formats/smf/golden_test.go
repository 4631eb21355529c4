package smf

import (
	"bytes"
	"flag"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files in testdata/smf anew")

// folder holds the golden files; its README says how they are made.
const folder = "../../../testdata/smf"

// golden are the files of testdata/smf, by name.
func golden() map[string]*File {
	quarter := Division{TicksPerQuarter: 480}
	song := []Track{
		{End: 7680, Events: []Event{
			meta(0, MetaTrackName, "Two bars and an upbeat"),
			meta(0, 0x02, "\xa9 nobody"),
			meta(0, MetaTimeSignature, "\x01\x02\x18\x08"),
			meta(0, 0x59, "\xfd\x00"), // three flats, major
			tempoAt(0, 600_000),
			meta(480, MetaTimeSignature, "\x04\x02\x18\x08"),
			tempoAt(2400, 499_999),
			tempoAt(2401, 1_000_003),
			meta(4320, 0x06, "coda"),
		}},
		{End: 7680, Events: []Event{
			meta(0, MetaTrackName, "Violine I"),
			meta(0, MetaInstrument, "Violin"),
			meta(0, MetaPort, "\x00"),
			at(0, "B00764"), at(0, "B05B28"), at(0, "C028"), at(0, "E00040"),
			at(0, "904340"), at(470, "804300"),
			at(480, "904850"), at(480, "904C50"), at(950, "904800"), at(950, "904C00"),
			at(960, "D010"), at(960, "A0487F"),
			at(960, "904F60"), at(2390, "804F40"),
		}},
		{End: 7680, Events: []Event{
			meta(0, MetaTrackName, "Fl\xf6te"), // Latin-1
			meta(0, MetaDevice, "second player"),
			meta(0, MetaPort, "\x01"),
			at(0, "C149"), at(480, "914F40"), at(7670, "814F00"),
		}},
	}
	var all []Event
	for kind := byte(1); kind <= 0x0F; kind++ {
		all = append(all, meta(int64(kind), kind, "text"))
	}
	all = append(all,
		meta(16, 0x20, "\x03"),
		meta(16, MetaPort, "\x02"),
		tempoAt(16, 1<<24-1),
		meta(16, 0x54, "\x61\x02\x03\x04\x05"), // SMPTE offset
		meta(16, MetaTimeSignature, "\x06\x03\x24\x08"),
		meta(16, 0x59, "\x02\x01"), // two sharps, minor
		meta(16, 0x7F, "\x00\x00\x41\x90"),
		meta(16, 0x66, "of a type that nobody has defined"),
		meta(16, 0x00, ""),
	)
	return map[string]*File{
		"ports.mid":   ported(),
		"format0.mid": {Division: quarter, Tracks: song[1:2]},
		"format1.mid": {Format: 1, Division: quarter, Tracks: song},
		"format2.mid": {Format: 2, Division: quarter, Tracks: []Track{
			{End: 960, Events: []Event{tempoAt(0, 250_000), at(0, "903C40"), at(960, "803C00")}},
			{End: 960, Events: []Event{tempoAt(0, 750_000), at(0, "903C40"), at(960, "803C00")}},
		}},
		"smpte25.mid": {Division: Division{FramesPerSecond: 25, TicksPerFrame: 40}, Tracks: []Track{
			{End: 2000, Events: []Event{at(0, "903C40"), at(1000, "803C00")}},
		}},
		"smpte29.mid": {Format: 1, Division: Division{FramesPerSecond: 29, TicksPerFrame: 80}, Tracks: []Track{
			{End: maxVLQ, Events: []Event{at(0, "903C40"), at(maxVLQ, "803C00")}},
		}},
		"sysex.mid": {Division: quarter, Tracks: []Track{{End: 500, Events: []Event{
			at(0, "F07E7F0901F7"),
			at(10, "F0431200"), at(110, "F743120043"), at(210, "F71200F7"), // in three packets
			at(300, "F7F3"), at(301, "F7FA"), at(302, "F7F24002"), // escaped: song select, start, position
			at(303, "903C40"), at(400, "803C00"),
		}}}},
		"meta.mid": {Division: quarter, Tracks: []Track{{End: 16, Events: all}}},
		"foreign.mid": {
			Format: 1, Division: quarter, Tracks: make([]Track, 2),
			Foreign: []Chunk{
				{Type: [4]byte(unhex("58464948")), Data: []byte("before")},
				{Type: [4]byte(unhex("58464B4D")), Data: []byte("between"), Before: 1},
				{Type: [4]byte(unhex("7E7E7E20")), Before: 2},
			},
		},
	}
}

// ported is a score for over 16 channels: tracks on two ports and on a device, one that
// begins with notes before it says where it plays, one that goes to another port in its course,
// and one channel that two tracks share.
func ported() *File {
	var tracks []Track
	add := func(events ...Event) {
		tracks = append(tracks, Track{End: 7680, Events: events})
	}
	line := func(channel, key, velocity string) (events []Event) {
		for i := range int64(8) {
			events = append(events, at(i*480, "9"+channel+key+velocity), at(i*480+440, "8"+channel+key+"40"))
		}
		return events
	}
	add(meta(0, MetaTrackName, "On two ports"), tempoAt(0, 500_000), meta(0, MetaTimeSignature, "\x04\x02\x18\x08"))
	add(append([]Event{
		meta(0, MetaTrackName, "Violins I"), meta(0, MetaPort, "\x00"), meta(0, MetaInstrument, "Violins"),
		at(0, "C030"), at(0, "B00764"),
	}, line("0", "4C", "60")...)...)
	add(append([]Event{
		meta(0, MetaTrackName, "Violins II"), meta(0, MetaPort, "\x01"), meta(0, 0x20, "\x00"), meta(0, MetaInstrument, "Violins"),
		at(0, "F07E7F0901F7"), at(0, "C030"), at(0, "B0074C"),
	}, line("0", "45", "30")...)...)
	add(append([]Event{ // it says where it plays when it plays already
		at(0, "C13C"), at(0, "913C70"), meta(0, MetaTrackName, "Horn"), meta(0, MetaPort, "\x01"), meta(0, MetaInstrument, "Horn"),
		at(440, "813C40"),
	}, line("1", "3E", "50")[2:]...)...)
	moving := []Event{meta(0, MetaTrackName, "Flute"), meta(0, MetaPort, "\x00"), at(0, "C249")}
	moving = append(moving, line("2", "4F", "58")[:8]...)
	moving = append(moving, meta(1920, MetaPort, "\x01"), meta(1920, 0x20, "\x02"), meta(1920, MetaInstrument, "Alto flute"), meta(1920, 0x01, "change"), at(1920, "C249"))
	moving = append(moving, line("2", "43", "40")[8:]...)
	add(moving...)
	add(append([]Event{meta(0, MetaTrackName, "Celesta"), meta(0, MetaDevice, "second player"), at(0, "C008")}, line("0", "54", "48")...)...)
	add(append([]Event{meta(0, MetaTrackName, "Violins II, divided"), meta(0, MetaPort, "\x01")}, line("0", "40", "34")...)...)
	return &File{Format: 1, Division: Division{TicksPerQuarter: 480}, Tracks: tracks}
}

func TestGolden(t *testing.T) {
	files := golden()
	for name, f := range files {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(folder, name)
			if *update {
				if err := WriteFile(path, f); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			got, err := f.Append(nil)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("wrote\n% X\nthe golden file has\n% X", got, want)
			}
			g, err := Read(want)
			if err != nil {
				t.Fatal(err)
			}
			if d := difference(f, g); d != "" {
				t.Errorf("read: %s\n%s\n%s", d, summary(f), summary(g))
			}
			if len(g.Warnings) > 0 {
				t.Errorf("warnings %q", g.Warnings)
			}
		})
	}
	found, err := filepath.Glob(filepath.Join(folder, "*.mid"))
	if err != nil {
		t.Fatal(err)
	}
	for i, path := range found {
		found[i] = filepath.Base(path)
	}
	if want := slices.Sorted(maps.Keys(files)); !slices.Equal(found, want) {
		t.Errorf("the folder holds %v, want %v", found, want)
	}
}
