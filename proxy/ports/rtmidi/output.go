package rtmidi

import (
	"context"
	"fmt"
	"os"
	"sync"
	"time"

	"swellbox/proxy/formats/wire"
)

const (
	// pieceSize is how much of a system exclusive message is one ALSA event, bytes.
	// It is what ALSA's own cable driver sends (RtMidi.cpp, alsaMidiHandler). All
	// pieces but the last must be of one length, and no message longer: the encoder's
	// buffer has the length of the longest send, and gives out what fills it.
	pieceSize = 256
	// maxPrompt is the longest message that is sent at once, bytes: all but system exclusive.
	maxPrompt = 3
	// grace is how long the systems other than ALSA are given to carry what was sent,
	// which they do not report. Common practice, no published source.
	grace = 20 * time.Millisecond
	// closeWait is how long Close drains. Our choice.
	closeWait = 250 * time.Millisecond
)

// output is an open output.
type output struct {
	sys    *System
	c      outClient
	target target
	client int    // our ALSA client number, 0 if not known
	pace   *pacer // nil where the system itself waits for the receiver

	closing chan struct{} // closed by Close, which ends waits
	once    sync.Once

	turn   chan struct{} // holds one token: who has it may use c and all below
	closed bool
	lost   error
	sent   time.Time // when something was sent last
	clean  bool      // nothing was sent since the last drain
}

func newOutput(s *System, c outClient, t target, client int) *output {
	o := &output{sys: s, c: c, target: t, client: client,
		closing: make(chan struct{}), turn: make(chan struct{}, 1), clean: true}
	if s.host.alsa() {
		o.pace = newPacer(s.meter, client)
	}
	o.turn <- struct{}{}
	return o
}

func (o *output) Name() string { return o.target.name }

// Send is [ports.Out]'s. It fails for ever after the library's first error, as
// the library does, which then no longer tells success from failure.
func (o *output) Send(b []byte) error {
	if !wire.Whole(b) {
		return fmt.Errorf("MIDI output %q: % X is not one whole message", o.target.name, b[:min(len(b), 16)])
	}
	select {
	case <-o.turn:
	case <-o.closing:
		return o.errClosed()
	}
	defer func() { o.turn <- struct{}{} }()
	if o.closed {
		return o.errClosed()
	}
	if o.lost != nil {
		return o.lost
	}
	o.clean = false
	for len(b) > 0 {
		n := len(b)
		if o.pace != nil {
			n = min(n, pieceSize)
			if !o.pace.wait(o.closing, n) {
				return o.errClosed()
			}
		}
		if err := o.deliver(b[:n]); err != nil {
			return err
		}
		b = b[n:]
	}
	o.sent = time.Now()
	return nil
}

// TrySend is [ports.Prompt]'s. Only ALSA shows whether there is room; see pace.go. There a send is a
// call of the kernel that copies the event to its receivers and waits for nobody (snd_seq_write and
// snd_seq_deliver_event, from memory).
func (o *output) TrySend(b []byte) (sent bool, err error) {
	if o.pace == nil || len(b) > maxPrompt || !wire.Whole(b) {
		return false, nil
	}
	select {
	case <-o.turn:
	default:
		return false, nil
	}
	defer func() { o.turn <- struct{}{} }()
	if o.closed || o.lost != nil || !o.pace.now(len(b)) {
		return false, nil
	}
	o.clean = false
	if err := o.deliver(b); err != nil {
		return false, err
	}
	o.sent = time.Now()
	return true, nil
}

// deliver gives a message, or a piece of one, to the library. Its first error is the last.
func (o *output) deliver(b []byte) error {
	if err := o.c.SendMessage(b); err != nil {
		o.lost = fmt.Errorf("MIDI output %q is lost, close it and open it again: %w", o.target.name, driverSaid(err))
	}
	return o.lost
}

func (o *output) errClosed() error {
	return fmt.Errorf("MIDI output %q: %w", o.target.name, os.ErrClosed)
}

// Drain is [ports.Out]'s.
func (o *output) Drain(ctx context.Context) error {
	select {
	case <-o.turn:
	case <-ctx.Done():
		return o.errNotDrained(ctx.Err())
	}
	defer func() { o.turn <- struct{}{} }()
	return o.drain(ctx)
}

// drain is called by whoever has the turn.
func (o *output) drain(ctx context.Context) error {
	if o.closed || o.lost != nil || o.clean {
		return nil
	}
	if o.pace != nil {
		// ALSA's library keeps what the kernel would not take, until the next send. An
		// empty message is one. Its result repeats old errors, of which there are none.
		_ = o.c.SendMessage(nil)
		if err := o.pace.drain(ctx); err != nil {
			return o.errNotDrained(err)
		}
	} else if wait := grace - time.Since(o.sent); wait > 0 && !sleep(ctx.Done(), wait) {
		return o.errNotDrained(ctx.Err())
	}
	o.clean = true
	return nil
}

func (o *output) errNotDrained(err error) error {
	return fmt.Errorf("MIDI output %q may have messages left that its receiver did not take: %w", o.target.name, err)
}

// Connected is [ports.Watcher]'s.
func (o *output) Connected() (n int, known bool) {
	return o.sys.connected(o.target, o.client, outputs)
}

// Close is [ports.Out]'s. What could not be drained in closeWait is lost.
func (o *output) Close() error {
	var err error
	o.once.Do(func() {
		close(o.closing)
		<-o.turn
		ctx, cancel := context.WithTimeout(context.Background(), closeWait)
		err = o.drain(ctx)
		cancel()
		o.closed = true
		o.c.Destroy()
		o.turn <- struct{}{}
		o.sys.forget(o.client)
	})
	return err
}
