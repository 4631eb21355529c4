package rtmidi

import (
	"io"
	"reflect"
)

// library makes the C++ objects. All that the driver asks of them is below, so
// that tests can stand in for it.
type library interface {
	newIn(client string) (inClient, error)
	newOut(client string) (outClient, error)
}

// client is one object of the library: one client of ALSA's sequencer. Its port
// indexes are those of the moment of the call.
type client interface {
	PortCount() (int, error)
	PortName(port int) (string, error)
	OpenPort(port int, name string) error
	OpenVirtualPort(name string) error
	// Destroy closes the port and frees the object, which must not be touched again.
	Destroy()
}

type inClient interface {
	client
	IgnoreTypes(sysex, timing, sensing bool) error
	// Listen sets the function that the library's thread calls with each message,
	// which is to be done before the port is opened: what comes earlier is lost.
	Listen(receive func(b []byte)) error
	// Shut closes the port. The object stays, and so does what Listen has set.
	Shut()
	CancelCallback() error
}

type outClient interface {
	client
	SendMessage(b []byte) error
}

// closerOf finds the Close of the wrapper's embedded half, which closes the
// port and does no more. The wrapper's own Close hides it, and first takes the
// callback out of the table where the thread looks it up: a message on its way
// in then calls a nil pointer, on a C thread where nothing can recover.
//
// It reports false when the wrapper is not built as it was at v2.3.20.
func closerOf(in any) (io.Closer, bool) {
	v := reflect.ValueOf(in)
	if v.Kind() != reflect.Pointer || v.Elem().Kind() != reflect.Struct {
		return nil, false
	}
	half := v.Elem().FieldByName("midi")
	if !half.IsValid() {
		return nil, false
	}
	// The field is not exported; a pointer made anew to its memory is free of that.
	c, ok := reflect.NewAt(half.Type(), half.Addr().UnsafePointer()).Interface().(io.Closer)
	return c, ok
}
