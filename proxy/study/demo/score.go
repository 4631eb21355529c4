// Package demo holds what `swellbox demo` needs and nobody has to bring: a
// composition of our own as a notation program would export it, a long one made
// from it for measuring speed, the picture of a performance before and after
// shaping, and the table that says the same in figures.
//
// [Score] and [Picture] are the two calls that matter. Nothing here opens a port
// or knows the engine: the caller fills a [View] and a list of [Row].
package demo

import (
	"cmp"
	"slices"
	"time"

	"swellbox/proxy/formats/smf"
)

// Title is the name of the composition.
const Title = "Boats Leaving at First Light"

const bars = 30

// Parts lists the parts in the order of the score.
func Parts() []Part {
	all := ensemble()
	out := make([]Part, len(all))
	for i, p := range all {
		out[i] = p.Part
	}
	return out
}

// ensemble is the whole score in score order, with ports and channels given out.
func ensemble() []part {
	var all []part
	for port, parts := range [][]part{
		slices.Concat(woodwind(), brass()),
		slices.Concat(others(), stringOrchestra()),
	} {
		for i, p := range parts {
			p.Port, p.Channel = port, i
			if i >= percussionChannel {
				p.Channel++
			}
			all = append(all, p)
		}
	}
	return all
}

const percussionChannel = 9 // 0-based, General MIDI 1; stays free

// tempi are dotted quarters a minute from the bar (1-based) on.
var tempi = []struct {
	bar  int
	beat float64
}{{1, 52}, {13, 54}, {15, 56}, {17, 58}, {19, 60}, {24, 56}, {27, 50}, {28, 46}, {29, 42}, {30, 36}}

var sections = []struct {
	bar  int
	name string
}{{1, "Before light"}, {7, "Water"}, {13, "The boats put out"}, {19, "Open sea"}, {24, "The last sail"}, {27, "Quiet"}}

// microsPerQuarter is the tempo in the unit of a MIDI file.
func microsPerQuarter(beat float64) int { return int(60e6/(beat*1.5) + 0.5) }

// Bars gives the start of every bar and the end of the last.
func Bars() (starts []time.Duration, end time.Duration) {
	next, bar := 0, time.Duration(0)
	for b := 1; b <= bars; b++ {
		if next < len(tempi) && tempi[next].bar == b {
			bar = time.Duration(microsPerQuarter(tempi[next].beat)) * time.Microsecond * barTicks / ticksPerQuarter
			next++
		}
		starts = append(starts, end)
		end += bar
	}
	return starts, end
}

// Score gives the composition as a format 1 file: 30 bars of six eighths, about
// 70 seconds, 21 parts on two ports. It is a new file at every call.
func Score() *smf.File {
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: ticksPerQuarter}}
	f.Tracks = append(f.Tracks, conductor())
	for _, p := range ensemble() {
		for i, s := range p.staves {
			t := newTrack(s.name, p.Part, bars*barTicks)
			if i == 0 {
				t.Events = append(t.Events, p.controllers()...)
			}
			for _, notes := range s.read() {
				t.Events = append(t.Events, noteEvents(notes, p.Channel)...)
			}
			order(t.Events)
			f.Tracks = append(f.Tracks, t)
		}
	}
	return f
}

// conductor is the track of title, time, key and tempo.
func conductor() smf.Track {
	t := smf.Track{End: bars * barTicks, Events: []smf.Event{
		meta(0, 0x03, Title),
		meta(0, 0x01, "Composed for the demonstration"),
		meta(0, 0x58, "\x06\x03\x24\x08"), // six eighths, 36 clocks a beat
		meta(0, 0x59, "\x01\x00"),         // one sharp, major
	}}
	for _, s := range sections {
		t.Events = append(t.Events, meta(barTick(s.bar), 0x06, s.name))
	}
	for _, c := range tempi {
		t.Events = append(t.Events, tempo(barTick(c.bar), microsPerQuarter(c.beat)))
	}
	order(t.Events)
	return t
}

func meta(tick int64, kind byte, payload string) smf.Event {
	return smf.Event{Tick: tick, Data: append([]byte{0xFF, kind}, payload...)}
}

func tempo(tick int64, micros int) smf.Event {
	return meta(tick, 0x51, string([]byte{byte(micros >> 16), byte(micros >> 8), byte(micros)}))
}

// newTrack begins a track: its name, its port (meta 21), its program.
func newTrack(name string, p Part, end int64) smf.Track {
	return smf.Track{End: end, Events: []smf.Event{
		meta(0, 0x03, name),
		meta(0, 0x21, string([]byte{byte(p.Port)})),
		{Data: []byte{0xC0 | byte(p.Channel), byte(p.Program)}},
	}}
}

func control(tick int64, channel int, number, value byte) smf.Event {
	return smf.Event{Tick: tick, Data: []byte{0xB0 | byte(channel), number, value}}
}

// controllers are the part's swells: full before and after, 24 steps a bar.
func (p *part) controllers() []smf.Event {
	if len(p.swells) == 0 {
		return nil
	}
	const step = barTicks / 24
	events := []smf.Event{control(0, p.Channel, 11, 127)}
	for _, s := range p.swells {
		from, to := barTick(s.from), barTick(s.to+1)
		for tick := from; tick < to; tick += step {
			v := int64(s.low) + (127-int64(s.low))*(tick-from)/(to-from)
			events = append(events, control(tick, p.Channel, 11, byte(v)))
		}
		events = append(events, control(to, p.Channel, 11, 127))
	}
	return events
}

func noteEvents(notes []note, channel int) []smf.Event {
	events := make([]smf.Event, 0, 2*len(notes))
	for _, n := range notes {
		events = append(events,
			smf.Event{Tick: n.tick, Data: []byte{0x90 | byte(channel), n.key, n.velocity}},
			smf.Event{Tick: n.tick + n.length, Data: []byte{0x80 | byte(channel), n.key, 64}})
	}
	return events
}

// order sorts a track: by time; at one moment what ends a note before what is
// neither, and what begins one last.
func order(events []smf.Event) {
	rank := func(e smf.Event) int {
		switch e.Data[0] & 0xF0 {
		case 0x80:
			return 0
		case 0x90:
			return 2
		}
		return 1
	}
	slices.SortStableFunc(events, func(a, b smf.Event) int {
		return cmp.Or(cmp.Compare(a.Tick, b.Tick), cmp.Compare(rank(a), rank(b)))
	})
}
