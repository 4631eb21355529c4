package live_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/proxy/live"
	"swellbox/proxy/ports/portstub"
)

// setUp says something of every kind that a sampler must be told again.
func (r *rig) setUp() {
	for _, m := range [][]byte{
		{0xB0, 0, 1}, {0xB0, 32, 2}, {0xC0, 48},
		{0xB0, 101, 0}, {0xB0, 100, 0}, {0xB0, 6, 12}, {0xB0, 38, 0}, {0xB0, 101, 127}, {0xB0, 100, 127},
		{0xB0, 10, 30}, {0xE0, 0, 80}, {0xD0, 55}, {0xB5, 91, 40}, {0xCA, 7},
	} {
		r.feed(1, m...)
	}
}

// wantSetUp checks that messages bring a sampler that knows nothing to what
// setUp said, and do so before any note.
func wantSetUp(t *testing.T, got []portstub.Message) {
	t.Helper()
	for i, m := range got {
		if e := expr.Short(0, 0, m.Data...); e.IsNoteOn() {
			got = got[:i]
			break
		}
	}
	at := func(b ...byte) int {
		for i, m := range got {
			if bytes.Equal(m.Data, b) {
				return i
			}
		}
		t.Errorf("% X was not said before the first note", b)
		return -1
	}
	if bank, program, pan := at(0xB0, 0, 1), at(0xC0, 48), at(0xB0, 10, 30); bank > program || program > pan {
		t.Errorf("bank, program and pan come as number %d, %d and %d", bank, program, pan)
	}
	at(0xB0, 32, 2)
	if msb, lsb, data, none := at(0xB0, 101, 0), at(0xB0, 100, 0), at(0xB0, 6, 12), at(0xB0, 101, 127); msb > data || lsb > data || data > none {
		t.Errorf("the bend range is said in the wrong order: %d, %d, %d, %d", msb, lsb, data, none)
	}
	at(0xE0, 0, 80)
	at(0xD0, 55)
	at(0xB5, 91, 40)
	at(0xCA, 7)
}

// An output that vanishes in the middle of a note holds up nobody. When it is back it
// is told the present state, what changed in its absence included, before the next note.
func TestOutputVanishes(t *testing.T) {
	cable := errors.New("broken cable")
	ways := map[string]struct{ vanish, comeBack func(*portstub.System) }{
		"silently": {func(s *portstub.System) { s.Unplug(out(1)) }, func(s *portstub.System) { s.Plug(out(1), false, true) }},
		"with an error": {
			func(s *portstub.System) { s.FailSends(out(1), cable); s.Unplug(out(1)) },
			func(s *portstub.System) { s.FailSends(out(1), nil); s.Plug(out(1), false, true) },
		},
	}
	for name, way := range ways {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := start(t, 2, nil)
				r.setUp()
				r.feed(1, 0xB0, 10, 99)
				r.feed(1, 0x90, 60, 90)
				pass(750 * ms)
				way.vanish(r.sys)
				r.feed(1, 0x90, 64, 90)
				r.feed(1, 0xB0, 10, 30)
				pass(time.Second)
				r.feed(1, 0x80, 60, 64)
				begun := time.Now()
				r.feed(2, 0x90, 43, 90)
				r.feed(2, 0x80, 43, 64)
				if d := time.Since(begun); d != 0 {
					t.Errorf("playing took %v", d)
				}
				if got := r.heard(2); count(got, 0x90, 43) != 1 || count(got, 0x80, 43) != 1 {
					t.Errorf("the other output heard %v", got)
				}
				s := r.d.Status()
				if s.Outputs[0].Open || !s.Outputs[1].Open || s.Outputs[0].Dropped == 0 {
					t.Errorf("outputs %+v", s.Outputs)
				}
				wantContains(t, "warnings", strings.Join(s.Warnings, "\n"), `"out 1" is lost`)
				wantContains(t, "log", r.log.String(), "output lost", `"output":"out 1"`)

				r.sys.Forget(out(1))
				way.comeBack(r.sys)
				pass(500 * ms)
				r.feed(1, 0x90, 67, 90)
				got := r.heard(1)
				wantSetUp(t, got)
				if count(got, 0xB0, 123, 0) != 1 || count(got, 0x90, 67) != 1 {
					t.Errorf("back again, it heard %v", got)
				}
				r.feed(1, 0x80, 64, 64)
				r.feed(1, 0x80, 67, 64)
				if left := sounding(r.heard(1)); len(left) != 0 {
					t.Errorf("%v sound", left)
				}
				if s := r.d.Status(); !s.Outputs[0].Open || len(s.Warnings) != 0 || s.Parts[0].Sounding != 0 {
					t.Errorf("status %+v", s)
				}
				wantContains(t, "log", r.log.String(), "brought to the present state")
				if n := strings.Count(r.log.String(), "output lost"); n != 1 {
					t.Errorf("the loss is logged %d times:\n%s", n, r.log)
				}
			})
		})
	}
}

