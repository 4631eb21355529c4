package offline

import (
	"cmp"
	"fmt"
	"math"
	"math/bits"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/musicxml"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
)

// ReadPiece reads a piece to be played: a MIDI file, or a MusicXML score (.musicxml, .xml,
// .mxl), of which a file is made that plays it as written, with its ornaments or without, as ornaments says. piece
// is the score, where there is one. Errors name the path.
func ReadPiece(path string, ornaments Ornaments) (file *smf.File, piece *expr.Score, err error) {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".musicxml", ".xml", ".mxl":
	default:
		file, err = smf.ReadFile(path)
		return file, nil, err
	}
	var d *musicxml.Document
	if reason := perform.Caught(func() { d, err = ornaments.grace().ReadFile(path) }); reason != nil {
		err = fmt.Errorf("%s: the score cannot be read: %v; export it as a MIDI file", path, reason)
	}
	if err != nil {
		return nil, nil, err
	}
	if len(d.Score.Notes) == 0 {
		return nil, nil, fmt.Errorf("%s: there is no note in it to play: export the piece again", path)
	}
	var waiting holds
	if ornaments&PlayOrnaments != 0 {
		waiting = holdOn(d)
		playOrnaments(d)
	}
	file = fileOf(d, waiting)
	file.Warnings = slices.Clone(d.Warnings)
	return file, d.Score, nil
}

// ticksPerQuarter of a file that is made of a score: tuplets of 3, 5 and 7 and 64ths are exact.
const ticksPerQuarter = 6720

func tickOf(beat float64) int64 { return int64(math.Round(beat * ticksPerQuarter)) }

// fileOf makes a MIDI file of a score: a track for tempos and bars, and one for each part.
func fileOf(d *musicxml.Document, waiting holds) *smf.File {
	s := d.Score
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: ticksPerQuarter}, Tracks: make([]smf.Track, 1, len(s.Parts)+1)}
	f.Tracks[0] = smf.Track{Events: slices.Concat(titleOf(d), signatures(s), temposOf(s, waiting))}
	for part := range s.Parts {
		f.Tracks = append(f.Tracks, partTrack(d, uint16(part)))
	}
	end := int64(0)
	for i := range f.Tracks {
		t := &f.Tracks[i]
		slices.SortStableFunc(t.Events, func(a, b smf.Event) int { return cmp.Compare(a.Tick, b.Tick) })
		if n := len(t.Events); n > 0 {
			end = max(end, t.Events[n-1].Tick)
		}
	}
	for i := range f.Tracks {
		f.Tracks[i].End = end
	}
	return f
}

// signatures are the time signatures, where they change.
func signatures(s *expr.Score) (events []smf.Event) {
	beats, unit := 0, 0
	for _, b := range s.Bars {
		if b.Beats == beats && b.Unit == unit || b.Beats < 1 || b.Beats > 255 || b.Unit < 1 {
			continue
		}
		beats, unit = b.Beats, b.Unit
		events = append(events, smf.Event{Tick: tickOf(b.Beat), Data: []byte{
			0xFF, smf.MetaTimeSignature, byte(beats), byte(bits.Len(uint(unit)) - 1), 24, 8,
		}})
	}
	return events
}

// The slowest and fastest tempo that a file is given, in µs a quarter note: what lies beyond is
// a fault of the score.
const (
	fastestTempo = 10_000
	slowestTempo = 1<<24 - 1
)

