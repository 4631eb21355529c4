package live

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"swellbox/expr"
	"swellbox/proxy/ports"
)

// PortSpec asks for a port: one that exists, found by its name, or a virtual one
// of that name.
type PortSpec struct {
	Name    string
	Virtual bool
}

// connections are the inputs and outputs of a daemon. Which there are stays as it was at the
// start; the ports behind them may go and come back.
type connections struct {
	system  ports.System
	receive func(input uint16, message []byte) // of what comes in, on the thread that delivers it
	speed   int                                // bytes a second that each output may be sent; 0: all
	inlets  []*inlet
	outlets []*outlet
}

// inlet is one input.
type inlet struct {
	spec     PortSpec
	mu       sync.Mutex
	port     ports.In // nil while it is lost
	received atomic.Uint64
}

// current is the input's port, or nil while it is lost.
func (in *inlet) current() ports.In {
	in.mu.Lock()
	defer in.mu.Unlock()
	return in.port
}

func (in *inlet) set(port ports.In) {
	in.mu.Lock()
	in.port = port
	in.mu.Unlock()
}

// open opens all ports, the outputs first.
func (c *connections) open(inputs, outputs []PortSpec) error {
	for i, spec := range outputs {
		o, err := openOutlet(c.system, spec, c.speed)
		if err != nil {
			return fmt.Errorf("output %d: %w", i+1, err)
		}
		c.outlets = append(c.outlets, o)
	}
	for i, spec := range inputs {
		c.inlets = append(c.inlets, &inlet{spec: spec})
		if err := c.openInlet(i); err != nil {
			return fmt.Errorf("input %d: %w", i+1, err)
		}
	}
	return nil
}

func (c *connections) openInlet(i int) error {
	in := c.inlets[i]
	port, err := c.system.OpenIn(in.spec.Name, in.spec.Virtual, func(b []byte) {
		in.received.Add(1)
		c.receive(uint16(i), b)
	})
	if err != nil {
		return err
	}
	in.set(port)
	return nil
}

// put adds a message to what waits for its output; see [outlet.put].
func (c *connections) put(e *expr.Event) {
	if int(e.Port) < len(c.outlets) {
		c.outlets[e.Port].put(e)
	}
}

// send sends what put was given, that of one output first. It does not wait.
func (c *connections) send(first int) {
	if first < len(c.outlets) {
		c.outlets[first].sendNow()
	}
	c.sendAll()
}

// sendAll sends what put was given, without waiting.
func (c *connections) sendAll() {
	for _, o := range c.outlets {
		o.sendNow()
	}
}

// flush has sent what put was given. It does not wait.
func (c *connections) flush() {
	for _, o := range c.outlets {
		o.flush()
	}
}

func (c *connections) closeInlets() (errs []error) {
	for _, in := range c.inlets {
		in.mu.Lock()
		if in.port != nil {
			errs = append(errs, in.port.Close())
		}
		in.mu.Unlock()
	}
	return errs
}

// closeOutlets closes all outputs at once, so that none takes another's time.
func (c *connections) closeOutlets() []error {
	ctx, cancel := context.WithTimeout(context.Background(), drainTime)
	defer cancel()
	errs := make([]error, len(c.outlets))
	var closing sync.WaitGroup
	for i, o := range c.outlets {
		closing.Go(func() {
			if err := o.close(ctx); err != nil {
				errs[i] = fmt.Errorf("closing output %d: %w", i+1, err)
			}
		})
	}
	closing.Wait()
	return errs
}

// said are the words that the driver has for the log.
func (c *connections) said() []string {
	if t, ok := c.system.(ports.Talker); ok {
		return t.Said()
	}
	return nil
}

// watchPeriod is how often ports are looked at for loss and return, and faults are
// logged.
const watchPeriod = 500 * time.Millisecond
