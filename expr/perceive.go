package expr

// hear follows an event at the time at which it comes in, before it waits to sound, and
// returns the number of its note in its line, 0 if it is none.
func (e *Engine) hear(ev *Event) (tone int64) {
	if !ev.IsChannel() || int(ev.Port) >= e.cfg.Ports {
		return 0
	}
	p := &e.parts[int(ev.Port)*16+ev.Channel()]
	switch {
	case ev.IsNoteOn():
		if p.variantFor(ev) != nil {
			return 0
		}
		return p.line.noteOn(ev.Msg[1], ev.Msg[2], e.now)
	case ev.IsNoteOff():
		return p.line.noteOff(ev.Msg[1], e.now)
	case ev.Msg[0]&0xF0 == 0xB0 && ev.Len == 3:
		p.line.control(int(ev.Msg[1]), int(ev.Msg[2]), e.now)
	}
	return 0
}

// perceive finds what is known around the note that is about to sound.
func (e *Engine) perceive(p *part, ev *Event, tone int64) {
	e.note.Context = nothingKnown
	t := p.line.tone(tone)
	if t == nil {
		return
	}
	e.note.Slurred = t.slurred
	if i := int(ev.Note) - 1; e.reading != nil && i >= 0 && i < len(e.reading.notes) {
		e.reading.describe(&e.note, i, e.pace)
		return
	}
	p.line.describe(&e.note, t)
	if e.cfg.Lookahead > 0 {
		e.note.Grade = Ahead
	}
}

// describe tells of a note's neighbours, and of where it stands in the line.
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
	c.MeanKey = float64(t.mean)
	c.MeanAccent = float64(t.accent)
	c.Phrase = l.span(t, startsPhrase)
	c.SubPhrase = l.span(t, startsSub)
	c.Accent = l.accentOf(t)
}
