package following

// window is how many events a new hypothesis is to explain.
const window = 6

// event is a note of the live stream.
type event struct {
	at      float64 // seconds
	base    float64 // weight, before the event, of music that is not the score
	channel int32
	key     uint8
	chord   bool
}

// stream is the live notes heard last.
type stream struct {
	recent [window]event
	heard  int // events in recent, the newest first
}

// push puts an event before the recent ones.
func (s *stream) push(e event) *event {
	copy(s.recent[1:], s.recent[:])
	s.recent[0] = e
	s.heard = min(s.heard+1, window)
	return &s.recent[0]
}

// rebase takes from the weights before the events what was taken from all hypotheses.
func (s *stream) rebase(by float64) {
	for i := range s.heard {
		s.recent[i].base -= by
	}
}
