package live_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/proxy/live"
	"swellbox/proxy/ports/portstub"
)

// anyMessage is one message of any kind but a program change, on a channel that has a part or not.
func anyMessage(random *rand.Rand, notes bool) []byte {
	channel, a, b := byte(random.IntN(16)), byte(random.IntN(128)), byte(random.IntN(128))
	switch kind := random.IntN(14); {
	case kind == 0 && notes:
		return []byte{0x90 | channel, a, b}
	case kind == 1 && notes:
		return []byte{0x80 | channel, a, b}
	case kind <= 3:
		return []byte{0xB0 | channel, byte(12 + random.IntN(20)), b}
	case kind == 4:
		return []byte{0xA0 | channel, a, b}
	case kind == 5:
		return []byte{0xD0 | channel, a}
	case kind == 6:
		return []byte{0xE0 | channel, a, b}
	case kind == 7:
		return sysex([]int{2, 3, 4, 700}[random.IntN(4)])
	case kind == 8:
		return []byte{0xF2, a, b}
	case kind == 9:
		return []byte{0xF3, a}
	case kind == 10:
		return []byte{0xF1, a}
	}
	return []byte{[]byte{0xF8, 0xFA, 0xFB, 0xFC, 0xFE, 0xF6, 0xFF}[random.IntN(7)]}
}

// All that comes in goes out of the port of its number, byte for byte and in order:
// all messages on the raw side, all but notes and what a profile moves on the shaped one.
func TestEveryMessageSurvives(t *testing.T) {
	const ports = 3
	for _, side := range []expr.Side{expr.Raw, expr.Shaped} {
		t.Run(side.String(), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := start(t, ports, nil)
				if err := r.d.Switch(side, nil); err != nil {
					t.Fatal(err)
				}
				random := rand.New(rand.NewPCG(1, 2))
				var want [ports][][]byte
				put := func(port int, b []byte) {
					r.feed(port+1, b...)
					want[port] = append(want[port], b)
				}
				for i := range 2000 {
					switch port := random.IntN(ports); {
					case i%500 == 499:
						put(port, sysex(100_000))
					case i%20 == 0: // this seats the channel
						put(port, []byte{0xC0 | byte(random.IntN(16)), byte(random.IntN(128))})
					default:
						put(port, anyMessage(random, side == expr.Raw))
					}
					if i%7 == 0 {
						pass(time.Duration(random.IntN(9)) * ms)
					}
				}
				if r.d.Status().Parts[0].Name == "" {
					t.Error("nobody was seated")
				}
				for port := range ports {
					got := r.heard(port + 1)
					if len(got) != len(want[port]) {
						t.Fatalf("port %d: %d messages went out, want %d", port+1, len(got), len(want[port]))
					}
					for i := range got {
						if !bytes.Equal(got[i].Data, want[port][i]) {
							t.Fatalf("port %d, message %d: % .12X, want % .12X", port+1, i, got[i].Data, want[port][i])
						}
					}
				}
			})
		})
	}
}

// A shutdown in the middle of a chord with the pedal down ends each note once, lifts the
// pedal, gives expression back, closes the ports and takes about a second at most, whatever an output does.
func TestCloseInMidChord(t *testing.T) {
	for _, hang := range []bool{false, true} {
		t.Run(fmt.Sprintf("hang %v", hang), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := start(t, 2, nil)
				if hang {
					defer r.sys.HoldSends(out(1))()
				}
				for port := 1; port <= 2; port++ {
					r.feed(port, 0xB0, 64, 127)
					r.feed(port, 0xB0, 11, 120)
					for _, key := range []byte{48, 52, 55, 60} {
						r.feed(port, 0x90, key, 90)
					}
					r.feed(port, 0x80, 48, 64) // the pedal holds it
				}
				pass(300 * ms)
				begun := time.Now()
				err := r.d.Close()
				r.closed = true
				if d := time.Since(begun); d > 1100*ms {
					t.Errorf("Close took %v", d)
				}
				if hang != (err != nil) {
					t.Errorf("Close: %v", err)
				}
				if err := r.sys.Close(); err != nil {
					t.Error(err)
				}
				got := r.heard(2)
				if on, off := count(got, 0x90), count(got, 0x80); on != 4 || off != 4 {
					t.Errorf("%d notes have %d ends, want 4 and 4", on, off)
				}
				if v := last(got, 0, 64); v != 0 {
					t.Errorf("the pedal is left at %d", v)
				}
				if v := last(got, 0, 11); v != 120 {
					t.Errorf("expression is left at %d, want 120 as it came in", v)
				}
			})
		})
	}
}

