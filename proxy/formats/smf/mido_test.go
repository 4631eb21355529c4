package smf

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// python is Debian's own, which sees Debian's python3-mido.
const python = "/usr/bin/python3"

// told is what mido says of a file, or what we do.
type told struct {
	Format   int
	Division int16 // as in the header
	Tracks   []toldTrack
	Notes    [][6]int64 // track, channel, pitch, velocity, start and end tick
	Tempos   [][3]int64 // track, tick, µs a quarter note
	Seconds  *float64   // where mido can tell
}

type toldTrack struct {
	Events []toldEvent
	End    int64
}

type toldEvent struct {
	Tick int64
	Data string // hexadecimal
}

func (e *toldEvent) UnmarshalJSON(b []byte) error {
	return json.Unmarshal(b, &[]any{&e.Tick, &e.Data})
}

// mido runs the script, or skips the test where there is no mido and no need to have it.
func mido(t *testing.T, args ...string) map[string]told {
	t.Helper()
	if out, err := exec.Command(python, "-c", "import mido").CombinedOutput(); err != nil {
		complaint := fmt.Sprintf("NOT TESTED AGAINST ANOTHER READER: install Debian's package python3-mido (%v: %s)", err, out)
		if os.Getenv("CI") != "" {
			t.Fatal(complaint)
		}
		t.Skip(complaint)
	}
	cmd := exec.Command(python, append([]string{filepath.Join(folder, "mido_check.py")}, args...)...)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("mido_check.py: %v", err)
	}
	var all map[string]told
	if err := json.Unmarshal(out, &all); err != nil {
		t.Fatal(err)
	}
	return all
}

// tell says of a file of ours what mido says.
func tell(f *File) told {
	d := f.Division
	x := told{Format: f.Format, Division: int16(d.TicksPerQuarter)}
	if d.TicksPerQuarter == 0 {
		x.Division = int16(-d.FramesPerSecond)<<8 | int16(d.TicksPerFrame)
	}
	for i, tr := range f.Tracks {
		tt := toldTrack{End: tr.End}
		type key struct{ channel, pitch byte }
		sounding := map[key][]Event{}
		for _, e := range tr.Events {
			tt.Events = append(tt.Events, toldEvent{e.Tick, fmt.Sprintf("%X", e.Data)})
			kind := e.Data[0] & 0xF0
			if us, ok := tempo(e); ok && e.Data[0] == 0xFF && e.Data[1] == MetaTempo {
				x.Tempos = append(x.Tempos, [3]int64{int64(i), e.Tick, int64(us)})
			}
			if kind != 0x80 && kind != 0x90 {
				continue
			}
			k := key{e.Data[0] & 0x0F, e.Data[1]}
			if kind == 0x90 && e.Data[2] > 0 {
				sounding[k] = append(sounding[k], e)
			} else if on := sounding[k]; len(on) > 0 {
				x.Notes = append(x.Notes, [6]int64{int64(i), int64(k.channel), int64(k.pitch), int64(on[0].Data[2]), on[0].Tick, e.Tick})
				sounding[k] = on[1:]
			}
		}
		x.Tracks = append(x.Tracks, tt)
	}
	return x
}

// compare checks that mido and we say the same.
func compare(t *testing.T, f *File, want told) {
	t.Helper()
	got := tell(f)
	if got.Format != want.Format || got.Division != want.Division {
		t.Errorf("format and division %d, %d; mido says %d, %d", got.Format, got.Division, want.Format, want.Division)
	}
	if !slices.EqualFunc(got.Tracks, want.Tracks, func(a, b toldTrack) bool {
		return a.End == b.End && slices.Equal(a.Events, b.Events)
	}) {
		t.Errorf("tracks\n%v\nmido says\n%v", got.Tracks, want.Tracks)
	}
	if !slices.Equal(got.Notes, want.Notes) {
		t.Errorf("notes\n%v\nmido says\n%v", got.Notes, want.Notes)
	}
	if !slices.Equal(got.Tempos, want.Tempos) {
		t.Errorf("tempos\n%v\nmido says\n%v", got.Tempos, want.Tempos)
	}
	if want.Seconds == nil {
		return
	}
	end := slices.MaxFunc(f.Tracks, func(a, b Track) int { return cmp.Compare(a.End, b.End) }).End
	length := mustTempoMap(t, f, 0).At(end).Seconds()
	// mido adds up floating-point seconds.
	if math.Abs(length-*want.Seconds) > time.Microsecond.Seconds() {
		t.Errorf("it lasts %v s, mido says %v", length, *want.Seconds)
	}
}

// TestMidoReadsOurs compares what mido finds in our files: the golden ones, and random ones.
func TestMidoReadsOurs(t *testing.T) {
	dir := t.TempDir()
	ours := map[string]*File{}
	// mido joins sysex packets and refuses foreign chunks, so sysex.mid and foreign.mid are not for it.
	for _, name := range []string{"format0.mid", "format1.mid", "format2.mid", "smpte25.mid", "smpte29.mid"} {
		ours[name] = golden()[name]
	}
	random := files(true)
	for seed := range 100 {
		ours[fmt.Sprintf("random%d.mid", seed)] = random.Example(seed)
	}
	args := []string{"dump"}
	for name, f := range ours {
		path := filepath.Join(dir, name)
		if err := WriteFile(path, f); err != nil {
			t.Fatal(err)
		}
		args = append(args, path)
	}
	theirs := mido(t, args...)
	notes, seconds := 0, 0
	for _, name := range slices.Sorted(maps.Keys(ours)) {
		t.Run(name, func(t *testing.T) {
			want, ok := theirs[name]
			if !ok {
				t.Fatal("mido has not read it")
			}
			compare(t, ours[name], want)
			notes += len(want.Notes)
			if want.Seconds != nil {
				seconds++
			}
		})
	}
	if notes == 0 || seconds < 2 {
		t.Errorf("mido found %d notes in all, and the length of %d files: nothing was compared", notes, seconds)
	}
}

// TestMidoMeta compares the meta events that mido knows; it forgets the time of
// others, and fills in an empty sequence number.
func TestMidoMeta(t *testing.T) {
	f := golden()["meta.mid"]
	f.Tracks[0].Events = slices.DeleteFunc(f.Tracks[0].Events, func(e Event) bool {
		kind := e.Data[1]
		return kind == 0 || kind == 8 || kind > MetaDevice && kind < 0x20 || kind == 0x66
	})
	path := filepath.Join(t.TempDir(), "meta.mid")
	if err := WriteFile(path, f); err != nil {
		t.Fatal(err)
	}
	compare(t, f, mido(t, "dump", path)["meta.mid"])
}

// TestWeReadMido compares what we find in mido's files with what it put into them.
func TestWeReadMido(t *testing.T) {
	dir := t.TempDir()
	theirs := mido(t, "write", dir)
	if len(theirs) != 4 || len(theirs["score.mid"].Notes) != 300 {
		t.Fatalf("mido wrote %d files, and %d notes in the score; want 4 and 300", len(theirs), len(theirs["score.mid"].Notes))
	}
	for name, want := range theirs {
		t.Run(name, func(t *testing.T) {
			f, err := ReadFile(filepath.Join(dir, name))
			if err != nil {
				t.Fatal(err)
			}
			if len(f.Warnings) > 0 {
				t.Errorf("warnings %q", f.Warnings)
			}
			compare(t, f, want)
		})
	}
}
