package portstub

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/proxy/ports"
)

var note = []byte{0x90, 60, 64}

// send fails the test if the output does not take the message.
func send(t *testing.T, o ports.Out, b []byte) {
	t.Helper()
	if err := o.Send(b); err != nil {
		t.Fatal(err)
	}
}

// connected is what the port says about its other end.
func connected(t *testing.T, port any) int {
	t.Helper()
	n, known := port.(ports.Watcher).Connected()
	if !known {
		t.Fatal("the stub does not know its connections")
	}
	return n
}

func TestConform(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &System{}
		s.Plug("Sampler:MIDI 1 128:0", false, true)
		s.PlugLoop("Midi Through:Port-0 14:0")
		Conform(t, Rig{System: s, In: "through", Out: "Midi Through:Port-0", Virtual: true})
	})
}

func TestFeed(t *testing.T) {
	s := &System{}
	var got []string
	in, err := s.OpenIn("Violins", true, func(b []byte) { got = append(got, fmt.Sprintf("%X", b)) })
	if err != nil {
		t.Fatal(err)
	}
	if n := s.Feed("Violins", 0x90, 60); n != 1 {
		t.Errorf("fed %d inputs, want 1", n)
	}
	s.Feed("Violins", 0xF8, 64, 62, 65)
	s.Feed("Violins", 0xF4)
	if want := []string{"F8", "903C40", "903E41"}; !slices.Equal(got, want) {
		t.Errorf("received %v, want %v", got, want)
	}
	if n := in.(ports.Lossy).Lost().Undefined; n != 1 {
		t.Errorf("%d undefined, want 1", n)
	}
	in.Close()
	if n := s.Feed("Violins", note...); n != 0 || len(got) != 3 {
		t.Errorf("fed %d closed inputs, %v", n, got)
	}
}

func TestUnplug(t *testing.T) {
	s := &System{}
	s.Plug("Sampler", true, true)
	out, err := s.OpenOut("Sampler", false)
	if err != nil {
		t.Fatal(err)
	}
	in, err := s.OpenIn("Sampler", false, func([]byte) {})
	if err != nil {
		t.Fatal(err)
	}
	send(t, out, note)
	if a, b := connected(t, in), connected(t, out); a != 1 || b != 1 {
		t.Errorf("connected %d and %d, want 1 and 1", a, b)
	}
	s.Unplug("Sampler")
	send(t, out, note) // nobody hears it, and nobody says so
	if a, b := connected(t, in), connected(t, out); a != 0 || b != 0 {
		t.Errorf("unplugged, connected %d and %d", a, b)
	}
	if n := s.Feed("Sampler", note...); n != 0 {
		t.Errorf("an unplugged port fed %d inputs", n)
	}
	if _, err := s.OpenOut("Sampler", false); !errors.Is(err, ports.ErrNoPort) {
		t.Errorf("opened an unplugged port: %v", err)
	}
	s.Plug("Sampler", true, true)
	send(t, out, note) // an old output stays cut off
	if n := len(s.Sent("Sampler")); n != 1 || connected(t, out) != 0 {
		t.Errorf("heard %d messages, want 1", n)
	}
	out.Close()
	if out, err = s.OpenOut("Sampler", false); err != nil {
		t.Fatal(err)
	}
	send(t, out, []byte{0xC0, 1})
	if sent := s.Sent("Sampler"); len(sent) != 2 || !bytes.Equal(sent[1].Data, []byte{0xC0, 1}) {
		t.Errorf("heard %v", sent)
	}
	s.Forget("Sampler")
	if n := len(s.Sent("Sampler")); n != 0 {
		t.Errorf("%d messages are not forgotten", n)
	}
	if err := s.Close(); err == nil {
		t.Error("the system closed over open ports")
	}
}

func TestListeners(t *testing.T) {
	s := &System{}
	out, err := s.OpenOut("shaped", true)
	if err != nil {
		t.Fatal(err)
	}
	s.Listeners("shaped", 2)
	if n := connected(t, out); n != 2 {
		t.Errorf("connected %d, want 2", n)
	}
}

func TestFailSends(t *testing.T) {
	s := &System{}
	s.Plug("Sampler", false, true)
	out, _ := s.OpenOut("Sampler", false)
	broken := errors.New("broken cable")
	s.FailSends("Sampler", broken)
	if err := out.Send(note); !errors.Is(err, broken) {
		t.Errorf("Send: %v", err)
	}
	s.FailSends("Sampler", nil)
	if err := out.Send(note); !errors.Is(err, broken) {
		t.Errorf("a lost output came back: %v", err)
	}
	if n := len(s.Sent("Sampler")); n != 0 {
		t.Errorf("%d messages were heard", n)
	}
}

func TestSlowSends(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &System{}
		s.Plug("Sampler", false, true)
		s.SlowSends("Sampler", 30*time.Millisecond)
		out, _ := s.OpenOut("Sampler", false)
		begun := time.Now()
		send(t, out, note)
		send(t, out, note)
		if sent := s.Sent("Sampler"); len(sent) != 2 || sent[1].At.Sub(begun) != 60*time.Millisecond {
			t.Errorf("heard %v, begun at %v", sent, begun)
		}
	})
}

func TestHoldSends(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &System{}
		s.Plug("Sampler", false, true)
		out, _ := s.OpenOut("Sampler", false)
		release := s.HoldSends("Sampler")
		done := make(chan error)
		go func() { done <- out.Send(note) }()
		synctest.Wait()
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		if err := out.Drain(ctx); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("Drain behind a held send: %v", err)
		}
		if n := len(s.Sent("Sampler")); n != 0 {
			t.Errorf("%d messages went past", n)
		}
		release()
		release()
		if err := <-done; err != nil {
			t.Error(err)
		}
		if err := out.Drain(t.Context()); err != nil {
			t.Errorf("Drain: %v", err)
		}
		s.HoldSends("Sampler")
		go func() { done <- out.Send(note) }()
		synctest.Wait()
		out.Close()
		if err := <-done; err == nil {
			t.Error("a held send ended well though the output was closed")
		}
		if n := len(s.Sent("Sampler")); n != 1 {
			t.Errorf("%d messages were heard, want 1", n)
		}
	})
}
