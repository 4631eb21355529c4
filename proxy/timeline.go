package proxy

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/smf"
)

// Timeline is a file, or one track of a file of independent tracks, as the events
// it plays, in the order of their times. Meta events are among them, as messages
// that no engine looks into. Event.Source is the number of the track.
type Timeline struct {
	Events []expr.Event
	Hints  []profiles.Hint // what the file says of its channels that have notes
	Ports  int             // how many ports the file needs; Event.Port counts from 0
	Tempo  *smf.TempoMap
	Bars   *smf.BarMap   // nil in SMPTE time, which knows no bars
	End    time.Duration // when the last track ends
}

// NewTimeline reads a file's timeline. track (from 0) matters in format 2 only,
// where each track is a piece of its own.
func NewTimeline(f *smf.File, track int) (*Timeline, error) {
	if len(f.Tracks) > math.MaxUint16 {
		return nil, fmt.Errorf("the file has %d tracks; at most %d can be played", len(f.Tracks), math.MaxUint16)
	}
	t := &Timeline{}
	var err error
	if t.Tempo, err = smf.NewTempoMap(f, track); err != nil {
		return nil, err
	}
	if f.Division.TicksPerQuarter > 0 {
		if t.Bars, err = smf.Bars(f, track); err != nil {
			return nil, err
		}
	}
	t.take(f, track)
	return t, nil
}

// place is where an event stands in its file.
type place struct {
	tick  int64
	track int32
	index int32
}

func (t *Timeline) take(f *smf.File, track int) {
	var places []place
	var end int64
	for i := range f.Tracks {
		if f.Format == 2 && i != track {
			continue
		}
		end = max(end, f.Tracks[i].End)
		for j := range f.Tracks[i].Events {
			places = append(places, place{f.Tracks[i].Events[j].Tick, int32(i), int32(j)})
		}
	}
	slices.SortFunc(places, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.tick, b.tick), cmp.Compare(a.track, b.track), cmp.Compare(a.index, b.index))
	})
	t.End = t.Tempo.At(end)
	t.Events = make([]expr.Event, len(places))
	cables := newCables(f)
	seen := newHints(f)
	for i, p := range places {
		data := f.Tracks[p.track].Events[p.index].Data
		e := expr.Event{At: t.Tempo.At(p.tick), Data: data, Source: uint16(p.track), Port: cables.of(p.track, data)}
		if len(data) <= 3 && data[0] < 0xF0 {
			e.Data, e.Len = nil, uint8(len(data))
			copy(e.Msg[:], data)
		}
		seen.take(&e)
		t.Events[i] = e
	}
	t.Ports = max(len(cables.ports), 1)
	t.Hints = seen.inScoreOrder()
}

// cables finds the port of each track's events. A file names a port by number
// (meta 21) or a device by name (meta 09); each number and name is a port of its own,
// in the order in which the tracks first have them.
type cables struct {
	ports map[string]uint16
	now   []uint16 // by track
}

func newCables(f *smf.File) *cables {
	c := &cables{ports: map[string]uint16{}, now: make([]uint16, len(f.Tracks))}
	numbered := false
	for i := range f.Tracks {
		_, ok := f.Tracks[i].Port()
		numbered = numbered || ok || f.Tracks[i].Device() != ""
	}
	if !numbered {
		c.ports[""] = 0
		return c
	}
	for i := range f.Tracks {
		for _, e := range f.Tracks[i].Events {
			if name := cableName(e.Data); name != "" {
				c.now[i] = c.number(name)
				break
			}
		}
	}
	return c
}

func cableName(data []byte) string {
	if len(data) > 2 && data[0] == 0xFF && (data[1] == smf.MetaPort || data[1] == smf.MetaDevice) {
		return string(data[1:])
	}
	return ""
}

func (c *cables) number(name string) uint16 {
	n, ok := c.ports[name]
	if !ok {
		n = uint16(len(c.ports))
		c.ports[name] = n
	}
	return n
}

// of is the port of an event, which may itself be the one that changes it.
func (c *cables) of(track int32, data []byte) uint16 {
	if name := cableName(data); name != "" {
		c.now[track] = c.number(name)
	}
	return c.now[track]
}

// hints gathers what a file says of each channel.
type hints struct {
	file     *smf.File
	hints    []profiles.Hint
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
	name, instrument := "", track.Instrument()
	if h.file.Format != 0 { // in format 0 the track's name is the piece's
		name = strings.TrimSpace(track.Name())
	}
	i, known := h.index[address]
	if !known {
		h.index[address] = len(h.hints)
		h.first = append(h.first, int(e.Source))
		program, has := h.programs[address]
		h.hints = append(h.hints, profiles.Hint{
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
func (h *hints) inScoreOrder() []profiles.Hint {
	order := make([]int, len(h.hints))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(h.first[a], h.first[b]) })
	sorted := make([]profiles.Hint, len(order))
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
