package portstub

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"swellbox/proxy/formats/wire"
)

// in is an open input.
type in struct {
	sys    *System
	port   *port
	parser *wire.Parser
	turn   chan struct{} // holds one token: who has it may feed the parser
	closed bool          // with the turn
	once   sync.Once
}

func newIn(s *System, p *port, receive func(b []byte)) *in {
	i := &in{sys: s, port: p, parser: wire.NewParser(receive), turn: make(chan struct{}, 1)}
	i.turn <- struct{}{}
	return i
}

// feed reports whether the input was open to take the bytes.
func (i *in) feed(b []byte) bool {
	<-i.turn
	defer func() { i.turn <- struct{}{} }()
	if i.closed {
		return false
	}
	i.parser.Feed(b)
	return true
}

func (i *in) Name() string { return i.port.info.Name }

func (i *in) Lost() wire.Lost { return i.parser.Lost() }

func (i *in) Overrun() uint64 {
	i.sys.mu.Lock()
	defer i.sys.mu.Unlock()
	return i.port.overrun
}

func (i *in) Connected() (n int, known bool) {
	i.sys.mu.Lock()
	defer i.sys.mu.Unlock()
	return i.port.connected(slices.Contains(i.port.ins, i)), true
}

func (i *in) Close() error {
	i.once.Do(func() {
		<-i.turn
		i.closed = true
		i.turn <- struct{}{}
		i.sys.mu.Lock()
		defer i.sys.mu.Unlock()
		i.port.ins = slices.DeleteFunc(i.port.ins, func(other *in) bool { return other == i })
	})
	return nil
}

// connected is how many ports are at the other end of one that is attached or was cut off.
func (p *port) connected(attached bool) int {
	switch {
	case !attached:
		return 0
	case p.virtual:
		return p.peers
	}
	return 1
}

// out is an open output.
type out struct {
	sys     *System
	port    *port
	turn    chan struct{} // holds one token: who has it may send
	closing chan struct{}
	lost    error // with the turn
	once    sync.Once
}

func newOut(s *System, p *port) *out {
	o := &out{sys: s, port: p, turn: make(chan struct{}, 1), closing: make(chan struct{})}
	o.turn <- struct{}{}
	return o
}

func (o *out) Name() string { return o.port.info.Name }

func (o *out) Send(b []byte) error {
	if !wire.Whole(b) {
		return fmt.Errorf("MIDI output %q: % X is not one whole message", o.Name(), b[:min(len(b), 16)])
	}
	select {
	case <-o.closing:
		return errClosed(o.Name())
	case <-o.turn:
	}
	defer func() { o.turn <- struct{}{} }()
	if o.lost != nil {
		return o.lost
	}
	o.sys.mu.Lock()
	gate, delay := o.port.gate, o.port.delay
	o.sys.mu.Unlock()
	if gate != nil {
		select {
		case <-gate:
		case <-o.closing:
		}
	}
	if delay > 0 {
		pause(o.closing, delay)
	}
	select {
	case <-o.closing:
		return errClosed(o.Name())
	default:
	}
	o.sys.mu.Lock()
	if o.port.fail != nil {
		o.lost = fmt.Errorf("MIDI output %q is lost, close it and open it again: %w", o.Name(), o.port.fail)
		o.sys.mu.Unlock()
		return o.lost
	}
	heard := slices.Contains(o.port.outs, o)
	if heard {
		o.port.heard = append(o.port.heard, Message{At: time.Now(), Data: slices.Clone(b)})
	}
	loop := o.port.loop
	o.sys.mu.Unlock()
	if heard && loop {
		o.sys.Feed(o.Name(), b...)
	}
	return nil
}

// TrySend is [ports.Prompt]'s: it waits neither for a send that is slow or held, nor for whoever hears it.
func (o *out) TrySend(b []byte) (bool, error) {
	o.sys.mu.Lock()
	waits := o.port.gate != nil || o.port.delay > 0 || o.port.loop || o.sys.Waits
	o.sys.mu.Unlock()
	if waits {
		return false, nil
	}
	return true, o.Send(b)
}

// Drain waits for the send that is under way, as all others have arrived.
func (o *out) Drain(ctx context.Context) error {
	select {
	case <-o.turn:
		o.turn <- struct{}{}
		return nil
	case <-ctx.Done():
		return fmt.Errorf("MIDI output %q is not drained: %w", o.Name(), ctx.Err())
	}
}

func (o *out) Connected() (n int, known bool) {
	o.sys.mu.Lock()
	defer o.sys.mu.Unlock()
	return o.port.connected(slices.Contains(o.port.outs, o)), true
}

func (o *out) Close() error {
	o.once.Do(func() {
		close(o.closing)
		o.sys.mu.Lock()
		defer o.sys.mu.Unlock()
		o.port.outs = slices.DeleteFunc(o.port.outs, func(other *out) bool { return other == o })
	})
	return nil
}
