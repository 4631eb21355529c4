package offline_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// steady leaves out the habits that move more than velocities, expression, vibrato and
// brightness: those that end notes at times of their own, and the foot on the pedal.
var steady = perform.Manner{Without: []string{"articulation", "quick-notes", "breath", "pedal"}}

// sound checks what holds of every render: the file keeps its form, every message
// that no profile owns keeps its tick and its order, and every note-on has its note-off,
// on its own track and at its time: later where a note is drawn over the next, if the
// manner is not steady.
func sound(t testing.TB, in, out *smf.File, report *offline.Report, manner perform.Manner) {
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
	for _, w := range report.Warnings { // a render goes on without what fails, and must not hide that here
		if failed(w) {
			t.Errorf("something failed: %s", w)
		}
	}
	if report.Warnings == nil || report.Parts == nil {
		t.Error("warnings and parts must be lists, empty ones if need be")
	}
	if report.NotesIn != report.NotesOut || report.NotesIn != notesOf(in) || report.NotesOut != notesOf(out) {
		t.Errorf("the report says %d notes in, %d out; the files have %d and %d", report.NotesIn, report.NotesOut, notesOf(in), notesOf(out))
	}
	var shaped uint64
	for _, p := range report.Parts {
		shaped += p.Notes + p.Passed
	}
	if shaped != uint64(report.NotesIn) {
		t.Errorf("the parts have %d notes, the file %d", shaped, report.NotesIn)
	}
	for i := range in.Tracks {
		if out.Tracks[i].End != max(in.Tracks[i].End, lastTick(out.Tracks[i])) {
			t.Errorf("track %d ended at %d and now at %d", i+1, in.Tracks[i].End, out.Tracks[i].End)
		}
	}
	if slices.Equal(manner.Without, steady.Without) {
		inPlace(t, in, out)
	} else {
		keptApart(t, in, out)
	}
}

// inPlace checks that every message that no profile owns, note-offs among them, has kept
// its tick and its order, and that only the ends of hanging notes were added.
func inPlace(t testing.TB, in, out *smf.File) {
	t.Helper()
	unended, end := unended(t, in), int64(0)
	for _, tr := range in.Tracks {
		end = max(end, tr.End)
	}
	for i := range in.Tracks {
		want, got := kept(introduced(in.Tracks[i].Events), others), kept(out.Tracks[i].Events, others)
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
	}
	if unended != 0 {
		t.Errorf("%d of the notes without an end have none now", unended)
	}
}

// latest is by how much a note may end later than it came in: Bresin's overlap of
// legato notes is longest, 67 ms, where 0.78 s lie between their onsets.
const latest = 68 * time.Millisecond

// keptApart checks the same of all but note-offs and pedals, and these by themselves:
// each note ends once, as it came in or a little later, and no pedal that came in is lost.
func keptApart(t testing.TB, in, out *smf.File) {
	t.Helper()
	for i := range in.Tracks {
		want, got := kept(introduced(in.Tracks[i].Events), rest), kept(out.Tracks[i].Events, rest)
		if !slices.Equal(got, want) {
			t.Errorf("track %d: what no profile owns was\n%s\nand became\n%s", i+1, strings.Join(want, "\n"), strings.Join(got, "\n"))
		}
		trodden := kept(out.Tracks[i].Events, pedals)
		for _, line := range kept(in.Tracks[i].Events, pedals) {
			at := slices.Index(trodden, line)
			if at < 0 {
				t.Errorf("track %d: the pedal %s is lost, or comes too soon", i+1, line)
				break
			}
			trodden = trodden[at+1:]
		}
	}
	if n := unended(t, out); n != 0 {
		t.Errorf("%d notes have no end", n)
	}
	if was, is := endsIn(in)+unended(t, in), endsIn(out); was != is {
		t.Errorf("%d note-offs became %d", was, is)
	}
	before, after := pieces(t, in), pieces(t, out)
	for piece := range before {
		tempo, now := after[piece].Tempo, played(after[piece])
		for address, was := range played(before[piece]) {
			is := now[address]
			switch {
			case !was.tidy: // nobody can tell which note-off ends which note
				continue
			case !is.tidy || len(is.notes) != len(was.notes):
				t.Errorf("port and channel %v: a note ends on another track than it begins on, or one ends that has not begun", address)
				continue
			}
			for i, a := range was.notes {
				b := is.notes[i] // which may end a tick later still, as ticks are not times
				if a.track != b.track || a.key != b.key || b.end < a.end || tempo.At(tempo.Tick(b.end)-1) > a.end+latest {
					t.Errorf("port and channel %v: the note %+v became %+v", address, a, b)
				}
			}
		}
	}
}

