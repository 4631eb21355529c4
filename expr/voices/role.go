package voices

// assess tells the roles and hands of the latest moment's notes.
func (s *Separator) assess() {
	s.tune.retract()
	for i := range s.moment {
		n := &s.moment[i]
		if s.now[n.voice].note != n.id {
			continue // joined a voice that has a note here
		}
		fresh := s.now[n.voice].notes == 1
		s.tune.note(n.voice, s.start, n.key, n.velocity, fresh)
		s.tune.parts[n.voice].sounding = 1
	}
	s.hands.divide(s)
	voices, lowest := 0, nobody
	for v := range s.now {
		if !s.now[v].sounds() && !s.taken(v) {
			continue
		}
		voices++
		if lowest == nobody || s.now[v].key < s.now[lowest].key {
			lowest = v
		}
	}
	melody, _ := s.tune.Tune(s.start)
	for i := range s.moment {
		n := &s.moment[i]
		role := Inner
		switch {
		case voices == 1:
			role = Alone
		case s.now[n.voice].note != n.id:
		case n.voice == melody:
			role = Melody
		case n.voice == lowest:
			role = Bass
		}
		s.know(n, voices, role)
	}
}
