// Package rtmidi reaches the MIDI ports of the machine: ALSA on Linux, CoreMIDI on
// macOS, WinMM on Windows. [New] gives the [System]; the rest is [ports.System].
//
// It stands on the C++ library RtMidi 6.0.0 and its Go wrapper, both inside
// gitlab.com/gomidi/midi/v2 at v2.3.20. Only library_cgo.go knows them. What the two do
// wrong is met here, each thing in one place:
//
//   - Closing an input takes its callback away while the reading thread may be about
//     to call it, which ends the process. input.go closes in a safe order.
//   - Messages come glued together when one sender's clock falls into another's system
//     exclusive. The bytes go through [swellbox/proxy/formats/wire].
//   - After one error an object reports failure for ever. Objects for listing are
//     then made anew (list.go); an output is lost (output.go).
//   - The text of an error is read after its memory is freed. words.go keeps what is printable.
//   - Ports are opened by an index that is counted again at that moment. connect in
//     driver.go checks the name afterwards, and tries again.
//   - Each object is a client of the sequencer, of which there are few. One for each
//     direction is kept for listing.
//   - ALSA loses a system exclusive message over 16 kB, and all messages to a receiver
//     that is full, and nobody is told. output.go sends in pieces, pace.go in time; only
//     a receiver that reads nothing for two seconds still loses messages.
//   - Sending to nobody succeeds. watch.go says who listens.
//   - A signal to the reading thread is taken for a message, and complained of. signals_linux.go
//     keeps signals off it.
//   - RtMidi and ALSA print on the user's terminal. noise.cpp catches it, remarks.go keeps what is
//     to be logged.
//   - Windows opens virtual ports that do not exist. They are refused here.
//
// What cannot be met: RtMidi allocates for each message, in and out; a function that is slow to
// receive may overrun the room that ALSA has for our own inputs (pool_linux.go), and all in it is lost,
// which is said; on macOS the list of ports can be out of date (midir issues #78, #86).
package rtmidi

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"unicode"

	"swellbox/proxy/ports"
)

// clientName is what other programs see as the owner of our ports.
const clientName = "swellbox"

// maxVirtualName is the longest name of a virtual port, bytes. ALSA has room for 63
// (struct snd_seq_port_info in sound/asequencer.h) and would cut the rest.
const maxVirtualName = 63

// maxTries is how often a port is looked up again when the list of ports changed
// while it was being opened.
const maxTries = 3

// System is the driver. It is a [ports.System] and a [ports.Talker].
type System struct {
	lib   library
	host  host
	meter *meter

	mu     sync.Mutex // guards all below, and the opening of ports
	lists  [2]client  // by direction; nil until asked for, and after an error
	own    map[int]bool
	closed bool
}

// direction is the index of what there is one of for inputs and one for outputs.
type direction int

const (
	inputs direction = iota
	outputs
)

// New makes the driver of this machine. It touches no device, and never fails:
// where there can be no ports, each call of the System says why.
func New() *System {
	lib, err := newLibrary()
	h := thisHost()
	if err != nil {
		h.ready = func() error { return err }
	}
	return newSystem(lib, h)
}

func newSystem(lib library, h host) *System {
	s := &System{lib: lib, host: h, own: map[int]bool{}}
	s.meter = &meter{read: s.state}
	return s
}

// Ports is [ports.System]'s. A port that can be read and written has one line.
func (s *System) Ports() ([]ports.Info, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.ready(); err != nil {
		return nil, err
	}
	ins, err := s.list(inputs)
	if err != nil {
		return nil, err
	}
	outs, err := s.list(outputs)
	if err != nil {
		return nil, err
	}
	return merge(ins, outs), nil
}

// ready says why nothing can be asked of the driver now.
func (s *System) ready() error {
	if s.closed {
		return fmt.Errorf("the MIDI driver is closed: %w", os.ErrClosed)
	}
	return s.host.ready()
}

