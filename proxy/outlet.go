package proxy

import (
	"context"
	"sync"
	"sync/atomic"
	"time"

	"swellbox/expr"
)

// maxWaiting is how many messages may wait for a slow output before it is taken
// for lost: at the speed of a DIN cable, over a minute of music.
const maxWaiting = 1 << 16

// outlet is one output with the messages that wait for it. put never blocks;
// a goroutine of the outlet's own does the sending, with no lock held.
type outlet struct {
	name    string // as asked for
	virtual bool
	system  System

	mu      sync.Mutex
	waiting []expr.Event
	lost    bool  // nobody takes what is sent; what is put is dropped
	why     error // of the loss
	spare   []expr.Event

	wake chan struct{} // something waits
	stop chan struct{} // closed: send what waits, then end
	done chan struct{} // closed: the sender has ended

	portMu    sync.Mutex // held across port calls; nobody who plays waits for it
	port      Out        // nil while the output is lost
	listeners int        // when last looked at

	sent    atomic.Uint64
	dropped atomic.Uint64
}

func openOutlet(system System, name string, virtual bool) (*outlet, error) {
	port, err := system.OpenOut(name, virtual)
	if err != nil {
		return nil, err
	}
	o := &outlet{
		name: name, virtual: virtual, system: system, port: port,
		wake: make(chan struct{}, 1), stop: make(chan struct{}), done: make(chan struct{}),
	}
	if n, known := connected(port); known {
		o.listeners = n
	}
	go o.send()
	return o, nil
}

// connected asks a port that can tell how many are at its other end.
func connected(port any) (n int, known bool) {
	if w, ok := port.(Watcher); ok {
		return w.Connected()
	}
	return 0, false
}

// put adds a message to what waits. The caller rouses the outlet when it has put
// all it has. It must not be called once close has been.
func (o *outlet) put(e *expr.Event) {
	o.mu.Lock()
	switch {
	case o.lost:
		o.dropped.Add(1)
	case len(o.waiting) == maxWaiting:
		o.lost, o.why = true, errSlow
		o.dropped.Add(uint64(len(o.waiting)) + 1)
		o.waiting = o.waiting[:0]
	default:
		o.waiting = append(o.waiting, *e)
	}
	o.mu.Unlock()
}

// rouse has what waits sent.
func (o *outlet) rouse() {
	select {
	case o.wake <- struct{}{}:
	default:
	}
}

// take hands what waits to the sender, which gives its former slice back.
func (o *outlet) take() []expr.Event {
	o.mu.Lock()
	batch := o.waiting
	o.waiting, o.spare = o.spare[:0], batch
	o.mu.Unlock()
	return batch
}

// send is the outlet's goroutine.
func (o *outlet) send() {
	defer close(o.done)
	for stopping := false; !stopping; {
		select {
		case <-o.wake:
		case <-o.stop:
			stopping = true
		}
		for batch := o.take(); len(batch) > 0; batch = o.take() {
			o.sendAll(batch)
		}
	}
}

func (o *outlet) sendAll(batch []expr.Event) {
	o.portMu.Lock()
	defer o.portMu.Unlock()
	for i := range batch {
		e := &batch[i]
		if o.port == nil {
			o.dropped.Add(1)
		} else if err := o.port.Send(e.Bytes()); err != nil {
			o.lose(err)
		} else {
			o.sent.Add(1)
		}
		e.Data = nil
	}
}

// lose closes a port that is gone. The caller holds portMu.
func (o *outlet) lose(err error) {
	o.port.Close()
	o.port = nil
	o.listeners = 0
	o.dropped.Add(1)
	o.mu.Lock()
	o.lost, o.why = true, err
	o.mu.Unlock()
}

// look finds out whether the output has gone or come back, and tries to open a
// lost one again. returned: it was lost and is back, and knows nothing. newcomer:
// somebody more listens than before, and needs to be told the state.
func (o *outlet) look() (returned, newcomer bool) {
	o.portMu.Lock()
	defer o.portMu.Unlock()
	if o.port == nil {
		port, err := o.system.OpenOut(o.name, o.virtual)
		if err != nil {
			return false, false
		}
		o.port = port
	}
	n, known := connected(o.port)
	if known && n == 0 && !o.virtual {
		o.lose(errGone)
		return false, false
	}
	newcomer = known && n > o.listeners
	o.listeners = n
	o.mu.Lock()
	returned = o.lost
	o.lost, o.why = false, nil
	o.mu.Unlock()
	return returned, newcomer
}

// loss is why the output is lost, or nil.
func (o *outlet) loss() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.why
}

// close sends what waits, lets it leave the process, and closes the port. It takes
// no longer than ctx.
func (o *outlet) close(ctx context.Context) error {
	close(o.stop)
	select {
	case <-o.done:
	case <-ctx.Done():
		return ctx.Err() // the sender hangs in a port call; closing the port under it could crash
	}
	o.portMu.Lock()
	defer o.portMu.Unlock()
	if o.port == nil {
		return nil
	}
	err := o.port.Drain(ctx)
	if e := o.port.Close(); err == nil {
		err = e
	}
	return err
}

// drainTime bounds how long a shutdown waits for an output.
const drainTime = 500 * time.Millisecond
