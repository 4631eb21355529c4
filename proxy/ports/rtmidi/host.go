package rtmidi

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime"
)

const (
	sequencerDevice = "/dev/snd/seq"
	sequencerState  = "/proc/asound/seq/clients"
)

// maxState is how much of the sequencer's state is read, bytes. 192 clients of
// some ports each fill a small part of it.
const maxState = 1 << 20

// host is what the driver must know of the machine it runs on.
type host struct {
	goos  string
	ready func() error           // why there can be no ports now
	state func() ([]byte, error) // the text of ALSA's list of clients
	// enlarge makes room for what arrives at a client of ours; nil where there is no need
	enlarge func(client int)
}

func thisHost() host {
	h := host{goos: runtime.GOOS, ready: func() error { return nil }}
	if h.alsa() {
		h.ready = func() error { return tryDevice(sequencerDevice) }
		h.state = func() ([]byte, error) { return readState(sequencerState) }
		h.enlarge = enlarge
	}
	return h
}

// alsa reports whether the ports are those of ALSA's sequencer.
func (h host) alsa() bool { return h.goos == "linux" }

// destroy frees an object that never had a port, or whose port is closed. Only
// RtMidi's ALSA half is known to bear that: on macOS the destructor disposes of a
// port number that was never set (MidiInCore::closePort), so that there, and on
// Windows, the object stays. They are few.
func (h host) destroy(c client) {
	if h.alsa() {
		c.Destroy()
	}
}

// tryDevice opens the sequencer's device before the library does, which gives a
// reason where the library has none, and keeps it from printing. It also makes
// the kernel load the module where that is set up.
func tryDevice(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	switch {
	case err == nil:
		return f.Close()
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("this user may not open the ALSA sequencer %s: on most systems the group audio may, or use render or demo, which need no ports", path)
	case errors.Is(err, fs.ErrNotExist):
		return errors.New("no ALSA sequencer on this machine: load the kernel module snd-seq (modprobe snd-seq), or use render or demo, which need none")
	}
	return fmt.Errorf("the ALSA sequencer cannot be opened: %w", err)
}

func readState(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxState))
}
