package engine

import (
	"swellbox/expr"
)

// passed is in place of the number of a note in its line for one that passes as it comes.
const passed = -1

// passes reports whether a note-on is let through as it comes: an undeclared keyswitch, which
// was known for one when it came in, or shows to be one by its length.
func (e *Engine) passes(p *part, tone int64) bool {
	t := p.line.Tone(tone)
	return tone == passed || t != nil && t.Off != expr.Unknown && p.seated != nil && p.seated.Outside(t.Key, t.Off-t.On)
}

// calls reports the same of a note-on that comes in, of whose length only a score can tell.
func (e *Engine) calls(p *part, ev *expr.Event) bool {
	return e.listener.Calls(int(ev.Note)-1) || p.seated != nil && p.seated.Outside(ev.Msg[1], expr.Unknown)
}