// OpenIn is [ports.System]'s. receive may be called before OpenIn has returned. The
// input is also a [ports.Watcher], a [ports.Overrunner] and a [ports.Lossy].
func (s *System) OpenIn(name string, virtual bool, receive func(b []byte)) (ports.In, error) {
	var in *input
	err := s.open(name, virtual, inputs, func(t target, before map[int]bool) error {
		c, err := s.lib.newIn(clientName)
		if err != nil {
			return fmt.Errorf("cannot make a client for the MIDI input %q: %w", name, driverSaid(err))
		}
		in = newInput(s, c, t, receive)
		// Before anybody can send: a pool that gets another size loses what is in it.
		if in.client = s.newClient(before); s.host.enlarge != nil && in.client != 0 {
			s.host.enlarge(in.client)
		}
		if err := in.start(); err != nil {
			in.shut()
			delete(s.own, in.client)
			return err
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return in, nil
}

// OpenOut is [ports.System]'s. The output is also a [ports.Watcher].
func (s *System) OpenOut(name string, virtual bool) (ports.Out, error) {
	var out *output
	err := s.open(name, virtual, outputs, func(t target, before map[int]bool) error {
		c, err := s.lib.newOut(clientName)
		if err != nil {
			return fmt.Errorf("cannot make a client for the MIDI output %q: %w", name, driverSaid(err))
		}
		if err := connect(c, t, "out"); err != nil {
			s.host.destroy(c)
			return err
		}
		out = newOutput(s, c, t, s.newClient(before))
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// target is a port to open.
type target struct {
	name    string // to show
	raw     string // as the library has it, when not virtual
	index   int    // in the library's list, when not virtual
	virtual bool
}

// open finds the port and opens it with the given function, again when the list
// of ports has changed in between.
func (s *System) open(name string, virtual bool, d direction, opened func(t target, before map[int]bool) error) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.ready(); err != nil {
		return err
	}
	if virtual {
		if err := s.mayBeVirtual(name); err != nil {
			return err
		}
		return opened(target{name: name, virtual: true}, s.clients())
	}
	for try := 1; ; try++ {
		list, err := s.list(d)
		if err != nil {
			return err
		}
		i, err := ports.Find(list.infos(d), name, d == inputs)
		if err != nil {
			return err
		}
		t := target{name: list[i].name, raw: list[i].raw, index: i}
		if err = opened(t, s.clients()); err == nil || try == maxTries || s.stands(t, d) {
			return err
		}
	}
}

// stands reports whether the port is still where it was found, so that a failure
// to open it has another reason.
func (s *System) stands(t target, d direction) bool {
	list, err := s.list(d)
	return err == nil && t.index < len(list) && list[t.index].raw == t.raw
}

// mayBeVirtual says why a virtual port of that name cannot be.
func (s *System) mayBeVirtual(name string) error {
	switch {
	case s.host.goos == "windows":
		return fmt.Errorf("a program can make no virtual MIDI port such as %q on Windows: install a virtual MIDI cable, choose its one end in the other program, and give the name of its other end here", name)
	case strings.TrimSpace(name) == "":
		return errors.New("a virtual MIDI port needs a name")
	case len(name) > maxVirtualName:
		return fmt.Errorf("the name of the virtual MIDI port %.20q is too long: %d bytes, at most %d", name, len(name), maxVirtualName)
	case strings.ContainsFunc(name, unicode.IsControl):
		return fmt.Errorf("the name of the virtual MIDI port %q holds a control character", name)
	}
	return nil
}

// errMoved says that the port behind an index is not the one that was looked up.
var errMoved = errors.New("the list of MIDI ports changed while the port was being opened: try again")

// connect opens the port on c and makes sure that it was the right one. own is
// our end's name, which is all that some programs show.
func connect(c client, t target, own string) error {
	if t.virtual {
		if err := c.OpenVirtualPort(t.name); err != nil {
			return fmt.Errorf("cannot make the virtual MIDI port %q: %w", t.name, driverSaid(err))
		}
		return nil
	}
	if err := c.OpenPort(t.index, own); err != nil {
		return fmt.Errorf("cannot open the MIDI port %q: %w", t.name, driverSaid(err))
	}
	if now, err := c.PortName(t.index); err != nil || cutName(now) != t.raw {
		return fmt.Errorf("%q: %w", t.name, errMoved)
	}
	return nil
}

// Close lets go of the two clients that list ports.
func (s *System) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.closed = true
	for d := range s.lists {
		s.dropList(direction(d))
	}
	return nil
}
