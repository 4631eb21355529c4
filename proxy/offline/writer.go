package offline

import (
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
)

// writer collects what a stage emits while a timeline plays, and lays it out on the
// tracks of a file.
//
// A player of the file merges its tracks, and at one tick plays the first track
// first. What an input event causes therefore stands on its track and at its tick;
// what moves by itself stands on the first track that plays on the channel, at the
// first tick that is not too early. So two tracks that share a channel keep the
// order in which the engine said things.
type writer struct {
	timeline *Timeline
	lag      time.Duration // by which everything comes later than it stands in the file
	notes    int           // note-ons

	caused      bool // by an input event, on track
	track       uint16
	tick, limit int64 // what comes next stands between them

	blocks [][]written
	long   [][]byte // the messages of over three bytes
}

// written is one event. It is small, as there may be millions.
type written struct {
	tick  int64
	track uint16
	port  uint16
	msg   [3]byte
	len   uint8 // 0: the next of the long ones
}

// blockSize is how many events are allocated at a time.
const blockSize = 1 << 14

// before says that what is emitted next moves by itself, at limit at the latest.
func (w *writer) before(limit int64) { w.caused, w.limit = false, limit }

// by says that what is emitted next is caused by e.
func (w *writer) by(e *expr.Event, tick int64) {
	w.caused, w.track, w.tick, w.limit = true, e.Source, tick, tick
}

// take keeps an event.
func (w *writer) take(e *expr.Event) {
	if e.IsNoteOn() {
		w.notes++
	}
	x := written{tick: w.tick, track: w.track, port: e.Port, msg: e.Msg, len: e.Len}
	if e.Len == 0 {
		w.long = append(w.long, e.Data)
	}
	if !w.caused {
		w.tick = min(max(w.tick, w.timeline.notBefore(max(e.At-w.lag, 0))), w.limit)
		x.tick, x.track = w.tick, w.timeline.trackOf(e)
	}
	last := len(w.blocks) - 1
	if last < 0 || len(w.blocks[last]) == blockSize {
		w.blocks = append(w.blocks, make([]written, 0, blockSize))
		last++
	}
	w.blocks[last] = append(w.blocks[last], x)
}

// notBefore is the first tick that is not before a time.
func (t *Timeline) notBefore(at time.Duration) int64 {
	tick := t.Tempo.Tick(at)
	if t.Tempo.At(tick) < at {
		tick++
	}
	return tick
}

// trackOf is the track for an event that moves by itself: for controllers and bends the
// first that plays on the channel, else its own.
func (t *Timeline) trackOf(e *expr.Event) uint16 {
	if e.IsChannel() && (e.Msg[0]&0xF0 == 0xB0 || e.Msg[0]&0xF0 == 0xE0) {
		if home := t.home[int(e.Port)*16+e.Channel()]; home != unplayed {
			return uint16(home)
		}
	}
	return e.Source
}

// layOut adds the events to the tracks of a file that is made of another, in memory of about
// their size.
func (w *writer) layOut(f, of *smf.File) {
	counts, size := make([]int, len(f.Tracks)), 0
	for _, block := range w.blocks {
		for _, x := range block {
			counts[x.track]++
			size += int(x.len)
		}
	}
	tracks := make([]layout, len(f.Tracks))
	for i, n := range counts {
		if n > 0 {
			f.Tracks[i].Events = make([]smf.Event, 0, n)
			tracks[i] = layout{to: &f.Tracks[i], cables: w.timeline.cables}
			tracks[i].lead(&of.Tracks[i])
		}
	}
	arena := make([]byte, 0, size)
	long := w.long
	for i, block := range w.blocks {
		for _, x := range block {
			var data []byte
			if x.len == 0 {
				data, long = long[0], long[1:]
			} else {
				from := len(arena)
				arena = append(arena, x.msg[:x.len]...)
				data = arena[from:len(arena):len(arena)]
			}
			tracks[x.track].take(smf.Event{Tick: x.tick, Data: data}, x.port)
		}
		w.blocks[i] = nil // it may be collected from here on
	}
}

// asItCame writes a piece of a file as it came in, when all else has failed; it is the piece of
// a track, in format 2, or of all. before is how many notes came in with the pieces before it.
func asItCame(f, out *smf.File, t *Timeline, track int, report *Report, before int) {
	notes := 0
	for i := range t.Events {
		if t.Events[i].IsNoteOn() {
			notes++
		}
	}
	for i := range out.Tracks {
		if f.Format != 2 || i == track {
			out.Tracks[i].Events = slices.Clone(f.Tracks[i].Events)
		}
	}
	report.NotesIn, report.NotesOut = before+notes, report.NotesOut+notes
}
