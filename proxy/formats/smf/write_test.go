package smf

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// plain makes a file of format 0 with one track.
func plain(end int64, events ...Event) *File {
	return &File{Division: Division{TicksPerQuarter: 96}, Tracks: []Track{{Events: events, End: end}}}
}

func TestAppendUsesRunningStatus(t *testing.T) {
	f := plain(200,
		at(0, "903C40"), at(96, "903C00"), // running
		at(96, "913C40"),                   // another channel
		at(96, "FF0141"), at(96, "913C00"), // cancelled by a meta event
		at(100, "F07EF7"), at(100, "913C00"), // cancelled by sysex
		at(100, "C001"), at(100, "C002"),
	)
	want := one("00903C40 603C00 00913C40 00FF010141 00913C00 04F0027EF7 00913C00 00C001 0002 64FF2F00")
	got, err := f.Append([]byte("before"))
	if err != nil {
		t.Fatal(err)
	}
	if want := append([]byte("before"), want...); !bytes.Equal(got, want) {
		t.Errorf("wrote\n% X\nwant\n% X", got, want)
	}
}

func TestAppendRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		f    *File
		want string
	}{
		{"falling ticks", plain(9, at(5, "903C40"), at(4, "903C00")), "track 1: event 2: tick 4 comes after tick 5; sort the events"},
		{"negative tick", plain(9, at(-1, "903C40")), "track 1: event 1: tick -1 comes after tick 0"},
		{"end before the last event", plain(4, at(5, "903C40")), "track 1: end of track: tick 4 comes after tick 5"},
		{"long wait", plain(maxVLQ+1, at(maxVLQ+1, "903C40")), "track 1: event 1: tick 268435456 is over 268435455 ticks after tick 0"},
		{"long wait for the end", plain(maxVLQ + 1), "track 1: end of track: tick 268435456 is over"},
		{"empty message", plain(0, Event{}), "track 1: event 1 at tick 0: the message is empty"},
		{"no status", plain(0, at(0, "3C40")), "the message 3C 40 has no status byte"},
		{"short message", plain(0, at(0, "903C")), "message 90 must have 2 data bytes, found 1"},
		{"long message", plain(0, at(0, "C00102")), "message C0 must have 1 data bytes, found 2"},
		{"data byte", plain(0, at(0, "903C80")), "data byte 80 of message 90 is over 7F"},
		{"clock", plain(0, at(0, "F8")), "message F8 cannot stand in a track; put it into an F7 packet"},
		{"meta without type", plain(0, at(0, "FF")), "the meta event FF must have a type"},
		{"meta type", plain(0, at(0, "FF80")), "the meta event FF 80 must have a type"},
		{"end of track as event", plain(0, at(0, "FF2F")), "the meta event FF 2F must have a type"},
		{"format", &File{Format: 3, Division: Division{TicksPerQuarter: 96}, Tracks: make([]Track, 1)}, "the format must be 0, 1 or 2, found 3"},
		{"two tracks in format 0", &File{Division: Division{TicksPerQuarter: 96}, Tracks: make([]Track, 2)}, "format 0 has one track, found 2; use format 1"},
		{"no tracks", &File{Division: Division{TicksPerQuarter: 96}}, "a file must have 1 to 65535 tracks, found 0"},
		{"too many tracks", &File{Format: 1, Division: Division{TicksPerQuarter: 96}, Tracks: make([]Track, 65536)}, "a file must have 1 to 65535 tracks, found 65536"},
		{"no division", &File{Tracks: make([]Track, 1)}, "a division of 0 gives ticks no duration"},
		{"fine division", &File{Tracks: make([]Track, 1), Division: Division{TicksPerQuarter: 32768}}, "1 to 32767 ticks in a quarter note, found 32768"},
		{"two divisions", &File{Tracks: make([]Track, 1), Division: Division{96, 25, 40}}, "choose one"},
		{"track for foreign", &File{Tracks: make([]Track, 1), Division: Division{TicksPerQuarter: 96}, Foreign: []Chunk{{Type: [4]byte{'M', 'T', 'r', 'k'}}}}, `foreign chunk 1: type "MTrk"`},
		{"foreign type", &File{Tracks: make([]Track, 1), Division: Division{TicksPerQuarter: 96}, Foreign: []Chunk{{}}}, `foreign chunk 1: type "\x00\x00\x00\x00"`},
		{"foreign place", &File{Tracks: make([]Track, 1), Division: Division{TicksPerQuarter: 96}, Foreign: []Chunk{{Type: [4]byte{'a', 'b', 'c', 'd'}, Before: 2}}}, "foreign chunk 1: it must come after 0 to 1 tracks, found 2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := c.f.Append([]byte("before"))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v\nwant %s", err, c.want)
			}
			if string(got) != "before" {
				t.Errorf("the destination became %q", got)
			}
		})
	}
}

func TestWriteFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out.mid")
	f := plain(96, at(0, "903C40"), at(96, "803C00"))
	if err := WriteFile(path, f); err != nil {
		t.Fatal(err)
	}
	g, err := ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if d := difference(f, g); d != "" {
		t.Error(d)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := WriteFile(path, plain(0, Event{})); err == nil || !strings.HasPrefix(err.Error(), path+": track 1") {
		t.Errorf("an unsound file: error %v", err)
	}
	if after, err := os.ReadFile(path); err != nil || !bytes.Equal(before, after) {
		t.Errorf("an unsound file changed what was there (%v)", err)
	}
}

func TestReadFileNamesThePath(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bad.mid")
	if _, err := ReadFile(path); !os.IsNotExist(err) || !strings.Contains(err.Error(), path) {
		t.Errorf("no file: %v", err)
	}
	if err := os.WriteFile(path, []byte("MThd"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := ReadFile(path); err == nil || !strings.HasPrefix(err.Error(), path+": byte 4: ") {
		t.Errorf("broken file: %v", err)
	}
}
