package rtmidi

import (
	"maps"
	"sync"
	"sync/atomic"
	"time"
)

const (
	// eventSize is sizeof(snd_seq_event_t), bytes (alsa/seq_event.h; measured: 28): the size of a cell.
	eventSize = 28
	// maxUnseen is how many cells are sent to a receiver before the next look, even when it had
	// more room: it may have stopped reading. Looking takes some 0.1 ms. Our choice.
	maxUnseen = 64
	// reserve is what is left free for other senders, cells, of a pool that has
	// 200 by default (measured). Our choice.
	reserve = 16
	// patience is how long a receiver that does not read may hold up the music. After
	// that it is sent to without waiting until it is seen to read again, and loses what
	// does not fit: note-offs among it, which is worse than a pause. ALSA's library empties the
	// whole pool at one read, so that a program which passes 200 messages on to a cable
	// rightly does not read for 192 ms. Our choice.
	patience = 2 * time.Second
)

// cells is the room that one event of so many bytes takes in a pool: one cell, and
// for system exclusive one more for each eventSize bytes or part of it
// (snd_seq_event_dup in the kernel, from memory).
func cells(bytes int) int {
	if bytes <= 3 {
		return 1
	}
	return 1 + (bytes+eventSize-1)/eventSize
}

// meter knows how much room the receivers of all our outputs have: what was free
// at the last look at the sequencer's state, less what we have sent since. Several
// outputs may lead to one program, which has one pool.
type meter struct {
	read func() seqState // nil when there is none

	looking atomic.Bool // somebody does, with no lock held

	mu     sync.Mutex
	looks  int // so far
	state  seqState
	routes map[int]route     // by output client; found in state
	sent   map[int]int       // cells sent by each output, and to each receiver, since state was read
	moved  map[int]time.Time // when each receiver was last seen to read, or to have nothing to read
}

// answer says whether an event can go.
type answer struct {
	known  bool // the receivers can be seen
	fits   bool // there is room for it, or no use in waiting
	device bool // a device, whose room is not shown, is among them
}

// take books an event of so many cells from an output to its receivers, if it fits.
func (m *meter) take(output, cost int) answer {
	m.mu.Lock()
	defer m.mu.Unlock()
	r, known := m.route(output)
	if !known || !m.fits(output, r, cost) {
		m.look()
		if r, known = m.route(output); !known {
			return answer{}
		}
	}
	a := answer{known: true, fits: m.fits(output, r, cost), device: r.device}
	if a.fits {
		m.book(output, r, cost)
	}
	return a
}

// takeUnseen books an event as take does, if it is known to fit without another look. A look is
// taken beside it before it is needed, so that who must not wait seldom has to ask another to.
func (m *meter) takeUnseen(output, cost int) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	r, known := m.route(output)
	if !known || !m.fits(output, r, cost) {
		return false
	}
	m.book(output, r, cost)
	if m.sent[output] > maxUnseen/2 && m.looking.CompareAndSwap(false, true) {
		go m.lookBeside()
	}
	return true
}

// book notes that an event was sent.
func (m *meter) book(output int, r route, cost int) {
	for _, reader := range r.readers {
		m.sent[reader] += cost
	}
	m.sent[output] += cost
}

// lookBeside is look while others send. What they send meanwhile may not be in what is read, and stays
// booked.
func (m *meter) lookBeside() {
	defer m.looking.Store(false)
	m.mu.Lock()
	looks, before := m.looks, maps.Clone(m.sent)
	m.mu.Unlock()
	state := m.read()
	m.mu.Lock()
	defer m.mu.Unlock()
	if looks != m.looks {
		return // somebody has looked later
	}
	sent := m.sent
	m.saw(state, before)
	for number, n := range sent {
		m.sent[number] = n - before[number]
	}
}

// look reads the state.
func (m *meter) look() { m.saw(m.read(), m.sent) }

// saw takes what was read when so much was sent since the look before, and notes which receivers have
// read meanwhile: those that hold less than they held then and we have sent.
func (m *meter) saw(state seqState, sent map[int]int) {
	now := time.Now()
	moved := map[int]time.Time{}
	for number, c := range state {
		moved[number] = now
		if before := m.state[number]; before != nil && c.in.used > 0 &&
			c.in.used >= min(before.in.used+sent[number], before.in.size) {
			moved[number] = m.moved[number]
		}
	}
	m.looks++
	m.state, m.moved, m.routes, m.sent = state, moved, map[int]route{}, map[int]int{}
}

// route is where an output leads, if the last look showed that output.
func (m *meter) route(output int) (route, bool) {
	if m.state[output] == nil {
		return route{}, false
	}
	r, ok := m.routes[output]
	if !ok {
		r = m.state.route(output)
		m.routes[output] = r
	}
	return r, true
}

// fits reports whether all readers have room, but for those that have not read for
// as long as our patience lasts, and the last look is not so long ago that a
// reader might be missing from it.
func (m *meter) fits(output int, r route, cost int) bool {
	if m.sent[output]+cost > maxUnseen {
		return false
	}
	for _, reader := range r.readers {
		pool := m.state[reader].in
		free := pool.size - pool.used
		if pool.size >= 2*reserve {
			free -= reserve
		}
		if pool.size > 0 && m.sent[reader]+cost > min(free, maxUnseen) && time.Since(m.moved[reader]) < patience {
			return false
		}
	}
	return true
}
