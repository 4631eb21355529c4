package rtmidi

import "slices"

// clients is the numbers of all ALSA clients of our name, nil if not known.
func (s *System) clients() map[int]bool {
	state := s.state()
	if state == nil {
		return nil
	}
	ours := map[int]bool{}
	for number, c := range state {
		if c.name == clientName {
			ours[number] = true
		}
	}
	return ours
}

// newClient is the number of the one client that was not there before, and notes it
// as our own. It is 0 when there is not exactly one: another swellbox may have started
// in that moment.
func (s *System) newClient(before map[int]bool) int {
	if before == nil {
		return 0
	}
	found := 0
	for number := range s.clients() {
		switch {
		case before[number]:
		case found != 0:
			return 0
		default:
			found = number
		}
	}
	if found != 0 {
		s.own[found] = true
	}
	return found
}

// forget takes a closed client off our own.
func (s *System) forget(client int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.own, client)
}

// state is the sequencer's state now, nil if it is not to be had.
func (s *System) state() seqState {
	if s.host.state == nil {
		return nil
	}
	text, err := s.host.state()
	if err != nil {
		return nil
	}
	return parseState(text)
}

// connected counts the peers of an open port: from ALSA's state where there is
// one, else by whether a port of that name is still listed.
func (s *System) connected(t target, client int, d direction) (n int, known bool) {
	if client != 0 {
		if c := s.state()[client]; c != nil {
			return c.peers(d), true
		}
	}
	if t.virtual {
		return 0, false
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.ready() != nil {
		return 0, false
	}
	list, err := s.list(d)
	if err != nil {
		return 0, false
	}
	if slices.ContainsFunc(list, func(p listed) bool { return p.name == t.name }) {
		return 1, true
	}
	return 0, true
}