// An output that fails and is there again when it is next looked at is logged with
// its reason all the same, and told the state.
func TestOutputFailsForAMoment(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, nil)
		r.setUp()
		pass(100 * ms)
		r.sys.FailSends(out(1), errors.New("broken cable"))
		r.feed(1, 0x90, 60, 90)
		pass(ms)
		r.sys.FailSends(out(1), nil)
		r.sys.Forget(out(1))
		pass(500 * ms)
		r.feed(1, 0x90, 62, 90)
		wantSetUp(t, r.heard(1))
		wantContains(t, "log", r.log.String(), "broken cable", "brought to the present state")
	})
}

// Somebody new on a virtual port is told the state; somebody who leaves is no reason
// to say anything.
func TestNewcomer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, func(c *live.Config) { c.Outputs = []live.PortSpec{{Name: "ours", Virtual: true}} })
		r.setUp()
		pass(time.Second)
		for i, listeners := range []int{1, 1, 2, 1, 0} {
			r.sys.Forget("ours")
			r.sys.Listeners("ours", listeners)
			pass(500 * ms)
			got := r.sys.Sent("ours")
			if i == 0 || i == 2 {
				wantSetUp(t, got)
			} else if len(got) != 0 {
				t.Errorf("look %d, %d listeners: told %v", i, listeners, got)
			}
			if n := count(got, 0xB0, 123); n != 0 {
				t.Errorf("notes of who listened before were ended")
			}
		}
	})
}

// An input that is gone leaves no note and no pedal down, and is opened again.
func TestInputVanishes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 2, nil)
		r.feed(1, 0xB0, 64, 127)
		r.feed(1, 0x90, 60, 90)
		r.feed(1, 0x91, 55, 90)
		r.feed(2, 0x90, 43, 90)
		pass(200 * ms)
		r.sys.Unplug(in(1))
		pass(500 * ms)
		got := r.heard(1)
		if left := sounding(got); len(left) != 0 || count(got, 0x80, 60) != 1 || count(got, 0x81, 55) != 1 {
			t.Errorf("%v sound", left)
		}
		if v := last(got, 0, 64); v != 0 {
			t.Errorf("the pedal is left at %d", v)
		}
		if left := sounding(r.heard(2)); len(left) != 1 {
			t.Errorf("on the other port %v sound", left)
		}
		if s := r.d.Status(); s.Inputs[0].Open || !s.Inputs[1].Open {
			t.Errorf("inputs %+v", s.Inputs)
		}
		r.sys.Plug(in(1), true, false)
		pass(500 * ms)
		r.feed(1, 0x90, 62, 90)
		if got := r.heard(1); count(got, 0x90, 62) != 1 {
			t.Error("the input is not heard again")
		}
		wantContains(t, "log", r.log.String(), "input lost", "input is back", `"input":"in 1"`)
	})
}

// limit is how many messages may wait for an output.
const limit = 1 << 16

