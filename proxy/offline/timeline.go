package offline

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/profiles/names"
	"swellbox/proxy/formats/smf"
)

// Timeline is a file, or one track of a file of independent tracks, as the events
// it plays, in the order of their times. Meta events are among them, as messages
// that no engine looks into. Event.Source is the number of the track.
type Timeline struct {
	Events []expr.Event
	Hints  []names.Hint // what the file says of its channels that have notes
	Ports  int          // how many ports the file needs; Event.Port counts from 0
	Tempo  *smf.TempoMap
	Bars   *smf.BarMap   // nil in SMPTE time, which has no bars
	End    time.Duration // when the last track ends

	ticks      []int64 // of the events; a tick may last less than a Duration can tell
	end        int64   // tick of End
	perQuarter int     // ticks in a quarter note; 0 in SMPTE time
	calls      []bool  // of the events: it starts a keyswitch; nil where nobody has looked
	cables     []cable // by port
	home       []int   // port*16+channel to the first track that plays on it; unplayed if none does
}

// unplayed marks a channel that no track plays on.
const unplayed = -1

// maxLength bounds a piece: none is as long, and what seems to be has a damaged tempo
// or time.
const maxLength = 48 * time.Hour

// NewTimeline reads a file's timeline. track (from 0) matters in format 2 only,
// where each track is a piece of its own.
func NewTimeline(f *smf.File, track int) (*Timeline, error) {
	if len(f.Tracks) > math.MaxUint16 {
		return nil, fmt.Errorf("the file has %d tracks; at most %d can be played", len(f.Tracks), math.MaxUint16)
	}
	t := &Timeline{perQuarter: int(f.Division.TicksPerQuarter)}
	var err error
	if t.Tempo, err = smf.NewTempoMap(f, track); err != nil {
		return nil, err
	}
	if f.Division.TicksPerQuarter > 0 {
		if t.Bars, err = smf.Bars(f, track); err != nil {
			return nil, err
		}
	}
	if err := t.take(f, track); err != nil {
		return nil, err
	}
	return t, nil
}

// place is where an event stands in its file.
type place struct {
	tick  int64
	track int32
	index int32
}

func (t *Timeline) take(f *smf.File, track int) error {
	cables, err := newCables(f)
	if err != nil {
		return err
	}
	places := t.places(f, track)
	t.End = t.Tempo.At(t.end)
	if t.End > maxLength {
		return fmt.Errorf("the file lasts %v, and at most %v can be played: its tempo or the time of an event is damaged; export it again", t.End.Round(time.Second), maxLength)
	}
	t.cables = cables.list()
	t.Ports = len(t.cables)
	t.home = slices.Repeat([]int{unplayed}, t.Ports*16)
	t.Events = make([]expr.Event, len(places))
	t.ticks = make([]int64, len(places))
	seen := newHints(f)
	for i, p := range places {
		data := f.Tracks[p.track].Events[p.index].Data
		e := expr.Event{At: t.Tempo.At(p.tick), Data: data, Source: uint16(p.track), Port: cables.of(int(p.track), data)}
		if len(data) <= 3 && data[0] < 0xF0 {
			e.Data, e.Len = nil, uint8(len(data))
			copy(e.Msg[:], data)
		}
		seen.take(&e)
		t.settle(&e)
		t.Events[i], t.ticks[i] = e, p.tick
	}
	t.Hints = names.InScore(seen.inScoreOrder())
	return nil
}

// places lists the events in the order in which they play, and finds the last tick.
func (t *Timeline) places(f *smf.File, track int) []place {
	n := 0
	for i := range f.Tracks {
		n += len(f.Tracks[i].Events)
	}
	places := make([]place, 0, n)
	for i := range f.Tracks {
		if f.Format == 2 && i != track {
			continue
		}
		t.end = max(t.end, f.Tracks[i].End)
		for j := range f.Tracks[i].Events {
			places = append(places, place{f.Tracks[i].Events[j].Tick, int32(i), int32(j)})
		}
	}
	slices.SortFunc(places, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.tick, b.tick), cmp.Compare(a.track, b.track), cmp.Compare(a.index, b.index))
	})
	return places
}

// settle notes the first track that plays on a channel. A track that only sets the
// channel's program does not play.
func (t *Timeline) settle(e *expr.Event) {
	if !e.IsChannel() || e.Msg[0]&0xF0 == 0xC0 {
		return
	}
	home := &t.home[int(e.Port)*16+e.Channel()]
	if *home == unplayed || int(e.Source) < *home {
		*home = int(e.Source)
	}
}

// hints gathers what a file says of each channel.
type hints struct {
	file     *smf.File
	hints    []names.Hint
	first    []int       // by hint: the number of its first track
	index    map[int]int // port*16+channel to its hint
	programs map[int]int // port*16+channel to its present program, from 1
	tracks   map[[2]int]bool
}

func newHints(f *smf.File) *hints {
	return &hints{file: f, index: map[int]int{}, programs: map[int]int{}, tracks: map[[2]int]bool{}}
}

func (h *hints) take(e *expr.Event) {
	if !e.IsChannel() {
		return
	}
	address := int(e.Port)*16 + e.Channel()
	if e.Msg[0]&0xF0 == 0xC0 {
		h.programs[address] = int(e.Msg[1]) + 1
	}
	if !e.IsNoteOn() {
		return
	}
	key := [2]int{address, int(e.Source)}
	if h.tracks[key] {
		return
	}
	h.tracks[key] = true
	track := &h.file.Tracks[e.Source]
	name, instrument := "", ""
	if h.file.Format != 0 { // in format 0 all channels share a track, and its name is the piece's
		name, instrument = strings.TrimSpace(track.Name()), track.Instrument()
	}
	i, known := h.index[address]
	if !known {
		h.index[address] = len(h.hints)
		h.first = append(h.first, int(e.Source))
		program, has := h.programs[address]
		h.hints = append(h.hints, names.Hint{
			Port: int(e.Port) + 1, Channel: e.Channel() + 1,
			Track: name, Instrument: instrument, Program: program, HasProgram: has,
		})
		return
	}
	// A second track on the channel: two staves of one instrument, or two voices.
	hint := &h.hints[i]
	h.first[i] = min(h.first[i], int(e.Source))
	switch {
	case hint.Track == "":
		hint.Track = name
	case name != "" && name != hint.Track:
		hint.Track = stem(hint.Track, name)
	}
	if hint.Instrument == "" {
		hint.Instrument = instrument
	}
}

// inScoreOrder lists the hints in the order of their tracks, in one track in the order
// in which they play.
func (h *hints) inScoreOrder() []names.Hint {
	order := make([]int, len(h.hints))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(h.first[a], h.first[b]) })
	sorted := make([]names.Hint, len(order))
	for i, n := range order {
		sorted[i] = h.hints[n]
	}
	return sorted
}

// stem joins the names of two tracks of one channel: what they begin with alike
// if that is a word or more ("Piano right", "Piano left": "Piano"), else the first.
func stem(a, b string) string {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	if n < len(a) && n < len(b) {
		n = strings.LastIndexByte(a[:n], ' ') + 1
	}
	if s := strings.TrimRight(a[:n], " ,-(:"); s != "" {
		return s
	}
	return a
}
