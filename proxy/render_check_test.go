package proxy_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"swellbox/proxy"
	"swellbox/proxy/smf"
)

// sound checks what holds of every render: the file keeps its form, every message
// that no profile owns keeps its tick and its order, and every note-on has its note-off.
func sound(t testing.TB, in, out *smf.File, report *proxy.Report) {
	t.Helper()
	if out.Format != in.Format || out.Division != in.Division || len(out.Tracks) != len(in.Tracks) {
		t.Fatalf("format %d, division %v, %d tracks became format %d, division %v, %d tracks",
			in.Format, in.Division, len(in.Tracks), out.Format, out.Division, len(out.Tracks))
	}
	if !slices.EqualFunc(out.Foreign, in.Foreign, func(a, b smf.Chunk) bool {
		return a.Type == b.Type && a.Before == b.Before && string(a.Data) == string(b.Data)
	}) {
		t.Error("foreign chunks differ")
	}
	encode(t, out)
	if report.Warnings == nil || report.Parts == nil {
		t.Error("warnings and parts must be lists, empty ones if need be")
	}
	if report.NotesIn != report.NotesOut || report.NotesIn != notesOf(in) || report.NotesOut != notesOf(out) {
		t.Errorf("the report says %d notes in, %d out; the files have %d and %d", report.NotesIn, report.NotesOut, notesOf(in), notesOf(out))
	}
	var shaped uint64
	for _, p := range report.Parts {
		shaped += p.Notes
	}
	if shaped != uint64(report.NotesIn) {
		t.Errorf("the parts have %d notes, the file %d", shaped, report.NotesIn)
	}
	unended, end := unended(t, in), int64(0)
	for _, tr := range in.Tracks {
		end = max(end, tr.End)
	}
	for i := range in.Tracks {
		want, got := kept(in.Tracks[i].Events), kept(out.Tracks[i].Events)
		if len(got) < len(want) || !slices.Equal(got[:len(want)], want) {
			t.Errorf("track %d: what no profile owns was\n%s\nand became\n%s", i+1, strings.Join(want, "\n"), strings.Join(got, "\n"))
			continue
		}
		for _, e := range out.Tracks[i].Events[len(out.Tracks[i].Events)-(len(got)-len(want)):] {
			if e.Data[0]&0xF0 != 0x80 || e.Tick < end && in.Format != 2 {
				t.Errorf("track %d ends with % X at tick %d, which did not come in and ends no note", i+1, e.Data, e.Tick)
			}
			unended--
		}
		if out.Tracks[i].End != max(in.Tracks[i].End, lastTick(out.Tracks[i])) {
			t.Errorf("track %d ended at %d and now at %d", i+1, in.Tracks[i].End, out.Tracks[i].End)
		}
	}
	if unended != 0 {
		t.Errorf("%d of the notes without an end have none now", unended)
	}
}

func lastTick(t smf.Track) int64 {
	if len(t.Events) == 0 {
		return 0
	}
	return t.Events[len(t.Events)-1].Tick
}

func notesOf(f *smf.File) (n int) {
	for _, t := range f.Tracks {
		for _, e := range t.Events {
			if e.Data[0]&0xF0 == 0x90 && e.Data[2] > 0 {
				n++
			}
		}
	}
	return n
}

// owned are the controllers that some built-in profile moves: vibrato depth,
// expression, both with their lower halves, and brightness.
var owned = []byte{1, 33, 11, 43, 74}

// kept lists what must come out as it came in, but for the velocity of note-ons.
func kept(events []smf.Event) (lines []string) {
	for _, e := range events {
		switch d := e.Data; {
		case d[0]&0xF0 == 0xB0 && slices.Contains(owned, d[1]):
		case d[0]&0xF0 == 0x90 && d[2] > 0:
			lines = append(lines, fmt.Sprintf("%d: %X on", e.Tick, d[:2]))
		default:
			lines = append(lines, fmt.Sprintf("%d: %X", e.Tick, d))
		}
	}
	return lines
}

// unended counts the notes that still sound where the timeline of a file ends, by
// its own account: one note-off ends one note of its port, channel and key.
func unended(t testing.TB, f *smf.File) (n int) {
	t.Helper()
	pieces := 1
	if f.Format == 2 {
		pieces = len(f.Tracks)
	}
	for track := range pieces {
		timeline, err := proxy.NewTimeline(f, track)
		if err != nil {
			t.Fatal(err)
		}
		type key struct {
			port     uint16
			ch, note byte
		}
		on := map[key]int{}
		for _, e := range timeline.Events {
			k := key{e.Port, e.Msg[0] & 0x0F, e.Msg[1]}
			switch {
			case e.IsNoteOn():
				on[k]++
			case e.IsNoteOff():
				on[k] = max(0, on[k]-1)
			}
		}
		for _, k := range on {
			n += k
		}
	}
	return n
}
