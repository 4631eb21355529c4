package engine

import (
	"swellbox/expr"
	"swellbox/expr/hearing"
)

// hear follows an event at the time at which it comes in, before it waits to sound, and
// returns the number of its note in its line, 0 if it is none and passed if it is one that
// passes as it comes.
func (e *Engine) hear(ev *expr.Event) (tone int64) {
	if !ev.IsChannel() || int(ev.Port) >= e.cfg.Ports {
		e.listener.Message(int(ev.Port), ev.Bytes(), e.now)
		return 0
	}
	p := &e.parts[int(ev.Port)*16+ev.Channel()]
	part := int(p.index)
	defer e.deafen(p)
	switch {
	case ev.IsNoteOn():
		e.heardNote, e.noteAt = true, e.now
		if p.variantFor(ev) != nil {
			return 0
		}
		if e.calls(p, ev) {
			return passed
		}
		return e.listener.NoteOn(part, ev.Channel() == expr.DrumChannel, ev.Msg[1], ev.Msg[2], e.now)
	case ev.IsNoteOff():
		return e.listener.NoteOff(part, ev.Msg[1], e.now)
	case ev.Msg[0]&0xF0 == 0xB0 && ev.Len == 3:
		e.listener.Control(part, int(ev.Msg[1]), int(ev.Msg[2]), e.now)
	}
	return 0
}

// perceive finds what is known around the note that is about to sound.
func (e *Engine) perceive(p *part, ev *expr.Event, tone int64) {
	e.listener.Describe(&e.note, int(p.index), tone, int(ev.Note)-1, e.now)
	if e.note.Grade == expr.Causal && e.cfg.Lookahead > 0 && p.line.Tone(tone) != nil {
		e.note.Grade = expr.Ahead
	}
}

// Reflect thinks about what came in last: its beat and its harmony, which matter to what
// comes next. A caller to whom the time matters in which a message passes calls it
// when the message has left; else the next Push does so, and the result is the same.
func (e *Engine) Reflect() { e.listener.Reflect() }

// Beat tells where the beat of what comes in now is.
func (e *Engine) Beat() hearing.Beat { return e.listener.Beat(e.now) }
