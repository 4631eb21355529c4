package live

import (
	"context"
	"errors"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"swellbox/expr"
	"swellbox/proxy/ports"
)

var (
	errSlow  = errors.New("it takes messages too slowly")
	errGone  = errors.New("nobody is at its other end")
	errStuck = errors.New("it does not close")
)

// maxWaiting is how many messages may wait for a slow output before it is taken
// for lost: at the speed of a DIN cable, over a minute of music.
const maxWaiting = 1 << 16

// outlet is one output with the messages that wait for it. put never blocks. Whoever has put
// something sends it, with no lock held, to a port that need not be waited for; else, and where that
// port has no room, a goroutine of the outlet's own does. One of them sends at a time.
//
// Only look opens the port, and only the sender gives it up, so a port that
// hangs in a send holds up nobody else.
type outlet struct {
	PortSpec // as asked for
	system   ports.System

	mu        sync.Mutex
	cable     *cable       // what waits, where only so much may be sent; nil: all waits below
	waiting   []expr.Event // and may be sent now
	spare     []expr.Event
	why       error        // why the output is lost and what is put is dropped, or nil
	port      ports.Out    // nil: to be opened again
	prompt    ports.Prompt // the port, if it need not be waited for; else nil
	spent     bool         // the port is of no more use, and the sender's to give up
	by        hand         // who has messages in hand
	listeners int          // when last looked at

	sender
	sent    atomic.Uint64
	dropped atomic.Uint64
}

// hand is who has messages in hand, and alone may use the port to send.
type hand uint8

const (
	nobody hand = iota
	theSender
	whoPut // them, on a thread that does not wait
)

// sender is the goroutine that sends, as others know it.
type sender struct {
	fresh atomic.Bool   // something was put since it was last woken
	wake  chan struct{} // wakes it
	stop  chan struct{} // closed: send what waits, then end
	done  chan struct{} // closed: it has ended
}

// openOutlet opens an output that is sent so many bytes a second at most; 0: as many as there are.
func openOutlet(system ports.System, spec PortSpec, speed int) (*outlet, error) {
	port, err := system.OpenOut(spec.Name, spec.Virtual)
	if err != nil {
		return nil, err
	}
	o := &outlet{
		PortSpec: spec, system: system, cable: newCable(speed),
		sender: sender{wake: make(chan struct{}, 1), stop: make(chan struct{}), done: make(chan struct{})},
	}
	o.set(port)
	if n, known := connected(port); known {
		o.listeners = n
	}
	go o.send()
	return o, nil
}

// set takes a port that was opened, or nil. o.mu is held, or nobody knows the outlet yet.
func (o *outlet) set(port ports.Out) {
	o.port = port
	o.prompt, _ = port.(ports.Prompt)
}

// connected asks a port that can tell how many are at its other end.
func connected(port any) (n int, known bool) {
	if w, ok := port.(ports.Watcher); ok {
		return w.Connected()
	}
	return 0, false
}

// put adds a message to what waits. The caller flushes the outlet when it has put
// all it has. It must not be called once close has been.
func (o *outlet) put(e *expr.Event) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.why == nil && (len(o.waiting) == maxWaiting || o.cable != nil && o.cable.waiting() >= maxWaiting) {
		o.drop(errSlow)
	}
	if o.why != nil {
		o.dropped.Add(1)
		return
	}
	if o.cable != nil {
		o.cable.put(e)
	} else {
		o.waiting = append(o.waiting, *e)
	}
	o.fresh.Store(true)
}

// fill has all wait that may be sent now, and tells how long it is until more may; 0 if that is
// all. o.mu is held.
func (o *outlet) fill() (wait time.Duration) {
	if o.cable != nil {
		o.waiting, wait = o.cable.take(time.Now(), o.waiting)
	}
	return wait
}

// drop begins to drop what is put, and drops what waits. o.mu is held.
func (o *outlet) drop(why error) {
	o.why = why
	o.dropped.Add(uint64(len(o.waiting)))
	clear(o.waiting)
	o.waiting = o.waiting[:0]
	if o.cable != nil {
		o.dropped.Add(uint64(o.cable.waiting()))
		o.cable.clear()
	}
}

// flush has what was put sent.
func (s *sender) flush() {
	if s.fresh.Load() && s.fresh.Swap(false) {
		s.nudge()
	}
}

func (s *sender) nudge() {
	select {
	case s.wake <- struct{}{}:
	default:
	}
}

