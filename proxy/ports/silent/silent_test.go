package silent_test

import (
	"errors"
	"testing"

	"swellbox/proxy/ports"
	"swellbox/proxy/ports/silent"
)

// A virtual output takes what is sent until it is closed; ports by name there are none.
func TestSilent(t *testing.T) {
	var s ports.System = silent.System{}
	out, err := s.OpenOut("out", true)
	if err != nil || out.Name() != "out" {
		t.Fatalf("%v, %v", out, err)
	}
	if err := errors.Join(out.Send([]byte{0x90, 60, 80}), out.Drain(t.Context())); err != nil {
		t.Error(err)
	}
	if out.Send(nil) == nil {
		t.Error("an empty message is taken")
	}
	if err := errors.Join(out.Close(), out.Close()); err != nil {
		t.Error(err)
	}
	if out.Send([]byte{0x80, 60, 0}) == nil {
		t.Error("a closed port takes messages")
	}
	if in, err := s.OpenIn("in", true, nil); err != nil || in.Close() != nil {
		t.Error(err)
	}
	if _, err := s.OpenOut("Sampler", false); !errors.Is(err, ports.ErrNoPort) {
		t.Errorf("a named port: %v", err)
	}
	if all, err := s.Ports(); len(all) != 0 || err != nil {
		t.Errorf("%v, %v", all, err)
	}
}
