package expr

import (
	"math"
	"time"
)

// hear follows an event at the time at which it comes in, before it waits to sound, and
// returns the number of its note in its line, 0 if it is none and passed if it is one that
// passes as it comes.
func (e *Engine) hear(ev *Event) (tone int64) {
	if !ev.IsChannel() || int(ev.Port) >= e.cfg.Ports {
		e.pulse.message(e.now, int(ev.Port), ev.Bytes())
		return 0
	}
	p := &e.parts[int(ev.Port)*16+ev.Channel()]
	switch {
	case ev.IsNoteOn():
		e.heardNote, e.noteAt = true, e.now
		if p.variantFor(ev) != nil {
			return 0
		}
		if e.calls(p, ev) {
			return passed
		}
		tone = e.ear.hear(&p.line, int(p.index), ev.Channel() == drumChannel, ev.Msg[1], ev.Msg[2], e.now)
		quarters, level, sure := e.pulse.of(e.now)
		e.pulse.hear(e.now, ev.Msg[1], ev.Msg[2])
		p.line.beat(tone, quarters, level, sure)
		return tone
	case ev.IsNoteOff():
		return e.ear.hearEnd(&p.line, int(p.index), ev.Msg[1], e.now)
	case ev.Msg[0]&0xF0 == 0xB0 && ev.Len == 3:
		p.line.control(int(ev.Msg[1]), int(ev.Msg[2]), e.now)
	}
	return 0
}

// hear hears a note begin on a part's line, and returns its number there.
func (a *ear) hear(l *line, part int, drum bool, key, velocity uint8, at time.Duration) int64 {
	number := l.noteOn(key, velocity, at)
	t := l.tone(number)
	if drum {
		t.salience, t.tune = Unknown, Unknown
		return number
	}
	t.moment = a.noteOn(key, at)
	l.place(t)
	if t.role == Alone || t.role == Melody {
		t.sung = true
		a.tune.Note(part, at, int(key), int(velocity))
	}
	_, tune := a.tune.Tune(at)
	t.tune = float32(tune)
	t.salience = t.tune - l.stepsBack(float32(tune-a.tune.Salience(part, at)), at)
	return number
}

// stepBackTime is how soon a part follows a change of who has the tune: it steps back, or
// forward, over a few notes and not from one to the next. Ours.
const stepBackTime = 2 * time.Second

// stepsBack is by how much less salient than the tune the part has lately been.
func (l *line) stepsBack(gap float32, at time.Duration) float32 {
	if l.gapAt == Unknown {
		l.gap = gap
	} else {
		follows := 1 - math.Exp(-float64(at-l.gapAt)/float64(stepBackTime))
		l.gap += float32(follows) * (gap - l.gap)
	}
	l.gapAt = at
	return l.gap
}

// hearEnd hears a note end on a part's line, and returns its number there.
func (a *ear) hearEnd(l *line, part int, key uint8, at time.Duration) int64 {
	number := l.noteOff(key, at)
	if t := l.tone(number); t != nil && t.moment != 0 {
		a.noteOff(key)
		if t.sung {
			a.tune.Off(part, at)
		}
	}
	return number
}

// perceive finds what is known around the note that is about to sound.
func (e *Engine) perceive(p *part, ev *Event, tone int64) {
	e.note.Context = nothingKnown
	t := p.line.tone(tone)
	if t == nil {
		return
	}
	e.note.Slurred = t.slurred
	if i := int(ev.Note) - 1; e.reading != nil && i >= 0 && i < len(e.reading.notes) && e.reading.notes[i].tone != 0 {
		e.reading.describe(&e.note, i, e.pace)
	} else {
		p.line.describe(&e.note, t)
		e.note.Phrase, e.note.SubPhrase = p.line.span(t, startsPhrase), p.line.span(t, startsSub)
		e.ear.describe(&e.note.Context, t, e.now)
		if e.cfg.Lookahead > 0 {
			e.note.Grade = Ahead
		}
	}
	e.note.Shift, e.note.Warp = t.shift, t.warp
}

// describe tells of a note's neighbours, and of where it stands in the line but for its phrase.
func (l *line) describe(n *Note, t *tone) {
	c, reading := &n.Context, n.Profile.Dynamics.Reading
	if t.off != Unknown {
		c.Length = t.off - t.on
	}
	if before := l.tone(t.prev); before != nil {
		c.FromLast = t.on - before.on
		c.LastKey = int(before.key)
		c.LastDB = reading.At(float64(before.velocity))
		if before.off != Unknown {
			c.RestBefore = max(t.on-before.off, 0)
		}
	}
	if after := l.tone(t.next); after != nil {
		c.ToNext = after.on - t.on
		c.NextKey = int(after.key)
		c.NextDB = reading.At(float64(after.velocity))
		if t.off != Unknown {
			c.RestAfter = max(after.on-t.off, 0)
		}
	}
	c.SinceRest = t.on - t.breath
	c.MeanKey = float64(t.mean)
	c.MeanAccent = float64(t.accent)
	c.Accent = l.accentOf(t)
	l.place(t)
	c.Role, c.Voices = t.role, max(int(t.voices), 1)
	c.Group, c.GroupRising = l.group(t)
	c.MeanBeat = float64(t.metre)
	c.Beat, c.BeatLevel, c.BeatSure = t.beat, int(t.beatLevel), float64(t.beatSure)
}

// describe tells of the music around a note, as far as is known at a time.
func (a *ear) describe(c *Context, t *tone, now time.Duration) {
	c.Salience, c.Tune = float64(t.salience), float64(t.tune)
	if h := a.harmony(t.moment, now); h != nil {
		c.Root, c.Tonic, c.Minor, c.Charge = int(h.root), int(h.tonic), h.minor, float64(h.charge)
	}
}