// temposOf are the tempos that bring each bar and note to its time.
func temposOf(s *expr.Score, waiting holds) (events []smf.Event) {
	type point struct {
		tick int64
		at   time.Duration
	}
	points := make([]point, 0, len(s.Bars)+len(s.Notes))
	for i := range s.Bars {
		points = append(points, point{tickOf(s.Bars[i].Beat), s.Bars[i].At})
	}
	for i := range s.Notes {
		points = append(points, point{tickOf(s.Notes[i].Beat), s.Notes[i].On})
	}
	end := point{}
	for i := range s.Notes { // the tempo of the last notes too
		if n := &s.Notes[i]; n.Off > end.at {
			end = point{tickOf(n.Beat + n.Length), n.Off}
		}
	}
	points = append(points, end)
	for i := range waiting {
		from, to := waiting[i].ends()
		points = append(points, point{tickOf(waiting[i].from), from}, point{tickOf(waiting[i].to), to})
	}
	slices.SortFunc(points, func(a, b point) int { return cmp.Or(cmp.Compare(a.tick, b.tick), cmp.Compare(a.at, b.at)) })
	last, tempo := point{}, int64(0)
	for _, p := range points {
		if p.tick-last.tick < ticksPerQuarter/16 || p.at <= last.at { // grace notes stand beside the beats
			continue
		}
		now := int64(math.Round(float64((p.at - last.at).Microseconds()) * ticksPerQuarter / float64(p.tick-last.tick)))
		now = min(max(now, fastestTempo), slowestTempo)
		if diff := now - tempo; diff > tempo/500 || -diff > tempo/500 {
			events = append(events, tempoEventAt(last.tick, uint32(now)))
			tempo = now
		}
		last = p
	}
	return events
}

func tempoEventAt(tick int64, perQuarter uint32) smf.Event {
	return smf.Event{Tick: tick, Data: []byte{0xFF, smf.MetaTempo, byte(perQuarter >> 16), byte(perQuarter >> 8), byte(perQuarter)}}
}

// usualNoteVelocity is that of a note of which the score does not say how loud it is.
const usualNoteVelocity = 64

// titleOf is the name of the whole, which a MIDI file has as that of its first track.
func titleOf(d *musicxml.Document) []smf.Event {
	if d.Title == "" {
		return nil
	}
	return []smf.Event{{Data: append([]byte{0xFF, smf.MetaTrackName}, d.Title...)}}
}

// partTrack is a part's track: its name, port and programs, its notes and its pedals.
func partTrack(d *musicxml.Document, part uint16) smf.Track {
	s := d.Score
	name := s.Parts[part]
	t := smf.Track{Events: []smf.Event{{Data: append([]byte{0xFF, smf.MetaTrackName}, name...)}}}
	home, told, named := uint8(0), false, false
	for _, x := range d.Instruments {
		if x.Part != part {
			continue
		}
		if !told { // a track has one port
			told, home = true, x.Channel&15
			t.Events = append(t.Events, smf.Event{Data: []byte{0xFF, smf.MetaPort, byte(x.Port & 127)}})
		}
		if x.Program > 0 && x.Program <= 128 {
			named = true
			t.Events = append(t.Events, smf.Event{Data: []byte{0xC0 | x.Channel&15, byte(x.Program - 1)}})
		}
	}
	if !named && slices.ContainsFunc(s.Notes, func(n expr.Written) bool { return n.Part == part && n.Staff > 1 }) {
		t.Events = append(t.Events, smf.Event{Data: []byte{0xC0 | home, 0}}) // two staves are a keyboard's
	}
	for _, c := range d.Changes { // before the notes of their time
		if c.Part == part {
			t.Events = append(t.Events, smf.Event{Tick: tickOf(c.Beat), Data: []byte{0xC0 | c.Channel&15, byte(c.Program-1) & 127}})
		}
	}
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.Part != part {
			continue
		}
		on, off := tickOf(n.Beat), tickOf(n.Beat+n.Length)
		t.Events = append(t.Events,
			smf.Event{Tick: on, Data: []byte{0x90 | n.Channel&15, n.Key & 127, cmp.Or(n.Velocity&127, usualNoteVelocity)}},
			smf.Event{Tick: max(off-1, on+1), Data: []byte{0x80 | n.Channel&15, n.Key & 127, 64}}) // before a note that follows on its key
	}
	for _, p := range d.Pedals {
		if p.Part != part {
			continue
		}
		controller := byte(64)
		if p.Sostenuto {
			controller = 66
		}
		t.Events = append(t.Events,
			smf.Event{Tick: tickOf(p.Beat), Data: []byte{0xB0 | home, controller, 127}},
			smf.Event{Tick: tickOf(p.Beat + p.Length), Data: []byte{0xB0 | home, controller, 0}})
	}
	return t
}
