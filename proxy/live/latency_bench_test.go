package live

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"swellbox/profiles"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports"
)

// Ports of a machine that takes no time: an output notes when a note's message reached
// it, and that is all.
type (
	stopwatch struct {
		begun time.Time
		ins   []func(b []byte)
		outs  []*lap
	}
	lap struct {
		watch   *stopwatch
		fedAt   [32][128]atomic.Int64 // by end or begin, channel and key: since begun, when the message came in; 0 when none is due
		took    []time.Duration
		arrived chan struct{} // one for each note's message, if there is anybody to wait for it
	}
	ear struct{}
)

func (s *stopwatch) Ports() ([]ports.Info, error) { return nil, nil }
func (s *stopwatch) Close() error                 { return nil }

func (s *stopwatch) OpenIn(_ string, _ bool, receive func([]byte)) (ports.In, error) {
	s.ins = append(s.ins, receive)
	return ear{}, nil
}

func (s *stopwatch) OpenOut(string, bool) (ports.Out, error) {
	o := &lap{watch: s, took: make([]time.Duration, 0, 1<<17), arrived: make(chan struct{}, 1)}
	s.outs = append(s.outs, o)
	return o, nil
}

func (ear) Name() string { return "in" }
func (ear) Close() error { return nil }

func (o *lap) Name() string                { return "out" }
func (o *lap) Close() error                { return nil }
func (o *lap) Drain(context.Context) error { return nil }

func (o *lap) Send(b []byte) error {
	if len(b) != 3 || b[0] >= 0xA0 {
		return nil
	}
	if fed := o.fedAt[b[0]&0x1F][b[1]].Swap(0); fed != 0 {
		o.took = append(o.took, time.Since(o.watch.begun)-time.Duration(fed))
		select {
		case o.arrived <- struct{}{}:
		default:
		}
	}
	return nil
}

// TrySend is the daemon's way to a port that never waits. The bare hand-over does not take it.
func (o *lap) TrySend(b []byte) (bool, error) { return true, o.Send(b) }

// fed notes that a note's message comes in now.
func (o *lap) fed(b []byte) { o.fedAt[b[0]&0x1F][b[1]].Store(int64(time.Since(o.watch.begun))) }

// tutti is 256 parts on 16 ports, of instruments that swell, decay and vibrate.
const tuttiPorts = 16

func tutti(t testing.TB) (*Daemon, *stopwatch) {
	t.Helper()
	instruments := []string{"violins", "cellos", "trumpet", "flute"}
	var seating strings.Builder
	seating.WriteString("swellbox: 1\nseats:\n")
	for i := range tuttiPorts * 16 {
		fmt.Fprintf(&seating, "  - {port: %d, channel: %d, profile: %s}\n", i/16+1, i%16+1, instruments[i%len(instruments)])
	}
	c := cast(t)
	var err error
	if c.Seating, err = profiles.ParseSeating("seating", []byte(seating.String())); err != nil {
		t.Fatal(err)
	}
	s := &stopwatch{begun: time.Now()}
	ports := make([]PortSpec, tuttiPorts)
	d, err := NewDaemon(Config{System: s, Cast: c, Inputs: ports, Outputs: ports, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	})
	return d, s
}