// An output that takes nothing holds up neither playing, nor the status, nor other
// outputs; past the limit it counts as lost, and recovers when it takes messages again.
func TestOutputHangs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 2, nil)
		r.setUp()
		pass(ms)
		release := r.sys.HoldSends(out(1))
		begun := time.Now()
		r.feed(1, 0x90, 60, 90)
		synctest.Wait() // this is in the sender's hands, the rest waits
		before := r.d.Status().Outputs[0].Messages
		for i := range limit - 100 {
			r.feed(1, 0xB0, 16, byte(i%128))
		}
		if d := time.Since(begun); d != 0 {
			t.Errorf("playing took %v", d)
		}
		if s := r.d.Status(); len(s.Warnings) != 0 {
			t.Errorf("lost before the limit: %v", s.Warnings)
		}
		for i := range 200 {
			r.feed(1, 0xB0, 16, byte(i%128))
		}
		pass(2 * time.Second)
		s := r.d.Status()
		wantContains(t, "warnings", strings.Join(s.Warnings, "\n"), `"out 1" is lost`, "too slowly")
		if o := s.Outputs[0]; o.Messages != before || o.Dropped < limit {
			t.Errorf("output %+v", o)
		}
		r.feed(2, 0x90, 43, 90)
		if count(r.heard(2), 0x90, 43) != 1 {
			t.Error("the other output is held up")
		}
		wantContains(t, "log", r.log.String(), "output lost", "too slowly")

		r.feed(1, 0x80, 60, 64) // dropped
		r.sys.Forget(out(1))
		release()
		pass(500 * ms)
		r.feed(1, 0x90, 62, 90)
		r.feed(1, 0x80, 62, 64)
		got := r.heard(1)
		i := 0
		for i < len(got) && !bytes.Equal(got[i].Data, []byte{0xB0, 123, 0}) {
			i++ // the send that hung
		}
		if i > 1 || i == len(got) {
			t.Fatalf("%d messages came before the notes were ended", i)
		}
		wantSetUp(t, got[i:])
		if count(got, 0x90, 62) != 1 || count(got, 0x80, 62) != 1 || len(r.d.Status().Warnings) != 0 {
			t.Errorf("it does not play again: %v", r.d.Status().Warnings)
		}
		if n := strings.Count(r.log.String(), "output lost"); n != 1 {
			t.Errorf("the loss is logged %d times:\n%s", n, r.log)
		}
	})
}

// A slow output gets everything in order, later.
func TestOutputIsSlow(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, nil)
		r.sys.SlowSends(out(1), ms)
		for i := range 300 {
			r.feed(1, 0xB9, 20, byte(i%128))
		}
		if d := time.Since(r.begun); d != 0 {
			t.Errorf("playing took %v", d)
		}
		pass(300 * ms)
		got := r.heard(1)
		if len(got) != 300 {
			t.Fatalf("%d messages went out, want 300", len(got))
		}
		for i, m := range got {
			if m.Data[2] != byte(i%128) || m.At.Sub(r.begun) != time.Duration(i+1)*ms {
				t.Fatalf("message %d is % X, at %v", i, m.Data, m.At.Sub(r.begun))
			}
		}
	})
}

// Outputs that hang do not keep a daemon from closing the others, nor, whatever they
// wait for, from ending in about a second.
func TestCloseAmongHangs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const ports = 4
		r := start(t, ports, nil)
		for i := 1; i <= ports; i++ {
			if i < ports {
				defer r.sys.HoldSends(out(i))()
			}
			r.feed(i, 0x90, 60, 90)
		}
		pass(1200 * ms) // the ports are looked at meanwhile
		begun := time.Now()
		err := r.d.Close()
		r.closed = true
		if err == nil {
			t.Fatal("Close says nothing")
		}
		wantContains(t, "Close", err.Error(), "output 1", "output 3", "too slowly")
		if strings.Contains(err.Error(), "output 4") {
			t.Errorf("Close: %v", err)
		}
		if d := time.Since(begun); d > 1100*ms {
			t.Errorf("Close took %v", d)
		}
		if left := sounding(r.heard(ports)); len(left) != 0 || count(r.heard(ports), 0x90) != 1 {
			t.Errorf("%v sound", left)
		}
		if err := r.sys.Close(); err != nil {
			t.Error(err)
		}
	})
}
