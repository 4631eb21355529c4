// Package portstub is a machine's MIDI ports in memory, for tests.
//
// A test plugs ports in, opens them through [System] as the daemon does, feeds
// bytes into the inputs and reads what the outputs sent. It can pull a port out
// while it is open, let sends fail or take time, and connect listeners. Nothing here does
// input or output, and all waiting is on channels and timers, so that a test may run in a
// testing/synctest bubble with exact, false time.
//
// Like ALSA, an output whose port has gone takes messages and nobody hears
// them; only Connected tells. Make a send fail with [System.FailSends] for a system that does tell.
//
// [Conform] checks any [ports.System] against its contract.
package portstub

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync"
	"time"

	"swellbox/proxy/ports"
)

// Message is one message that was sent, and when.
type Message struct {
	At   time.Time
	Data []byte
}

// System is a [ports.System] in memory. The zero value has no ports and is ready.
type System struct {
	Waits bool // no output knows whether sending has to wait; to be set before any is used

	mu     sync.Mutex // held for moments only, never while anything waits
	ports  []*port
	closed bool
}

// port is one that the machine has, or one of our own that is virtual. It stays in the list when it
// is gone, with what it heard.
type port struct {
	info    ports.Info
	virtual bool
	present bool
	loop    bool // what it hears arrives at its own inputs
	peers   int  // listeners that a test has connected to a virtual port
	overrun uint64

	ins  []*in
	outs []*out

	heard []Message
	fail  error
	delay time.Duration
	gate  chan struct{} // sends wait until it is closed; nil: they do not
}

// Plug gives the machine a port that can be read (in), written (out) or both. A
// port that was pulled out comes back; what had it open stays cut off.
func (s *System) Plug(name string, in, out bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if p := s.find(name, false); p != nil {
		p.info.In, p.info.Out, p.present = in, out, true
		return
	}
	s.ports = append(s.ports, &port{info: ports.Info{Name: name, In: in, Out: out}, present: true})
}

// PlugLoop gives the machine a port that hands what is written to it to whoever
// reads it, before Send returns.
func (s *System) PlugLoop(name string) {
	s.Plug(name, true, true)
	s.set(name, func(p *port) { p.loop = true })
}

// Unplug pulls a port out. What has it open hears nothing more, and is not heard.
func (s *System) Unplug(name string) {
	s.set(name, func(p *port) { p.present, p.ins, p.outs = false, nil, nil })
}

// Listeners sets how many other ports are connected to a virtual port that is open.
func (s *System) Listeners(name string, n int) {
	s.set(name, func(p *port) { p.peers = n })
}

// Overrun counts so many messages more that were thrown away before an input of the port
// could take them.
func (s *System) Overrun(name string, n uint64) {
	s.set(name, func(p *port) { p.overrun += n })
}

// FailSends lets each send to the port fail with err, or succeed again if it is nil.
// An output that failed once is lost, as its contract says.
func (s *System) FailSends(name string, err error) {
	s.set(name, func(p *port) { p.fail = err })
}

// SlowSends lets each send to the port take so long.
func (s *System) SlowSends(name string, d time.Duration) {
	s.set(name, func(p *port) { p.delay = d })
}

// HoldSends lets sends to the port wait until release is called.
func (s *System) HoldSends(name string) (release func()) {
	gate := make(chan struct{})
	s.set(name, func(p *port) { p.gate = gate })
	return sync.OnceFunc(func() {
		s.set(name, func(p *port) {
			if p.gate == gate {
				p.gate = nil
			}
		})
		close(gate)
	})
}

// Feed lets bytes arrive at the inputs that have the port open, cut as a driver
// may cut them, and returns when they were received. It reports how many
// inputs got them.
func (s *System) Feed(name string, b ...byte) int {
	s.mu.Lock()
	var ins []*in
	for _, p := range s.ports {
		if p.info.Name == name {
			ins = append(ins, p.ins...)
		}
	}
	s.mu.Unlock()
	n := 0
	for _, i := range ins {
		if i.feed(b) {
			n++
		}
	}
	return n
}

// Sent is all that the port has heard since it was first plugged in, or opened as a
// virtual port, or since [System.Forget].
func (s *System) Sent(name string) []Message {
	s.mu.Lock()
	defer s.mu.Unlock()
	var all []Message
	for _, p := range s.ports {
		if p.info.Name == name {
			all = append(all, p.heard...)
		}
	}
	return all
}

// Forget empties what [System.Sent] returns for the port.
func (s *System) Forget(name string) {
	s.set(name, func(p *port) { p.heard = nil })
}

// set changes each port of that name, and panics if there is none: the test is wrong.
func (s *System) set(name string, change func(p *port)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	found := false
	for _, p := range s.ports {
		if p.info.Name == name {
			change(p)
			found = true
		}
	}
	if !found {
		panic(fmt.Sprintf("portstub: no port %q", name))
	}
}

// find is the port of exactly that name, gone or not. The lock is held.
func (s *System) find(name string, virtual bool) *port {
	i := slices.IndexFunc(s.ports, func(p *port) bool { return p.info.Name == name && p.virtual == virtual })
	if i < 0 {
		return nil
	}
	return s.ports[i]
}

// Ports is [ports.System]'s.
func (s *System) Ports() ([]ports.Info, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil, errClosed("the system")
	}
	return s.present(), nil
}

func (s *System) present() []ports.Info {
	var all []ports.Info
	for _, p := range s.ports {
		if p.present && !p.virtual {
			all = append(all, p.info)
		}
	}
	return all
}

// open finds the port, or makes a virtual one. The lock is held.
func (s *System) open(name string, virtual, in bool) (*port, error) {
	if s.closed {
		return nil, errClosed("the system")
	}
	if !virtual {
		present := s.present()
		i, err := ports.Find(present, name, in)
		if err != nil {
			return nil, err
		}
		return s.find(present[i].Name, false), nil
	}
	if strings.TrimSpace(name) == "" {
		return nil, errors.New("a virtual MIDI port needs a name")
	}
	p := s.find(name, true)
	if p == nil {
		p = &port{info: ports.Info{Name: name}, virtual: true}
		s.ports = append(s.ports, p)
	}
	p.present = true
	return p, nil
}

// OpenIn is [ports.System]'s. The input is also a [ports.Watcher], a
// [ports.Overrunner] and a [ports.Lossy].
func (s *System) OpenIn(name string, virtual bool, receive func(b []byte)) (ports.In, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	p, err := s.open(name, virtual, true)
	if err != nil {
		return nil, err
	}
	i := newIn(s, p, receive)
	p.ins = append(p.ins, i)
	return i, nil
}

// OpenOut is [ports.System]'s. The output is also a [ports.Watcher], and [ports.Prompt].
func (s *System) OpenOut(name string, virtual bool) (ports.Out, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	p, err := s.open(name, virtual, false)
	if err != nil {
		return nil, err
	}
	o := newOut(s, p)
	p.outs = append(p.outs, o)
	return o, nil
}

// Close is [ports.System]'s. It reports ports that were left open.
func (s *System) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.closed = true
	for _, p := range s.ports {
		if n := len(p.ins) + len(p.outs); n > 0 {
			return fmt.Errorf("the MIDI port %q is still open, %d times", p.info.Name, n)
		}
	}
	return nil
}

func errClosed(what string) error { return fmt.Errorf("%s: %w", what, os.ErrClosed) }

// pause waits for d, or until stop is closed.
func pause(stop <-chan struct{}, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
	case <-stop:
	}
}
