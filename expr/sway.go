package expr

import "time"

// maxSway is how far before or after its due time a player may play, at most. Ours; it
// leaves room for all that is published of ensembles, and for rubato.
const maxSway = 250 * time.Millisecond

// shortestNote is the least that a note sounds whose ends were moved. Ours.
const shortestNote = 10 * time.Millisecond

// sway is how far before or after its due time a player may play: half of the
// lookahead, as the other half is to know what follows.
func (e *Engine) sway() time.Duration {
	if !e.swaying() {
		return 0
	}
	return min(e.cfg.Lookahead/2, maxSway)
}

// decide finds when the shaped side plays an event, and defers it until then. What
// is not a part's own stays with the raw side, and so does a part that is not shaped.
//
// In one channel no note passes a message of another kind, as that may be what the
// note needs: a program, a pedal.
func (e *Engine) decide(w *waiting) {
	bound := e.sway()
	if bound == 0 || w.seat != nil || !w.ev.IsChannel() || int(w.ev.Port) >= e.cfg.Ports {
		return
	}
	p := &e.parts[int(w.ev.Port)*16+w.ev.Channel()]
	if !p.shaped && p.next == nil {
		return
	}
	w.split = true
	at := w.due
	t := p.line.tone(w.tone)
	switch {
	case t == nil:
		at = max(at+e.warp(&w.ev), p.playedNote, p.playedOther)
		p.playedOther = at
	case w.ev.IsNoteOn():
		t.shift = min(max(e.shiftOf(p, t, &w.ev), -bound), bound)
		t.shift = max(w.due+t.shift, p.playedOther, e.now) - w.due
		at += t.shift
		t.warp, t.played = e.warp(&w.ev), at
		p.playedNote = max(p.playedNote, at)
	default:
		at = max(at+t.shift+e.warp(&w.ev)-t.warp, t.played+shortestNote, e.now)
	}
	e.put(&deferred{at: at, part: p.index, tone: w.tone, what: plays, ev: w.ev})
}

func (e *Engine) swaying() bool { return false }

func (e *Engine) shiftOf(p *part, t *tone, ev *Event) time.Duration { return 0 }

func (e *Engine) warp(ev *Event) time.Duration { return 0 }