// Nothing is left behind by a daemon that cannot open all its ports.
func TestStartFails(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		sys := &portstub.System{}
		sys.Plug("in 1", true, false)
		sys.Plug("out 1", false, true)
		cfg := live.Config{
			System: sys, Cast: seated(t, seats),
			Inputs:  []live.PortSpec{{Name: "in 1"}, {Name: "in 2"}},
			Outputs: []live.PortSpec{{Name: "out 1"}, {Name: "a part of it", Virtual: true}},
		}
		_, err := live.NewDaemon(cfg)
		if err == nil {
			t.Fatal("started without its second input")
		}
		wantContains(t, "error", err.Error(), "input 2", "in 2")
		cfg.Outputs = cfg.Outputs[:1]
		if _, err = live.NewDaemon(cfg); err == nil {
			t.Error("started with more inputs than outputs")
		}
		if err := sys.Close(); err != nil {
			t.Error(err)
		}
	})
}

// The panic command silences every output by every means, and playing goes on after it.
func TestPanic(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 2, nil)
		r.feed(1, 0xB1, 64, 127)
		r.feed(1, 0x91, 60, 100)
		r.feed(2, 0x90, 43, 100)
		pass(200 * ms)
		r.d.Panic()
		for port := 1; port <= 2; port++ {
			got := r.heard(port)
			if left := sounding(got); len(left) > 0 {
				t.Errorf("port %d: %v still sound", port, left)
			}
			for ch := range byte(16) {
				if n := count(got, 0xB0|ch, 120, 0) + count(got, 0xB0|ch, 123, 0) + count(got, 0xB0|ch, 64, 0); n != 3 {
					t.Errorf("port %d channel %d: %d of sound off, notes off and pedal up, want 3", port, ch+1, n)
				}
			}
		}
		r.sys.Forget(out(1))
		r.feed(1, 0x91, 62, 100)
		r.feed(1, 0x81, 62, 64)
		if got := r.heard(1); count(got, 0x91, 62) != 1 || count(got, 0x81, 62) != 1 {
			t.Errorf("after a panic the next note is %v", got)
		}
	})
}

// Everything at once, for the race detector, and every note has its end.
func TestAllAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const ports, notes = 4, 300
		r := start(t, ports, nil)
		var crowd sync.WaitGroup
		for port := 1; port <= ports; port++ {
			crowd.Go(func() {
				random := rand.New(rand.NewPCG(3, uint64(port)))
				for range notes {
					ch, key := byte(random.IntN(4)), byte(40+random.IntN(40))
					r.sys.Feed(in(port), 0x90|ch, key, 80)
					time.Sleep(time.Duration(random.IntN(20)) * ms)
					r.sys.Feed(in(port), 0x80|ch, key, 64)
				}
			})
		}
		crowd.Go(func() {
			for i := range 200 {
				if err := r.d.Switch([]expr.Side{expr.Raw, expr.Shaped}[i%2], nil); err != nil {
					t.Error(err)
				}
				time.Sleep(7 * ms)
			}
		})
		for range 3 {
			crowd.Go(func() {
				for range 300 {
					if s := r.d.Status(); len(s.Outputs) != ports {
						t.Errorf("status %+v", s)
					}
					time.Sleep(5 * ms)
				}
			})
		}
		crowd.Go(func() {
			for range 20 {
				time.Sleep(90 * ms)
				r.d.Panic()
			}
		})
		crowd.Wait()
		r.close()
		for port := 1; port <= ports; port++ {
			got := r.heard(port)
			if left := sounding(got); len(left) != 0 {
				t.Errorf("port %d: %v sound", port, left)
			}
			if n := count(got, 0x90) + count(got, 0x91) + count(got, 0x92) + count(got, 0x93); n != notes {
				t.Errorf("port %d: %d notes went out, want %d", port, n, notes)
			}
		}
	})
}
