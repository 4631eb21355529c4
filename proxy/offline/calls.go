package offline

import (
	"time"

	"swellbox/expr"
	"swellbox/profiles/names"
	"swellbox/proxy/perform"
)

// MarkCalls finds the notes that are no music on the instrument that plays them then, but
// keyswitches, so that the score leaves them out. What has no profile is left as it is.
func (t *Timeline) MarkCalls(cast *perform.Cast) {
	who := make([]*expr.Profile, t.Ports*16)
	hints := make([]names.Hint, t.Ports*16)
	choose := func(i int) {
		if _, profile, err := cast.Choose(hints[i]); err == nil {
			who[i] = profile
		}
	}
	for _, h := range t.Hints {
		i := (h.Port-1)*16 + h.Channel - 1
		hints[i] = h
		choose(i)
	}
	ends := t.lengths()
	t.calls = make([]bool, len(t.Events))
	for n := range t.Events {
		e := &t.Events[n]
		if !e.IsChannel() {
			continue
		}
		i := int(e.Port)*16 + e.Channel()
		switch p := who[i]; {
		case p == nil:
		case e.Msg[0]&0xF0 == 0xC0 && !p.HasProgram(int(e.Msg[1])):
			hints[i].Program, hints[i].HasProgram = int(e.Msg[1])+1, true
			choose(i)
		case e.IsNoteOn():
			t.calls[n] = p.Calls(e.Msg[1], ends[n])
		}
	}
}

// Calls reports whether an event starts a keyswitch, once [Timeline.MarkCalls] has looked.
func (t *Timeline) Calls(event int) bool { return t.calls != nil && t.calls[event] }

// lengths are those of the notes, by the event that starts each.
func (t *Timeline) lengths() []time.Duration {
	type address struct {
		port uint16
		note [2]byte // channel, key
	}
	lengths := make([]time.Duration, len(t.Events))
	sounding := map[address][]int{}
	for n := range t.Events {
		e := &t.Events[n]
		a := address{e.Port, [2]byte{e.Msg[0] & 0x0F, e.Msg[1]}}
		switch open := sounding[a]; {
		case e.IsNoteOn():
			sounding[a] = append(open, n)
			lengths[n] = expr.Unknown
		case e.IsNoteOff() && len(open) > 0:
			lengths[open[0]] = e.At - t.Events[open[0]].At
			sounding[a] = open[1:]
		}
	}
	return lengths
}
