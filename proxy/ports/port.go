package ports

import (
	"context"

	"swellbox/proxy/formats/wire"
)

// System is a way to reach the MIDI ports of a machine. The daemon knows
// nothing else about the driver behind it. Its methods may be called from any
// goroutine.
type System interface {
	// Ports lists what can be opened by name, inputs and outputs, without the
	// virtual ports that this System itself has open.
	Ports() ([]Info, error)
	// OpenIn opens the input that the given name finds (see [Find]), or a virtual
	// one. receive is called from one goroutine or thread at a time, with one whole
	// message in b, which it must not keep. It must not block for long, as the
	// messages behind it wait, and it must not close its own input. Nothing is
	// received after Close returns; the first may be received before OpenIn returns.
	OpenIn(name string, virtual bool, receive func(b []byte)) (In, error)
	// OpenOut opens an output in the same way.
	OpenOut(name string, virtual bool) (Out, error)
	// Close lets go of what the system itself holds, after its ports are closed.
	Close() error
}

// Info is one line of the list of ports.
type Info struct {
	Name string `json:"name"`
	In   bool   `json:"in"`  // it can be read from
	Out  bool   `json:"out"` // it can be written to
}

// In is an open input. Close may be called twice.
type In interface {
	Name() string // the full name of the port that was found, or the virtual port's own
	Close() error
}

// Out is an open output. Send, and TrySend of one that is [Prompt], are called by one goroutine at a time; the other
// methods may be called beside it.
type Out interface {
	Name() string // the full name of the port that was found, or the virtual port's own
	// Send hands over one whole message, with its status byte. It may wait so as
	// not to overrun the receiver. nil does not prove that anybody heard it (see
	// [Watcher]). A message that is not whole is refused and does no harm; after
	// any other error the port is lost, and must be closed and opened again.
	Send(b []byte) error
	// Drain waits, up to ctx's end, until what was sent has left this process.
	Drain(ctx context.Context) error
	// Close drains for a moment, then closes. It may be called twice.
	Close() error
}

// Prompt is what an [Out] may also be: one that knows whether sending would have to wait, so that
// who must not wait may send, and nobody else need be woken for it.
type Prompt interface {
	// TrySend is Send where that need not wait. Where it would have to, or where that is not known,
	// it does nothing and reports false.
	TrySend(b []byte) (sent bool, err error)
}

// Watcher is what an [In] or an [Out] may also be: one that can tell whether
// anybody is at its other end. Where sending to a port that has gone is no
// error, this is the only way to see the loss.
type Watcher interface {
	// Connected is the number of ports connected to this one; known is false when
	// the machine does not tell. A named port that reports 0 has gone, and must be
	// closed and opened again once it is back. A virtual port stays open: when
	// its number grows, somebody new listens and needs the current state.
	// It may take a tenth of a millisecond: ask a few times a second, not per message.
	Connected() (n int, known bool)
}

// Talker is what a [System] may also be: one whose driver has something to say besides errors.
type Talker interface {
	// Said is what it has said since the last call, as sentences for people.
	Said() []string
}

// Overrunner is what an [In] may also be: one whose machine throws messages away when nobody
// takes them in time, and counts them.
type Overrunner interface {
	// Overrun is how many messages were thrown away since the input was opened. A note-off may
	// be among them. It costs as much as [Watcher]'s Connected.
	Overrun() uint64
}

// Lossy is what an [In] may also be: one that counts what arrived on it but was no
// whole message, and was therefore not received.
type Lossy interface {
	Lost() wire.Lost
}