// BenchmarkLatency measures, in real time, how long a note's message takes from the
// call of an input's callback to the call of its output's Send, at 1,000 messages a
// second on 256 parts, each of which holds a note that swells and vibrates.
//
// It is measured in three ways in turn, in blocks of half a second, so that what else the
// machine does meets all alike:
//
//   - shaped: the daemon, all parts shaped;
//   - bare: the least that a proxy must do: the callback copies the message, hands
//     it to the goroutine that writes to the output (the daemon's own outlet, as a write
//     may block and a callback must not), and that goroutine sends it. No engine, no
//     desk, nothing moves;
//   - direct: the callback calls Send itself, which no proxy that must not block its
//     input can do; it shows what the measurement costs.
//
// Nothing sounds while bare and direct are measured, so that the engine does
// not slow down what it is compared with.
func BenchmarkLatency(b *testing.B) {
	const (
		blocks = 24
		block  = 500 // messages
		period = time.Millisecond
	)
	d, shaped := tutti(b)
	bare := &stopwatch{begun: shaped.begun}
	outlets := make([]*outlet, tuttiPorts)
	for i := range outlets {
		var err error
		if outlets[i], err = openOutlet(bare, PortSpec{Name: "out"}, 0); err != nil {
			b.Fatal(err)
		}
		defer outlets[i].close(context.Background())
	}
	direct := &stopwatch{begun: shaped.begun}
	for range tuttiPorts {
		if _, err := direct.OpenOut("", false); err != nil {
			b.Fatal(err)
		}
	}

	ways := []struct {
		name  string
		ports *stopwatch
		play  func(port int, msg []byte)
	}{
		{"shaped", shaped, func(port int, msg []byte) { shaped.ins[port](msg) }},
		{"bare", bare, func(port int, msg []byte) {
			e := message(uint16(port), msg)
			outlets[port].put(&e)
			outlets[port].flush()
		}},
		{"direct", direct, func(port int, msg []byte) {
			if err := direct.outs[port].Send(msg); err != nil {
				b.Error(err)
			}
		}},
	}
	msg := make([]byte, 3)
	run := func(way int, n int) {
		w := &ways[way]
		next := time.Now()
		for i := range n {
			part := i / 2 * 37 % 256
			msg[0], msg[1], msg[2] = 0x80|byte(part%16), byte(60+i/2%24), byte(50+i%60)
			if i%2 == 0 {
				msg[0] |= 0x10
			}
			w.ports.outs[part/16].fed(msg)
			w.play(part/16, msg)
			next = next.Add(period)
			time.Sleep(time.Until(next)) // a benchmark of music in its time
		}
	}
	hold := func() { // a note in each part, at different times, as they would be
		for part := range 256 {
			shaped.ins[part/16]([]byte{0x90 | byte(part%16), 48, 80})
			time.Sleep(100 * time.Microsecond) // a benchmark of music in its time
		}
	}
	for b.Loop() {
		for range blocks {
			hold()
			for way := range ways {
				run(way, block)
				if way == 0 {
					d.EndNotes()
					time.Sleep(50 * time.Millisecond) // so that the next way finds a machine at rest
				}
			}
		}
	}
	b.ReportMetric(0, "ns/op") // of no meaning here
	p99 := map[string]float64{}
	for _, w := range ways {
		var all []time.Duration
		for _, o := range w.ports.outs {
			all = append(all, o.took...)
		}
		if len(all) < blocks*block {
			b.Fatalf("%s: only %d of %d messages arrived", w.name, len(all), blocks*block)
		}
		slices.Sort(all)
		at := func(share float64) float64 { return float64(all[int(share*float64(len(all)-1))]) / 1e3 }
		p99[w.name] = at(0.99)
		b.ReportMetric(at(0.5), w.name+"-p50-µs")
		b.ReportMetric(at(0.99), w.name+"-p99-µs")
		b.ReportMetric(at(0.999), w.name+"-p99.9-µs")
		b.ReportMetric(at(1), w.name+"-max-µs")
	}
	b.ReportMetric(p99["shaped"]/p99["bare"], "p99-shaped/bare")
}

// Once warm, nothing is allocated on a message's way from the callback to Send, by the
// movement of the parts or by the sending.
func TestNothingIsAllocated(t *testing.T) {
	_, s := tutti(t)
	played := 0
	msg := make([]byte, 3) // as a driver's, it is used again and again
	play := func() {
		part, begins := played/2*37%256, played%2 == 0
		msg[0], msg[1], msg[2] = 0x80|byte(part%16), byte(60+played/2%24), 90
		if begins {
			msg[0] |= 0x10
		}
		o := s.outs[part/16]
		o.took = o.took[:0]
		o.fed(msg)
		s.ins[part/16](msg)
		<-o.arrived
		played++
	}
	for range 20_000 {
		play()
	}
	if n := testing.AllocsPerRun(5000, play); n != 0 {
		t.Errorf("%v allocations a message", n)
	}
}

func cast(t testing.TB) *perform.Cast {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	return &perform.Cast{Library: lib}
}
