// Package silent is a machine's MIDI ports of which nothing is heard: a [ports.System] without a
// device, whose outputs take all that is sent and whose inputs receive nothing. With it the
// daemon plays in full where there is nobody to play to, so that it can be tried anywhere.
package silent

import (
	"context"
	"fmt"
	"sync/atomic"

	"swellbox/proxy/ports"
)

// System is such a machine. It has virtual ports only.
type System struct{}

// Ports lists none.
func (System) Ports() ([]ports.Info, error) { return nil, nil }

// OpenIn opens a virtual input at which nothing arrives.
func (System) OpenIn(name string, virtual bool, _ func(b []byte)) (ports.In, error) {
	return open(name, virtual, "input")
}

// OpenOut opens a virtual output that nobody hears.
func (System) OpenOut(name string, virtual bool) (ports.Out, error) {
	return open(name, virtual, "output")
}

// Close does nothing.
func (System) Close() error { return nil }

func open(name string, virtual bool, kind string) (*port, error) {
	if !virtual {
		return nil, fmt.Errorf("there is no MIDI %s %q among simulated ports: %w", kind, name, ports.ErrNoPort)
	}
	return &port{name: name}, nil
}

type port struct {
	name   string
	closed atomic.Bool
}

// Name is the port's name.
func (p *port) Name() string { return p.name }

// Send takes a message, and drops it.
func (p *port) Send(b []byte) error {
	if p.closed.Load() {
		return fmt.Errorf("the simulated port %q is closed", p.name)
	}
	if len(b) == 0 {
		return fmt.Errorf("an empty message cannot be sent to the simulated port %q", p.name)
	}
	return nil
}

// Drain has nothing to wait for.
func (p *port) Drain(context.Context) error { return nil }

// Close closes the port.
func (p *port) Close() error {
	p.closed.Store(true)
	return nil
}
