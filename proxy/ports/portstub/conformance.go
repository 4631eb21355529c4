package portstub

import (
	"bytes"
	"context"
	"errors"
	"os"
	"sync/atomic"
	"testing"
	"time"

	"swellbox/proxy/ports"
)

// Rig is a system to check, with a way from one of its outputs back to one of its inputs.
type Rig struct {
	System ports.System
	// In and Out name an input and an output that are joined: what is sent to Out
	// arrives at In, and nothing else does. A real machine has such a pair in a
	// virtual cable, or in ALSA's "Midi Through".
	In, Out string
	// Virtual says that virtual ports can be made.
	Virtual bool
}

// arrival is how long a message may take before it counts as lost. A real system
// takes milliseconds at most; an emulated one may stall.
const arrival = 10 * time.Second

// Conform checks the contract of [ports.System] as far as one process can see it. It
// leaves the system closed. The numbers are those of the checks:
//
//  1. Ports lists both ends, each as what it is, and none without a name.
//  2. A name that no port has, and an empty one, are refused, the first as [ports.ErrNoPort].
//  3. What is sent arrives, whole, unchanged and in order, of every length and kind.
//  4. What is not one whole message is refused, and harms nothing.
//  5. Drain ends in time; with its time over before, it may say so, and nothing else.
//  6. After Close an input receives nothing; the port can be opened again.
//  7. Close twice is no error; Send after Close is one, [os.ErrClosed].
//  8. A virtual port opens under its name, is not listed, and needs a name.
//  9. After the system's Close nothing can be opened.
//  10. An output that is [ports.Prompt] either sends at once, in order with what was sent, or does nothing.
func Conform(t *testing.T, rig Rig) {
	t.Helper()
	s := rig.System
	checkList(t, rig) // 1, 2

	got := make(chan []byte, 1024)
	var running, overlapped atomic.Int32
	in := openIn(t, s, rig.In, false, func(b []byte) {
		if running.Add(1) != 1 {
			overlapped.Add(1)
		}
		got <- bytes.Clone(b)
		running.Add(-1)
	})
	out := openOut(t, s, rig.Out, false)
	for _, m := range messages() { // 3
		if err := out.Send(m); err != nil {
			t.Fatalf("3: Send of %d bytes (%X …): %v", len(m), m[0], err)
		}
		want(t, "3", got, m)
	}
	for i := range 256 { // in order, without waiting in between
		if err := out.Send([]byte{0xB0 | byte(i%16), byte(i / 2 % 120), byte(i % 128)}); err != nil {
			t.Fatalf("3: Send: %v", err)
		}
	}
	for i := range 256 {
		want(t, "3, in order", got, []byte{0xB0 | byte(i%16), byte(i / 2 % 120), byte(i % 128)})
	}
	if p, is := out.(ports.Prompt); is { // 10
		for i := range 256 {
			m := []byte{0xB0 | byte(i%16), byte(i / 2 % 120), byte(i % 128)}
			sent, err := p.TrySend(m)
			if err == nil && !sent {
				err = out.Send(m)
			}
			if err != nil {
				t.Fatalf("10: %v", err)
			}
		}
		for i := range 256 {
			want(t, "10, in order", got, []byte{0xB0 | byte(i%16), byte(i / 2 % 120), byte(i % 128)})
		}
	}
	if overlapped.Load() > 0 {
		t.Errorf("3: receive was called while it ran")
	}

	for _, m := range [][]byte{nil, {}, {0x40}, {0x90, 0x3C}, {0x90, 0x3C, 0x40, 0x40}, {0xF0, 1}, {0xF7}, {0xF4}, {0x90, 0x3C, 0xF8}} { // 4
		if err := out.Send(m); err == nil {
			t.Errorf("4: Send(% X) is no error", m)
		}
	}
	marker := []byte{0xC5, 0x11}
	if err := out.Send(marker); err != nil {
		t.Fatalf("4: Send after what was refused: %v", err)
	}
	want(t, "4", got, marker)

	ctx, cancel := context.WithTimeout(context.Background(), arrival) // 5
	if err := out.Drain(ctx); err != nil {
		t.Errorf("5: Drain: %v", err)
	}
	cancel()
	if err := out.Drain(ctx); err != nil && !errors.Is(err, context.Canceled) {
		t.Errorf("5: Drain with its time over: %v", err)
	}

	for range 2 { // 6, 7
		if err := in.Close(); err != nil {
			t.Errorf("7: Close of the input: %v", err)
		}
	}
	again := make(chan []byte, 16)
	second := openIn(t, s, rig.In, false, func(b []byte) { again <- bytes.Clone(b) })
	if err := out.Send(marker); err != nil {
		t.Errorf("6: Send: %v", err)
	}
	want(t, "6", again, marker)
	select {
	case b := <-got:
		t.Errorf("6: % X was received after Close", b)
	default:
	}
	for range 2 {
		if err := out.Close(); err != nil {
			t.Errorf("7: Close of the output: %v", err)
		}
	}
	if err := out.Send(marker); !errors.Is(err, os.ErrClosed) {
		t.Errorf("7: Send after Close: %v, want it to be os.ErrClosed", err)
	}
	if err := second.Close(); err != nil {
		t.Errorf("7: Close of the second input: %v", err)
	}

	checkVirtual(t, rig)              // 8
	if err := s.Close(); err != nil { // 9
		t.Errorf("9: Close: %v", err)
	}
	if o, err := s.OpenOut(rig.Out, false); err == nil {
		o.Close()
		t.Errorf("9: OpenOut after Close is no error")
	}
}

