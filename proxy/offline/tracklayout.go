package offline

import (
	"swellbox/proxy/formats/smf"
)

// layout is one track of a file while it is laid out. Whoever reads a track goes by position:
// a port or a name that stands after a note is not that note's. So what a track of the
// input says of itself at its very start comes first, whatever else is due there; a channel
// prefix keeps the events that it is about; and a message that stands beyond a change of cable
// gets its own cable back.
type layout struct {
	to     *smf.Track
	cables []cable         // of the timeline's ports
	now    cable           // up to where the track has been laid out
	runs   map[*byte]bool  // meta events that are laid out together with one before them
	about  map[*byte][]int // channel prefixes of the input, and what they are about
	input  *smf.Track
}

// lead begins a track with what its input says of itself: all that stands there before anything
// plays, and of what else is due then the name, the instrument, and the first port and device,
// which are the track's from its start: the next ones are changes.
func (l *layout) lead(input *smf.Track) {
	l.input, l.runs, l.about = input, map[*byte]bool{}, map[*byte][]int{}
	playing, port, device := false, false, false
	for i, e := range input.Events {
		kind, _, isMeta := e.Meta()
		playing = playing || e.Data[0] < 0xF0
		first := !playing
		switch kind {
		case smf.MetaTrackName, smf.MetaInstrument:
			first = true
		case smf.MetaPort:
			first, port = first || !port, true
		case smf.MetaDevice:
			first, device = first || !device, true
		}
		switch {
		case isMeta && kind == metaPrefix && (playing || e.Tick > 0):
			l.gather(i)
		case first && e.Tick == 0 && !l.runs[&e.Data[0]]:
			l.put(e)
			l.runs[&e.Data[0]] = true
		}
	}
}

// metaPrefix says which channel the meta events are about that follow it.
const metaPrefix = 0x20

// gather finds what the channel prefix at i is about.
func (l *layout) gather(i int) {
	prefix := &l.input.Events[i]
	for j := i + 1; j < len(l.input.Events); j++ {
		e := &l.input.Events[j]
		if kind, _, ok := e.Meta(); !ok || kind == metaPrefix || kind == smf.MetaPort || kind == smf.MetaDevice || e.Tick != prefix.Tick {
			return
		}
		l.about[&prefix.Data[0]] = append(l.about[&prefix.Data[0]], j)
		l.runs[&e.Data[0]] = true
	}
}

// take lays out the next event, which plays on a port.
func (l *layout) take(e smf.Event, port uint16) {
	if e.Data[0] == 0xFF {
		if l.runs[&e.Data[0]] {
			return
		}
		l.put(e)
		for _, j := range l.about[&e.Data[0]] {
			l.put(smf.Event{Tick: e.Tick, Data: l.input.Events[j].Data})
		}
		return
	}
	if e.Data[0] >= 0xF0 && l.runs[&e.Data[0]] {
		return
	}
	if want := l.cables[port]; want != l.now {
		if want.number != l.now.number {
			l.put(smf.Event{Tick: e.Tick, Data: []byte{0xFF, smf.MetaPort, want.number}})
		}
		if want.device != l.now.device {
			l.put(smf.Event{Tick: e.Tick, Data: append([]byte{0xFF, smf.MetaDevice}, want.device...)})
		}
	}
	l.to.Events = append(l.to.Events, e)
}

// put appends an event as it is.
func (l *layout) put(e smf.Event) {
	l.now.take(e.Data)
	l.to.Events = append(l.to.Events, e)
}
