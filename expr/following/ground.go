package following

import "math"

// ground is what a place is weighed by: the score, which of its parts play on which channel and
// which sound at all, and how exactly time is kept.
type ground struct {
	*index
	channels []channel // by port*16+channel, and strangers
	present  []presence
	listener
}

func newGround(x *index) ground {
	g := ground{index: x, listener: newListener(x), channels: make([]channel, strangers+1), present: make([]presence, len(x.share))}
	for i := range g.present {
		g.present[i].set(unheard)
	}
	g.channels[strangers].met = true
	return g
}

// meet is an event on its channel, whose parts are not muted, so long after the one before it;
// negative if it is the first.
func (g *ground) meet(at, gap float64, port uint16, number, key uint8) event {
	e := event{at: at, key: key, channel: strangers}
	if port < maxPorts {
		e.channel = int32(port)*16 + int32(number)
		c := &g.channels[e.channel]
		if !c.met {
			c.meet(g.index, port, number)
		}
		g.wake(c)
	}
	if gap >= 0 {
		g.listen(gap)
		e.chord = gap < g.hand.chordGap
	}
	return e
}

// wake notes that a channel sounds, so that its parts are not muted.
func (g *ground) wake(c *channel) {
	for i := range c.seats {
		s := &c.seats[i]
		if c.sits(i) && s.notes > c.total/2 && g.present[s.part].there < awake {
			g.present[s.part].set(awake)
		}
	}
}

// evidence is what the key and the channel of an event say for a note, in nats,
// against other music on the same channels: rare keys and known channels say most.
func (g *ground) evidence(e *event, w *written) float64 {
	x := g.index
	plays := g.channels[e.channel].plays(x, w.part)
	usual := plays*x.often[int(w.part)*keys+int(w.key)] + (1-plays)*x.usual[w.key]
	return g.present[w.part].hit + math.Log(plays/(x.share[w.part]*usual))
}

// learnChannel learns that a channel plays the part of a note, or, where several parts
// play in unison, one of theirs, as likely as it was believed to be.
func (g *ground) learnChannel(e *event, at int) {
	if e.channel == strangers {
		return
	}
	notes := g.notes
	n := &notes[at]
	first, end := at, at+1
	for first > max(at-pending, 0) && n.on-notes[first-1].on < simultaneous {
		first--
	}
	for end < min(at+pending, len(notes)) && notes[end].on-n.on < simultaneous {
		end++
	}
	c := &g.channels[e.channel]
	believed := *c
	total := 0.0
	for i := first; i < end; i++ {
		if notes[i].key == n.key {
			total += believed.plays(g.index, notes[i].part)
		}
	}
	for i := first; i < end; i++ {
		if notes[i].key == n.key {
			c.learn(notes[i].part, float32(believed.plays(g.index, notes[i].part)/total))
		}
	}
}