func checkList(t *testing.T, rig Rig) {
	t.Helper()
	listed, err := rig.System.Ports()
	if err != nil {
		t.Fatalf("1: Ports: %v", err)
	}
	for _, p := range listed {
		if p.Name == "" || !p.In && !p.Out {
			t.Errorf("1: a port that is nothing: %+v", p)
		}
	}
	if _, err := ports.Find(listed, rig.In, true); err != nil {
		t.Errorf("1: the input: %v", err)
	}
	if _, err := ports.Find(listed, rig.Out, false); err != nil {
		t.Errorf("1: the output: %v", err)
	}
	const nobody = "a port that no machine has"
	if _, err := rig.System.OpenIn(nobody, false, func([]byte) {}); !errors.Is(err, ports.ErrNoPort) {
		t.Errorf("2: OpenIn(%q): %v, want it to be ErrNoPort", nobody, err)
	}
	if _, err := rig.System.OpenOut(nobody, false); !errors.Is(err, ports.ErrNoPort) {
		t.Errorf("2: OpenOut(%q): %v, want it to be ErrNoPort", nobody, err)
	}
	for _, virtual := range []bool{false, true} {
		if _, err := rig.System.OpenOut("", virtual); err == nil || errors.Is(err, ports.ErrNoPort) {
			t.Errorf("2: OpenOut of an empty name, virtual %v: %v", virtual, err)
		}
	}
}

func checkVirtual(t *testing.T, rig Rig) {
	t.Helper()
	if !rig.Virtual {
		if _, err := rig.System.OpenOut("swellbox test", true); err == nil {
			t.Errorf("8: a virtual port where there are none")
		}
		return
	}
	const name = "swellbox test"
	in := openIn(t, rig.System, name, true, func([]byte) {})
	out := openOut(t, rig.System, name, true)
	if in.Name() != name || out.Name() != name {
		t.Errorf("8: the virtual ports have the names %q and %q", in.Name(), out.Name())
	}
	if err := out.Send([]byte{0x90, 60, 64}); err != nil {
		t.Errorf("8: Send to nobody: %v", err)
	}
	listed, err := rig.System.Ports()
	if err != nil {
		t.Errorf("8: Ports: %v", err)
	}
	for _, in := range []bool{true, false} {
		if i, err := ports.Find(listed, name, in); err == nil {
			t.Errorf("8: our own virtual port is listed: %+v", listed[i])
		}
	}
	for _, w := range []any{in, out} {
		if w, ok := w.(ports.Watcher); ok {
			if n, known := w.Connected(); known && n != 0 {
				t.Errorf("8: a new virtual port has %d connections", n)
			}
		}
	}
	if err := errors.Join(in.Close(), out.Close()); err != nil {
		t.Errorf("8: Close: %v", err)
	}
}

// messages is one of each kind, and system exclusive of lengths about those where
// drivers cut.
func messages() [][]byte {
	all := [][]byte{
		{0x90, 0, 127}, {0x80, 127, 0}, {0xA3, 60, 1}, {0xBF, 119, 127}, {0xC0, 0}, {0xD7, 127}, {0xE0, 0, 64},
		{0xF1, 0x35}, {0xF2, 1, 2}, {0xF3, 4}, {0xF6}, {0xF8}, {0xFA}, {0xFB}, {0xFC}, {0xFE},
	}
	for _, n := range []int{2, 3, 31, 32, 33, 255, 256, 257, 511, 512, 513, 1023, 1024, 1025, 4096, 20_000, 100_000} {
		m := make([]byte, n)
		for i := range m {
			m[i] = byte(i*7+n) & 0x7F
		}
		m[0], m[n-1] = 0xF0, 0xF7
		all = append(all, m)
	}
	return all
}

// want takes the next message, which must be the one given.
func want(t *testing.T, check string, got <-chan []byte, m []byte) {
	t.Helper()
	select {
	case b := <-got:
		if !bytes.Equal(b, m) {
			t.Fatalf("%s: received %d bytes (% X …), want %d (% X …)", check, len(b), b[:min(8, len(b))], len(m), m[:min(8, len(m))])
		}
	case <-time.After(arrival):
		t.Fatalf("%s: %d bytes (% X …) never arrived", check, len(m), m[:min(8, len(m))])
	}
}

func openIn(t *testing.T, s ports.System, name string, virtual bool, receive func(b []byte)) ports.In {
	t.Helper()
	in, err := s.OpenIn(name, virtual, receive)
	if err != nil {
		t.Fatalf("OpenIn(%q, virtual %v): %v", name, virtual, err)
	}
	return in
}

func openOut(t *testing.T, s ports.System, name string, virtual bool) ports.Out {
	t.Helper()
	out, err := s.OpenOut(name, virtual)
	if err != nil {
		t.Fatalf("OpenOut(%q, virtual %v): %v", name, virtual, err)
	}
	return out
}