// sendNow sends what waits, on the thread of who has put it, as far as that takes no waiting. It
// leaves the rest to the sender.
func (o *outlet) sendNow() {
	if !o.fresh.Load() || !o.fresh.Swap(false) {
		return
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.by != nobody { // and so sends this as well
		return
	}
	wait := o.fill()
	for ; len(o.waiting) > 0; wait = o.fill() {
		if o.prompt == nil || o.why != nil || !o.tryAll() {
			o.nudge()
			return
		}
	}
	if wait > 0 {
		o.nudge() // who may wait
	}
}

// tryAll sends what waits, and reports whether the port has taken all of it. o.mu is held, and let
// go while the port has the word.
func (o *outlet) tryAll() bool {
	port, batch, n, err := o.prompt, o.waiting, 0, error(nil)
	o.waiting, o.spare, o.by = o.spare[:0], nil, whoPut
	o.mu.Unlock()
	for n < len(batch) {
		var taken bool
		if taken, err = port.TrySend(batch[n].Bytes()); err != nil || !taken {
			break
		}
		batch[n].Data = nil
		n++
	}
	o.mu.Lock()
	o.by = nobody
	o.sent.Add(uint64(n))
	if err != nil {
		o.dropped.Add(uint64(len(batch) - n))
		o.gone(err)
	}
	if err != nil || n == len(batch) {
		clear(batch[n:])
		o.spare = batch[:0]
		return err == nil
	}
	kept := copy(batch, batch[n:])
	clear(batch[kept:])
	o.waiting, o.spare = append(batch[:kept], o.waiting...), o.waiting[:0]
	return false
}

// send is the outlet's goroutine.
func (o *outlet) send() {
	defer close(o.done)
	stop, again := o.stop, time.NewTimer(time.Hour)
	defer again.Stop()
	for wait := time.Duration(0); stop != nil || wait > 0; {
		select {
		case <-o.wake:
		case <-again.C:
		case <-stop:
			stop = nil
			for o.tried() {
				runtime.Gosched() // that takes no waiting
			}
		}
		var port ports.Out
		var batch []expr.Event
		for port, batch, wait = o.take(); len(batch) > 0; port, batch, wait = o.take() {
			o.sendAll(port, batch)
		}
		if wait > 0 {
			again.Reset(wait)
		}
	}
}

// take hands what waits to the sender, which gives its former slice back, and tells how long it is
// until there is more; 0 if nobody knows.
func (o *outlet) take() (port ports.Out, batch []expr.Event, wait time.Duration) {
	o.giveUp()
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.by == whoPut { // it goes on with what waits, or wakes the sender
		return nil, nil, 0
	}
	wait = o.fill()
	batch = o.waiting
	o.waiting, o.spare = o.spare[:0], batch
	if o.by = nobody; len(batch) > 0 {
		o.by = theSender
	}
	return o.port, batch, wait
}

// tried reports whether somebody else than the sender sends.
func (o *outlet) tried() bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.by == whoPut
}

// giveUp closes a spent port.
func (o *outlet) giveUp() {
	o.mu.Lock()
	port, spent := o.port, o.spent && o.by != whoPut
	o.mu.Unlock()
	if !spent {
		return
	}
	port.Close() // it has failed already; there is nobody left to tell
	o.mu.Lock()
	o.set(nil)
	o.spent, o.listeners = false, 0
	o.mu.Unlock()
}

// listening is how many listened when last looked at.
func (o *outlet) listening() int {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.listeners
}

func (o *outlet) sendAll(port ports.Out, batch []expr.Event) {
	for i := range batch {
		e := &batch[i]
		if o.loss() != nil {
			o.dropped.Add(1)
		} else if err := port.Send(e.Bytes()); err != nil {
			o.dropped.Add(1)
			o.lose(err)
		} else {
			o.sent.Add(1)
		}
		e.Data = nil
	}
}

// lose takes the port for gone.
func (o *outlet) lose(why error) {
	o.mu.Lock()
	o.gone(why)
	o.mu.Unlock()
	o.nudge()
}

// gone takes the port for gone; the sender is to be woken. o.mu is held.
func (o *outlet) gone(why error) {
	o.spent = o.port != nil // the sender may have given it up meanwhile
	o.drop(why)
}

// look finds out whether the output has gone or can be had again. returned: it was
// lost and is back, knows nothing, and waits for resume. newcomer: somebody more
// listens than before, and needs to be told the state.
func (o *outlet) look() (returned, newcomer bool) {
	o.mu.Lock()
	port, lost, held := o.port, o.why != nil, o.spent || o.by != nobody
	o.mu.Unlock()
	if lost && held {
		return false, false // the sender is still at the port
	}
	if port == nil {
		var err error
		if port, err = o.system.OpenOut(o.Name, o.Virtual); err != nil {
			return false, false
		}
		o.mu.Lock()
		o.set(port)
		o.mu.Unlock()
	}
	n, known := connected(port)
	if known && n == 0 && !o.Virtual {
		o.lose(errGone)
		return false, false
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	newcomer = known && n > o.listeners
	o.listeners = n
	return lost, newcomer
}

// resume ends the dropping, once the output has returned.
func (o *outlet) resume() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.why = nil
}

// loss is why the output is lost, or nil.
func (o *outlet) loss() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.why
}

// close sends what waits, lets it leave the process, and closes the port. It takes
// no longer than ctx and closeTime together.
func (o *outlet) close(ctx context.Context) error {
	close(o.stop)
	var err error
	select {
	case <-o.done:
	case <-ctx.Done():
		err = errSlow
	}
	o.mu.Lock()
	port := o.port
	o.mu.Unlock()
	if port == nil {
		return err
	}
	if err == nil {
		err = port.Drain(ctx)
	}
	closed := make(chan error, 1)
	go func() { closed <- port.Close() }()
	select {
	case e := <-closed:
		return errors.Join(err, e)
	case <-time.After(closeTime):
		return errors.Join(err, errStuck)
	}
}

// How long a shutdown waits for an output to take what it was sent, and then to close.
const (
	drainTime = 500 * time.Millisecond
	closeTime = 250 * time.Millisecond
)
