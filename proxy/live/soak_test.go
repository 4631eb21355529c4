package live_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"runtime"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rs/zerolog"

	"swellbox/expr"
	"swellbox/proxy/live"
)

// TestSoakDaemon plays random music through a daemon whose ports come and go, stall
// and drag, and which is switched, silenced and asked all the while. Each round is
// five minutes of false time; rounds go on for the time in SWELLBOX_SOAK. No note is
// left sounding, no pedal down, and memory does not grow.
func TestSoakDaemon(t *testing.T) {
	limit, err := time.ParseDuration(os.Getenv("SWELLBOX_SOAK"))
	if err != nil {
		t.Skip("SWELLBOX_SOAK says for how long, as in 10m; make soak sets it")
	}
	var first uint64
	seed := uint64(time.Now().UnixNano())
	for begun, round := time.Now(), 0; round < 4 || time.Since(begun) < limit; round++ {
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) { soak(t, seed, 5*time.Minute) })
		})
		if t.Failed() {
			return
		}
		seed++
		switch now := heap(); {
		case round == 1: // the first warms up
			first = now
		case round > 1 && now > first+(1<<20):
			t.Fatalf("after %d rounds %d bytes are in use, after two %d", round+1, now, first)
		}
	}
}

// heap is how much memory is in use.
func heap() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// ordeal is one round.
type ordeal struct {
	*rig
	random *rand.Rand
	held   [soakPorts][][2]byte       // by input: channel and key of what its player holds
	out    [soakPorts]map[[2]byte]int // by output: what sounds in its sampler
	pedals [soakPorts][16]byte        // by output and channel: where the pedal stands there
	mends  []func()                   // what brings the ports back to order
	heard  int
}

const soakPorts = 3

func soak(t *testing.T, seed uint64, length time.Duration) {
	o := &ordeal{random: rand.New(rand.NewPCG(seed, 1))}
	o.rig = start(t, soakPorts, func(c *live.Config) { c.Log = zerolog.Nop() })
	for i := range o.out {
		o.out[i] = map[[2]byte]int{}
	}
	var early uint64
	for time.Since(o.begun) < length {
		for range 200 {
			o.play(o.random.IntN(soakPorts))
			time.Sleep(time.Duration(o.random.IntN(8)) * ms) // in a bubble
		}
		o.disturb()
		o.listen()
		if early == 0 && time.Since(o.begun) > length/4 {
			early = heap()
		}
	}
	if now := heap(); now > early+(16<<20) { // two full queues of each output
		t.Errorf("%d bytes are in use, after a quarter of the time %d", now, early)
	}
	o.mend()
	for port := range soakPorts {
		for len(o.held[port]) > 0 {
			o.release(port)
		}
		for ch := range byte(16) {
			o.sys.Feed(in(port+1), 0xB0|ch, 64, 0)
		}
	}
	pass(time.Second)
	o.listen()
	s := o.d.Status()
	for _, p := range s.Parts {
		if p.Sounding != 0 || p.Fault != "" {
			t.Errorf("%s has %d notes out %s", p.Name, p.Sounding, p.Fault)
		}
	}
	for i, notes := range o.out {
		if len(notes) != 0 {
			t.Errorf("output %d: %v still sound", i+1, notes)
		}
		if o.pedals[i] != [16]byte{} {
			t.Errorf("output %d: the pedals are at %v", i+1, o.pedals[i])
		}
	}
	if len(s.Warnings) != 0 || s.NotesIn < 1000 || o.heard < 10_000 {
		t.Errorf("%d notes came in, %d messages were heard, warnings %q", s.NotesIn, o.heard, s.Warnings)
	}
	o.close()
}

// play feeds one message of the music to an input.
func (o *ordeal) play(port int) {
	switch kind := o.random.IntN(20); {
	case kind < 8 && len(o.held[port]) < 40:
		note := [2]byte{byte(o.random.IntN(4)), byte(36 + o.random.IntN(48))}
		if o.sys.Feed(in(port+1), 0x90|note[0], note[1], byte(1+o.random.IntN(127))) == 1 {
			o.held[port] = append(o.held[port], note)
		}
	case kind < 17:
		if len(o.held[port]) > 0 {
			o.release(port)
		}
	default:
		b := anyMessage(o.random, false)
		if o.random.IntN(10) == 0 {
			b = []byte{0xB0 | byte(o.random.IntN(4)), []byte{1, 7, 11, 64, 66, 121, 123}[o.random.IntN(7)], byte(o.random.IntN(128))}
		}
		o.sys.Feed(in(port+1), b...)
	}
}

// release ends one of the notes that an input's player holds.
func (o *ordeal) release(port int) {
	held := o.held[port]
	i := o.random.IntN(len(held))
	o.sys.Feed(in(port+1), 0x80|held[i][0], held[i][1], 64)
	held[i] = held[len(held)-1]
	o.held[port] = held[:len(held)-1]
}

// disturb does what players, cables and programs do, and mends some of it.
func (o *ordeal) disturb() {
	i := 1 + o.random.IntN(soakPorts)
	switch o.random.IntN(9) {
	case 0:
		o.d.Panic()
	case 1, 2:
		side := []expr.Side{expr.Raw, expr.Shaped}[o.random.IntN(2)]
		var names []string
		if parts := o.d.Status().Parts; len(parts) > 0 && o.random.IntN(2) == 0 {
			names = []string{parts[o.random.IntN(len(parts))].Name}
		}
		if err := o.d.Switch(side, names); err != nil {
			o.t.Errorf("Switch: %v", err)
		}
	case 3:
		o.sys.Unplug(out(i))
		o.mends = append(o.mends, func() { o.sys.Plug(out(i), false, true) })
	case 4:
		o.sys.Unplug(in(i))
		o.mends = append(o.mends, func() { o.sys.Plug(in(i), true, false) })
	case 5:
		o.mends = append(o.mends, o.sys.HoldSends(out(i)))
	case 6:
		o.sys.SlowSends(out(i), time.Duration(o.random.IntN(3000))*time.Microsecond)
		o.mends = append(o.mends, func() { o.sys.SlowSends(out(i), 0) })
	case 7:
		o.sys.FailSends(out(i), fmt.Errorf("a loose contact"))
		o.mends = append(o.mends, func() { o.sys.FailSends(out(i), nil) })
	default:
		o.mend()
	}
}

// mend brings all ports back, and waits until they are looked at.
func (o *ordeal) mend() {
	for _, m := range o.mends {
		m()
	}
	o.mends = nil
	pass(1100 * ms)
}

// listen keeps account of what sounds in the samplers, and forgets the messages.
func (o *ordeal) listen() {
	synctest.Wait()
	for i := range o.out {
		notes := o.out[i]
		for _, m := range o.sys.Sent(out(i + 1)) {
			o.heard++
			if len(m.Data) != 3 {
				continue
			}
			e := expr.Short(0, 0, m.Data...)
			key := [2]byte{m.Data[0] & 0x0F, m.Data[1]}
			switch {
			case e.IsNoteOn():
				notes[key]++
			case e.IsNoteOff() && notes[key] > 1:
				notes[key]--
			case e.IsNoteOff():
				delete(notes, key)
			case m.Data[0]&0xF0 == 0xB0 && m.Data[1] == 64:
				o.pedals[i][key[0]] = m.Data[2]
			case m.Data[0]&0xF0 == 0xB0 && m.Data[1] >= 120 && m.Data[1] != 121 && m.Data[1] != 122:
				for k := range notes {
					if k[0] == key[0] {
						delete(notes, k)
					}
				}
			}
		}
		o.sys.Forget(out(i + 1))
	}
}
