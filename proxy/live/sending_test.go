package live_test

import (
	"bytes"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/proxy/live"
)

// Whoever sends, who puts a message or the output's own goroutine, and whoever of them has to take it
// over from the other: what is heard is what was played, in its order.
func TestSendersTakeTurns(t *testing.T) {
	for _, waits := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			r := start(t, 1, nil)
			r.sys.Waits = waits
			var want [][]byte
			release := func() {}
			for i := range 2000 {
				switch i % 50 {
				case 10:
					release = r.sys.HoldSends(out(1))
				case 30:
					release()
				case 40:
					synctest.Wait()
				}
				m := []byte{0xB0 | byte(i%3), 20, byte(i % 128)}
				want = append(want, m)
				r.feed(1, m...)
			}
			got := r.heard(1)
			if len(got) != len(want) {
				t.Fatalf("ports wait %v: %d of %d messages were heard", waits, len(got), len(want))
			}
			for i := range want {
				if !bytes.Equal(got[i].Data, want[i]) {
					t.Fatalf("ports wait %v: message %d is % X, want % X", waits, i, got[i].Data, want[i])
				}
			}
		})
	}
}

// An output that leads over a cable is never sent more than that carries, however much is played; no
// note waits for what only moves, and all end.
func TestCable(t *testing.T) {
	for _, waits := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			r := start(t, 1, func(c *live.Config) { c.Speed = live.CableSpeed })
			r.sys.Waits = waits
			fed := map[byte]time.Time{}
			for i := range 3000 { // three seconds of some 9 kB each, and what the players add
				key := byte(40 + i/50)
				switch i % 50 {
				case 10:
					fed[key] = time.Now()
					r.feed(1, 0x90|byte(i/50%3), key, 80)
				case 40:
					r.feed(1, 0x80|byte(i/50%3), key, 64)
				default:
					r.feed(1, 0xB0|byte(3+i%13), byte(1+i%2*10), byte(i%128))
				}
				pass(ms)
			}
			pass(3 * time.Second)
			got := r.heard(1)
			bytes, from := 0, 0
			for i, m := range got {
				for bytes += len(m.Data); m.At.Sub(got[from].At) >= time.Second; from++ {
					bytes -= len(got[from].Data)
				}
				if bytes > live.CableSpeed {
					t.Fatalf("%d bytes in a second up to message %d", bytes, i)
				}
				if late := m.At.Sub(fed[m.Data[1]]); m.Data[0]&0xF0 == 0x90 && late > 20*ms {
					t.Errorf("key %d is heard after %v", m.Data[1], late)
				}
			}
			if n := count(got, 0x90) + count(got, 0x91) + count(got, 0x92); n != len(fed) || len(sounding(got)) > 0 {
				t.Errorf("%d of %d notes are heard, %d sound on", n, len(fed), len(sounding(got)))
			}
			if s := r.d.Status(); s.Outputs[0].Dropped > 0 {
				t.Errorf("%d messages are lost", s.Outputs[0].Dropped)
			}
		})
	}
}