// channelLine is what is played on one channel of one port, in the order in which its notes
// start. It is tidy if each note-off ends a note of its own track, and no key is struck again
// before it is up.
type channelLine struct {
	notes []span
	tidy  bool
}

// span is a note with its end; one that is left hanging ends where the piece does.
type span struct {
	track, key int
	end        time.Duration
}

// played lists the lines of a piece by port and channel.
func played(t *offline.Timeline) map[[2]int]channelLine {
	lines := map[[2]int]channelLine{}
	open := map[[3]int]int{} // port, channel and key to a note's number on its line, from 1
	for _, e := range t.Events {
		if !e.IsNoteOn() && !e.IsNoteOff() {
			continue
		}
		address := [2]int{int(e.Port), e.Channel()}
		key := [3]int{address[0], address[1], int(e.Msg[1])}
		l, known := lines[address]
		l.tidy = l.tidy || !known
		switch n := open[key]; {
		case e.IsNoteOn():
			l.tidy = l.tidy && n == 0
			l.notes = append(l.notes, span{track: int(e.Source), key: key[2], end: t.End})
			open[key] = len(l.notes)
		case n == 0:
			l.tidy = false
		default:
			l.tidy = l.tidy && l.notes[n-1].track == int(e.Source)
			l.notes[n-1].end = e.At
			delete(open, key)
		}
		lines[address] = l
	}
	for key := range open { // what hangs is ended on the track that played last
		address := [2]int{key[0], key[1]}
		l := lines[address]
		l.tidy = l.tidy && !slices.ContainsFunc(l.notes, func(s span) bool { return s.track != l.notes[0].track })
		lines[address] = l
	}
	return lines
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

// What a render may change, and how: see sound.
func others(d []byte) bool { return d[0]&0xF0 != 0xB0 || !slices.Contains(owned, d[1]) }
func pedals(d []byte) bool { return d[0]&0xF0 == 0xB0 && d[1] == 64 }
func ends(d []byte) bool   { return d[0]&0xF0 == 0x80 || d[0]&0xF0 == 0x90 && d[2] == 0 }
func rest(d []byte) bool   { return others(d) && !pedals(d) && !ends(d) }

// kept lists the messages that must come out as they came in, but for the velocity of note-ons.
func kept(events []smf.Event, which func([]byte) bool) (lines []string) {
	for _, e := range events {
		switch d := e.Data; {
		case !which(d):
		case d[0]&0xF0 == 0x90 && d[2] > 0:
			lines = append(lines, fmt.Sprintf("%d: %X on", e.Tick, d[:2]))
		default:
			lines = append(lines, fmt.Sprintf("%d: %X", e.Tick, d))
		}
	}
	return lines
}

// introduced is the events of a track in the order in which a render has them: what the track
// says of itself at its start comes before all that it plays. A second port or device is no
// such thing: it is a change.
func introduced(events []smf.Event) []smf.Event {
	seen, playing, prefix := map[byte]bool{}, false, false
	var first, then []smf.Event
	for _, e := range events {
		kind, _, ok := e.Meta()
		playing = playing || e.Data[0] < 0xF0
		prefix = prefix && ok || playing && ok && kind == 0x20
		about := ok && !prefix && (kind == smf.MetaTrackName || kind == smf.MetaInstrument || (kind == smf.MetaPort || kind == smf.MetaDevice) && !seen[kind])
		seen[kind] = true
		if e.Tick == 0 && (about || !playing) {
			first = append(first, e)
		} else {
			then = append(then, e)
		}
	}
	return append(first, then...)
}

func endsIn(f *smf.File) (n int) {
	for _, t := range f.Tracks {
		n += len(kept(t.Events, ends))
	}
	return n
}

// pieces are the timelines of a file: one, or in format 2 one for each track.
func pieces(t testing.TB, f *smf.File) (all []*offline.Timeline) {
	t.Helper()
	n := 1
	if f.Format == 2 {
		n = len(f.Tracks)
	}
	for track := range n {
		timeline, err := offline.NewTimeline(f, track)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, timeline)
	}
	return all
}

// unended counts the notes that still sound where the timeline of a file ends, by
// its own account: one note-off ends one note of its port, channel and key.
func unended(t testing.TB, f *smf.File) (n int) {
	t.Helper()
	for _, timeline := range pieces(t, f) {
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

// failed reports whether a warning is of something that failed.
func failed(warning string) bool {
	for k := range expr.OfAll {
		if words, _, _ := strings.Cut(k.Loss("").Error(), ":"); strings.Contains(warning, words) {
			return true
		}
	}
	return strings.Contains(warning, "shaping failed") || strings.Contains(warning, "plays raw")
}
