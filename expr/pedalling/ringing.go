package pedalling

// ringing is what sounds of a part.
type ringing struct {
	held  keys       // by fingers
	count [128]uint8 // of notes on a held key
	ring  keys       // all that sounds: held by fingers or only by the pedal
	tune  keys       // those of ring that are melody
	loud  [128]uint8 // velocity of what rings
}

// start adds a key to what is held and rings.
func (s *ringing) start(key, velocity int, melody bool) {
	if s.count[key] < 255 {
		s.count[key]++
	}
	s.held.add(key)
	s.ring.add(key)
	s.loud[key] = uint8(velocity)
	if melody {
		s.tune.add(key)
	} else {
		s.tune.remove(key)
	}
}

// stop takes a note off a key; with its last the finger goes, and what no pedal holds no longer rings.
func (s *ringing) stop(key int, pedalled bool) {
	if s.count[key]--; s.count[key] > 0 {
		return
	}
	s.held.remove(key)
	if !pedalled {
		s.ring.remove(key)
	}
}

// damp has what no finger holds be damped as the pedal goes up. A half pedal damps the upper
// strings only: common practice, no published source of where they begin.
func (s *ringing) damp(from, to float64) {
	switch {
	case to == 0:
		s.ring = s.held
	case to < from:
		s.ring = s.ring.below(middleC).and(s.held)
	}
}

// accompanied reports whether anything but melody sounds.
func (s *ringing) accompanied() bool {
	rest := s.ring.without(s.tune)
	return !rest.empty()
}

// under is how much of a ringing key is heard beside one that starts louder: its amplitude
// by comparison, as the square of the velocities. Source: Dannenberg 2006.
func (s *ringing) under(other, key int) float64 {
	if s.loud[other] >= s.loud[key] {
		return 1
	}
	r := float64(s.loud[other]) / float64(s.loud[key])
	return r * r
}
