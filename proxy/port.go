package proxy

import "context"

// System is a way to reach the MIDI ports of a machine. The daemon knows
// nothing else about the driver behind it.
type System interface {
	// Ports lists what can be opened by name, inputs and outputs.
	Ports() ([]PortInfo, error)
	// OpenIn opens the input that the given name finds (see Find), or a virtual
	// one. receive is called from one goroutine or thread at a time, with one whole
	// message in b, which it must not keep. Nothing is received after Close returns.
	OpenIn(name string, virtual bool, receive func(b []byte)) (In, error)
	// OpenOut opens an output in the same way.
	OpenOut(name string, virtual bool) (Out, error)
	// Close lets go of what the system itself holds, after its ports are closed.
	Close() error
}

// PortInfo is one line of the list of ports.
type PortInfo struct {
	Name string `json:"name"`
	In   bool   `json:"in"`  // it can be read from
	Out  bool   `json:"out"` // it can be written to
}

// In is an open input.
type In interface {
	Name() string
	Close() error
}

// Out is an open output. Send is called by one goroutine at a time.
type Out interface {
	Name() string
	// Send hands over one whole message. nil does not prove that anybody heard it.
	Send(b []byte) error
	// Drain waits, up to ctx's end, until what was sent has left this process.
	Drain(ctx context.Context) error
	Close() error
}
