package engine

import (
	"swellbox/expr"
)

// variantFor is the way of playing that an event calls, or nil. A keyswitch is a
// note-on; its note-off calls nothing and is passed like any other.
func (p *part) variantFor(ev *expr.Event) *expr.Profile {
	if p.seated == nil || len(p.seated.Variants) == 0 || p.fault != nil {
		return nil
	}
	for i := range p.seated.Variants {
		v := &p.seated.Variants[i]
		switch {
		case ev.IsNoteOn() && int(ev.Msg[1]) == v.Keyswitch,
			ev.Msg[0]&0xF0 == 0xC0 && int(ev.Msg[1]) == v.Program:
			return v.Profile
		}
	}
	return nil
}
