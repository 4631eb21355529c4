package engine

import (
	"swellbox/expr"
	"swellbox/expr/hearing"
)

// passed is in place of the number of a note in its line for one that passes as it comes.
const passed = -1

// seat is who plays a part.
type seat struct {
	seated  *expr.Profile // as the caller seated it; nil: the part is raw
	players int
	fault   error // why it plays raw
}

// variantFor is the way of playing that an event calls, or nil. A keyswitch is a
// note-on; its note-off calls nothing and is passed like any other.
func (s *seat) variantFor(ev *expr.Event) *expr.Profile {
	if s.seated == nil || len(s.seated.Variants) == 0 || s.fault != nil {
		return nil
	}
	for i := range s.seated.Variants {
		v := &s.seated.Variants[i]
		switch {
		case ev.IsNoteOn() && int(ev.Msg[1]) == v.Keyswitch,
			ev.Msg[0]&0xF0 == 0xC0 && int(ev.Msg[1]) == v.Program:
			return v.Profile
		}
	}
	return nil
}

// passes reports whether a note-on is let through as it comes: an undeclared keyswitch, which
// was known for one when it came in, or shows to be one by its length. t is its tone, or nil.
func (s *seat) passes(tone int64, t *hearing.Tone) bool {
	return tone == passed || t != nil && t.Off != expr.Unknown && s.seated != nil && s.seated.Outside(t.Key, t.Off-t.On)
}

// calls reports the same of a key that comes in.
func (s *seat) calls(key uint8) bool { return s.seated != nil && s.seated.Outside(key, expr.Unknown) }
