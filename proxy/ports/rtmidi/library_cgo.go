//go:build cgo && (linux || darwin || windows)

package rtmidi

import (
	"errors"
	"io"
	"runtime"
	"sync"

	lib "gitlab.com/gomidi/midi/v2/drivers/rtmididrv/imported/rtmidi"
)

// queueSize is the length of a queue that is never used, as all messages go to a
// function. The library would follow a null pointer at 0.
const queueSize = 1

// wrapper is the real library.
type wrapper struct{ api lib.API }

func newLibrary() (library, error) {
	catchNoise()
	switch runtime.GOOS {
	case "darwin":
		return wrapper{lib.APIMacOSXCore}, nil
	case "windows":
		return wrapper{lib.APIWindowsMM}, nil
	}
	return wrapper{lib.APILinuxALSA}, nil
}

func (w wrapper) newIn(name string) (inClient, error) {
	in, err := lib.NewMIDIIn(w.api, name, queueSize)
	if err != nil {
		return nil, err
	}
	port, ok := closerOf(in)
	if !ok {
		in.Destroy()
		return nil, errors.New("the MIDI library is not the version that this program was made for")
	}
	return wrappedIn{in, port}, nil
}

func (w wrapper) newOut(name string) (outClient, error) {
	out, err := lib.NewMIDIOut(w.api, name)
	if err != nil {
		return nil, err
	}
	return out, nil
}

type wrappedIn struct {
	lib.MIDIIn
	port io.Closer
}

// OpenPort and OpenVirtualPort start the thread that reads.

func (w wrappedIn) OpenPort(port int, name string) error {
	return unsignalled(func() error { return w.MIDIIn.OpenPort(port, name) })
}

func (w wrappedIn) OpenVirtualPort(name string) error {
	return unsignalled(func() error { return w.MIDIIn.OpenVirtualPort(name) })
}

func (w wrappedIn) Listen(receive func(b []byte)) error {
	var first sync.Once
	return w.SetCallback(func(_ lib.MIDIIn, b []byte, _ float64) {
		first.Do(holdSignals) // the library has a thread for each object
		receive(b)
	})
}

// Shut leaves out the result, which repeats any error that the object ever had.
func (w wrappedIn) Shut() { _ = w.port.Close() }
