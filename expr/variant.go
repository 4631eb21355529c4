package expr

// variantFor is the way of playing that an event calls, or nil. A keyswitch is a
// note-on; its note-off calls nothing and is passed like any other.
func (p *part) variantFor(ev *Event) *Profile {
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

// HasProgram reports whether a program (0..127) calls a way of playing of the profile.
func (p *Profile) HasProgram(program int) bool {
	for i := range p.Variants {
		if p.Variants[i].Program == program {
			return true
		}
	}
	return false
}
