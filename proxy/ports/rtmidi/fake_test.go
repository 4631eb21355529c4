package rtmidi

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"time"
)

// fakeLibrary stands in for RtMidi and for the machine behind it, with their bad habits.
type fakeLibrary struct {
	ports   [2][]string // what the machine has, by direction
	clients []*fakeClient
	refuse  error // what newIn and newOut fail with
	broken  int   // so many calls of PortCount fail
	onOpen  func(c *fakeClient)
	text    string     // more of the sequencer's state
	kernel  sync.Mutex // guards what a look reads while a message is sent
	looks   int
	reader  *receiver // what our outputs are connected to
}

// fakeClient is one object. Like the library's, it fails for ever after one error.
type fakeClient struct {
	lib    *fakeLibrary
	d      direction
	number int
	log    []string
	hear   func(b []byte)
	failed error
	sent   [][]byte
	onShut func()
}

// system is a System on the fake, on the operating system of that name.
func (l *fakeLibrary) system(goos string) *System {
	h := host{goos: goos, ready: func() error { return nil }}
	if h.alsa() {
		h.state = func() ([]byte, error) {
			l.kernel.Lock()
			defer l.kernel.Unlock()
			l.looks++
			return []byte(l.state()), nil
		}
	}
	return newSystem(l, h)
}

func (l *fakeLibrary) state() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Client info\n  cur  clients : %d\n\n", len(l.clients))
	for _, c := range l.clients {
		if slices.Contains(c.log, "destroy") {
			continue
		}
		fmt.Fprintf(&b, "Client %3d : \"swellbox\" [User Legacy]\n", c.number)
		if slices.ContainsFunc(c.log, func(s string) bool { return strings.HasPrefix(s, "open") }) {
			fmt.Fprintf(&b, "  Port   0 : \"x\" (R-e-)\n")
			if l.reader != nil && c.d == outputs {
				fmt.Fprintf(&b, "    Connecting To: 20:0[r:0]\n")
			}
		}
	}
	if l.reader != nil {
		b.WriteString(l.reader.state())
	}
	return b.String() + l.text
}

func (l *fakeLibrary) add(d direction) (*fakeClient, error) {
	if l.refuse != nil {
		return nil, l.refuse
	}
	c := &fakeClient{lib: l, d: d, number: 130 + len(l.clients)}
	l.clients = append(l.clients, c)
	return c, nil
}

func (l *fakeLibrary) newIn(string) (inClient, error) {
	c, err := l.add(inputs)
	if err != nil {
		return nil, err
	}
	return c, nil
}

func (l *fakeLibrary) newOut(string) (outClient, error) {
	c, err := l.add(outputs)
	if err != nil {
		return nil, err
	}
	return c, nil
}

// last is the object made last, which is that of the port opened last.
func (l *fakeLibrary) last() *fakeClient { return l.clients[len(l.clients)-1] }

func (c *fakeClient) did(format string, a ...any) { c.log = append(c.log, fmt.Sprintf(format, a...)) }

func (c *fakeClient) PortCount() (int, error) {
	if c.lib.broken > 0 {
		c.lib.broken--
		c.failed = errors.New("MidiInAlsa: it \x01broke\xff")
	}
	return len(c.lib.ports[c.d]), c.failed
}

func (c *fakeClient) PortName(i int) (string, error) {
	if i >= len(c.lib.ports[c.d]) {
		return "", c.failed
	}
	return c.lib.ports[c.d][i], c.failed
}

func (c *fakeClient) OpenPort(i int, name string) error {
	if c.lib.onOpen != nil {
		c.lib.onOpen(c)
	}
	c.did("open %d %s", i, name)
	if i >= len(c.lib.ports[c.d]) {
		c.failed = errors.New("the 'portNumber' argument is invalid")
	}
	return c.failed
}

func (c *fakeClient) OpenVirtualPort(name string) error {
	c.did("open virtual %s", name)
	return c.failed
}

func (c *fakeClient) IgnoreTypes(sysex, timing, sensing bool) error {
	c.did("ignore %v %v %v", sysex, timing, sensing)
	return c.failed
}

func (c *fakeClient) Listen(receive func(b []byte)) error {
	c.did("listen")
	c.hear = receive
	return c.failed
}

func (c *fakeClient) Shut() {
	if c.onShut != nil {
		c.onShut()
	}
	c.did("shut")
}

func (c *fakeClient) CancelCallback() error {
	c.did("cancel")
	return c.failed
}

func (c *fakeClient) Destroy() { c.did("destroy") }

func (c *fakeClient) SendMessage(b []byte) error {
	c.lib.kernel.Lock()
	defer c.lib.kernel.Unlock()
	c.sent = append(c.sent, slices.Clone(b))
	if c.lib.reader != nil {
		c.lib.reader.take(b)
	}
	return c.failed
}

// receiver is a program that reads its input pool at a steady speed. What does not
// fit is lost, and nobody is told.
type receiver struct {
	device bool    // it is a cable of the kernel's, whose buffer of size bytes is not shown
	size   float64 // cells
	speed  float64 // cells (or bytes) read in a second
	at     time.Time
	used   float64
	lost   int
}

func (r *receiver) advance() {
	now := time.Now()
	if !r.at.IsZero() {
		r.used = max(0, r.used-now.Sub(r.at).Seconds()*r.speed)
	}
	r.at = now
}

func (r *receiver) take(b []byte) {
	r.advance()
	cost := float64(cells(len(b)))
	if r.device {
		cost = float64(len(b))
	}
	switch {
	case len(b) == 0:
	case r.used+cost > r.size:
		r.lost++
	default:
		r.used += cost
	}
}

func (r *receiver) state() string {
	r.advance()
	if r.device {
		return "Client  20 : \"Cable\" [Kernel Legacy]\n  Port   0 : \"Cable MIDI 1\" (RWeX)\n"
	}
	return fmt.Sprintf("Client  20 : \"Sampler\" [User Legacy]\n  Port   0 : \"MIDI 1\" (-We-)\n"+
		"  Input pool :\n    Pool size          : %.0f\n    Cells in use       : %.0f\n", r.size, math.Ceil(r.used))
}
