package live_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rs/zerolog"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports/portstub"
)

const ms = time.Millisecond

// rig is a daemon among ports in memory: "in 1" is heard on "out 1", and so on.
type rig struct {
	t      testing.TB
	sys    *portstub.System
	d      *live.Daemon
	log    *journal
	begun  time.Time
	closed bool
}

// journal is a log that may be read while it is written.
type journal struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (j *journal) Write(p []byte) (int, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.b.Write(p)
}

// String is all that was logged.
func (j *journal) String() string {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.b.String()
}

// Seats of most tests: two string parts and a brass part on the first port, one on the second.
const seats = `
swellbox: 1
seats:
  - {part: First violins, port: 1, channel: 1, profile: violins}
  - {part: Violas, port: 1, channel: 2, profile: violas}
  - {part: Trumpet, port: 1, channel: 3, profile: trumpet}
  - {part: Cellos, port: 2, channel: 1, profile: cellos}
`

func seated(t testing.TB, seating string) *perform.Cast {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	s, err := profiles.ParseSeating("seating", []byte(seating))
	if err != nil {
		t.Fatal(err)
	}
	return &perform.Cast{Library: lib, Seating: s}
}

// start plugs ports in and starts a daemon, which the test's end closes. change
// alters what it is made with.
func start(t testing.TB, ports int, change func(*live.Config)) *rig {
	t.Helper()
	r := &rig{t: t, sys: &portstub.System{}, log: &journal{}}
	cfg := live.Config{System: r.sys, Log: zerolog.New(r.log)}
	for i := 1; i <= ports; i++ {
		r.sys.Plug(in(i), true, false)
		r.sys.Plug(out(i), false, true)
		cfg.Inputs = append(cfg.Inputs, live.PortSpec{Name: in(i)})
		cfg.Outputs = append(cfg.Outputs, live.PortSpec{Name: out(i)})
	}
	if change != nil {
		change(&cfg)
	}
	if cfg.Cast == nil {
		cfg.Cast = seated(t, seats)
	}
	var err error
	if r.d, err = live.NewDaemon(cfg); err != nil {
		t.Fatal(err)
	}
	r.begun = time.Now()
	t.Cleanup(func() {
		if !r.closed {
			r.close()
		}
		if cfg.Manner.Trial == nil && cfg.Habits == nil { // nothing is to fail, and what does must not be hidden
			for k := range expr.OfAll + 1 {
				if words, _, _ := strings.Cut(k.Loss("").Error(), ":"); strings.Contains(r.log.String(), words) {
					t.Errorf("something failed:\n%s", r.log)
				}
			}
		}
	})
	return r
}

func in(i int) string  { return fmt.Sprintf("in %d", i) }
func out(i int) string { return fmt.Sprintf("out %d", i) }

// close closes the daemon, which must leave no port open.
func (r *rig) close() {
	r.t.Helper()
	r.closed = true
	if err := r.d.Close(); err != nil {
		r.t.Errorf("Close: %v", err)
	}
	if err := r.sys.Close(); err != nil {
		r.t.Errorf("after Close: %v", err)
	}
}

// feed lets a message arrive at input i.
func (r *rig) feed(i int, b ...byte) {
	r.t.Helper()
	if n := r.sys.Feed(in(i), b...); n != 1 {
		r.t.Fatalf("% X was received %d times", b[:min(3, len(b))], n)
	}
}

// heard is what output i has sent so far, when all is still.
func (r *rig) heard(i int) []portstub.Message {
	synctest.Wait()
	return r.sys.Sent(out(i))
}

// pass lets time go by, in a bubble.
func pass(d time.Duration) {
	time.Sleep(d) // in a bubble
	synctest.Wait()
}

// sounding is how often each note was begun and not ended, by status and key; a note-off
// that ends nothing is not counted.
func sounding(msgs []portstub.Message) map[[2]byte]int {
	held := map[[2]byte]int{}
	for _, m := range msgs {
		if len(m.Data) != 3 {
			continue
		}
		e := expr.Short(0, 0, m.Data...)
		key := [2]byte{m.Data[0] & 0x0F, m.Data[1]}
		switch {
		case e.IsNoteOn():
			held[key]++
		case e.IsNoteOff() && held[key] > 1:
			held[key]--
		case e.IsNoteOff():
			delete(held, key)
		}
	}
	return held
}

// count is how many messages begin with these bytes.
func count(msgs []portstub.Message, prefix ...byte) int {
	n := 0
	for _, m := range msgs {
		if bytes.HasPrefix(m.Data, prefix) {
			n++
		}
	}
	return n
}

// last is the latest value of a controller, and -1 if there is none.
func last(msgs []portstub.Message, channel, controller byte) int {
	for _, m := range slices.Backward(msgs) {
		if bytes.HasPrefix(m.Data, []byte{0xB0 | channel, controller}) {
			return int(m.Data[2])
		}
	}
	return -1
}

func wantContains(t testing.TB, what, got string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(got, p) {
			t.Errorf("%s: %q is not in it:\n%s", what, p, got)
		}
	}
}

func sysex(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(i*5+n) & 0x7F
	}
	b[0], b[n-1] = 0xF0, 0xF7
	return b
}

// rendered is a file, and what becomes of it in a render.
func rendered(t testing.TB, f *smf.File, manner perform.Manner) (file, render *offline.Timeline) {
	t.Helper()
	out, _, err := offline.Render(t.Context(), f, seated(t, scoreSeating()), manner)
	if err != nil {
		t.Fatal(err)
	}
	if render, err = offline.NewTimeline(out, 0); err != nil {
		t.Fatal(err)
	}
	if file, err = offline.NewTimeline(f, 0); err != nil {
		t.Fatal(err)
	}
	return file, render
}
