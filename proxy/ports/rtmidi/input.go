package rtmidi

import (
	"fmt"
	"sync"

	"swellbox/proxy/formats/wire"
)

// input is an open input. The library's thread calls hear; the rest is called by
// the owner.
type input struct {
	sys    *System
	c      inClient
	target target
	client int // our ALSA client number, 0 if not known
	parser *wire.Parser
	once   sync.Once

	turn   chan struct{} // holds one token: who has it may hand a message on
	closed bool          // with the turn
}

func newInput(s *System, c inClient, t target, receive func(b []byte)) *input {
	in := &input{sys: s, c: c, target: t, parser: wire.NewParser(receive), turn: make(chan struct{}, 1)}
	in.turn <- struct{}{}
	return in
}

// start listens, and then opens the port. Until that has succeeded, messages wait
// for turn: they may be those of a wrong port.
func (in *input) start() error {
	<-in.turn
	defer func() { in.turn <- struct{}{} }()
	err := in.c.IgnoreTypes(false, false, false)
	if err == nil {
		err = in.c.Listen(in.hear)
	}
	if err != nil {
		err = fmt.Errorf("cannot listen to the MIDI port %q: %w", in.target.name, driverSaid(err))
	} else {
		err = connect(in.c, in.target, "in")
	}
	in.closed = err != nil
	return err
}

// hear takes what the library believes to be one message. It may be empty, a piece of
// one, or one inside another; but it never relies on running status.
func (in *input) hear(b []byte) {
	<-in.turn
	defer func() { in.turn <- struct{}{} }()
	if !in.closed {
		in.parser.Break()
		in.parser.Feed(b)
	}
}

func (in *input) Name() string { return in.target.name }

// Lost is [ports.Lossy]'s.
func (in *input) Lost() wire.Lost { return in.parser.Lost() }

// Connected is [ports.Watcher]'s.
func (in *input) Connected() (n int, known bool) {
	return in.sys.connected(in.target, in.client, inputs)
}

// Overrun is [ports.Overrunner]'s. The kernel counts the events that found no room; at the
// next read it throws away the rest of the pool as well, and of that it tells nobody.
func (in *input) Overrun() uint64 {
	if in.client == 0 {
		return 0
	}
	if c := in.sys.state()[in.client]; c != nil {
		return c.in.refused
	}
	return 0
}

// Close waits for the message that is being handed on.
func (in *input) Close() error {
	in.once.Do(func() {
		<-in.turn
		in.closed = true
		in.turn <- struct{}{}
		in.shut()
		in.sys.forget(in.client)
	})
	return nil
}

// shut frees the object in the one order that is safe. Closing the port comes
// first: on ALSA it waits for the reading thread to end (MidiInAlsa::closePort),
// and only then may the callback and the object go. CoreMIDI and WinMM
// do not promise that their threads have left, so that there the closed object and
// its callback stay: some hundred bytes for each input that was ever closed.
func (in *input) shut() {
	in.c.Shut()
	if in.sys.host.alsa() {
		_ = in.c.CancelCallback() // repeats old errors, and has nothing of its own to say
		in.sys.host.destroy(in.c)
	}
}
