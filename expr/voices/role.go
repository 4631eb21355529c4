package voices

// lingering is how long a voice that has fallen silent still counts as one among which
// others have their roles, in paces: between detached notes nobody becomes a soloist.
const lingering = 4.0

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
	voices, present, lowest := 0, 0, nobody
	for v := range s.now {
		w := &s.now[v]
		sounds := w.sounds() || s.taken(v)
		if !sounds && (!w.alive() || s.pause(w) > lingering) {
			continue
		}
		present++
		voices += int(truth(sounds))
		if lowest == nobody || w.key < s.now[lowest].key {
			lowest = v
		}
	}
	melody, _ := s.tune.Tune(s.start)
	for i := range s.moment {
		n := &s.moment[i]
		role := Inner
		switch {
		case present == 1:
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
