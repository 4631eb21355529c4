package proxy_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rs/zerolog"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy"
	"swellbox/proxy/demo"
	"swellbox/proxy/portstub"
	"swellbox/proxy/smf"
)

const ms = time.Millisecond

// rig is a daemon among ports in memory: "in 1" is heard on "out 1", and so on.
type rig struct {
	t      testing.TB
	sys    *portstub.System
	d      *proxy.Daemon
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

func seated(t testing.TB, seating string) *proxy.Cast {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	s, err := profiles.ParseSeating("seating", []byte(seating))
	if err != nil {
		t.Fatal(err)
	}
	return &proxy.Cast{Library: lib, Seating: s}
}

// start plugs ports in and starts a daemon, which the test's end closes. change
// alters what it is made with.
func start(t testing.TB, ports int, change func(*proxy.Config)) *rig {
	t.Helper()
	r := &rig{t: t, sys: &portstub.System{}, log: &journal{}}
	cfg := proxy.Config{System: r.sys, Foot: proxy.FootSwitch{Controller: -1}, Log: zerolog.New(r.log)}
	for i := 1; i <= ports; i++ {
		r.sys.Plug(in(i), true, false)
		r.sys.Plug(out(i), false, true)
		cfg.Inputs = append(cfg.Inputs, proxy.PortSpec{Name: in(i)})
		cfg.Outputs = append(cfg.Outputs, proxy.PortSpec{Name: out(i)})
	}
	if change != nil {
		change(&cfg)
	}
	if cfg.Cast == nil {
		cfg.Cast = seated(t, seats)
	}
	var err error
	if r.d, err = proxy.NewDaemon(cfg); err != nil {
		t.Fatal(err)
	}
	r.begun = time.Now()
	t.Cleanup(func() {
		if !r.closed {
			r.close()
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

// pass lets time go by.
func pass(d time.Duration) {
	time.Sleep(d)
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

// scoreSeating seats the built-in score by address, as a live run knows no track names.
func scoreSeating() string {
	var b strings.Builder
	b.WriteString("swellbox: 1\nseats:\n")
	for _, p := range demo.Parts() {
		name, _ := profiles.Guess(profiles.Hint{Track: p.Name, Program: p.Program + 1, HasProgram: true})
		fmt.Fprintf(&b, "  - {part: %q, port: %d, channel: %d, profile: %s, players: %d}\n", p.Name, p.Port+1, p.Channel+1, name, p.Players)
	}
	return b.String()
}

// A live run of a file and a render of it are the same performance, to the tick.
func TestLiveIsRender(t *testing.T) {
	rendered, _, err := proxy.Render(demo.Score(), seated(t, scoreSeating()))
	if err != nil {
		t.Fatal(err)
	}
	want, err := proxy.NewTimeline(rendered, 0)
	if err != nil {
		t.Fatal(err)
	}
	score, err := proxy.NewTimeline(demo.Score(), 0)
	if err != nil {
		t.Fatal(err)
	}
	synctest.Test(t, func(t *testing.T) {
		r := start(t, score.Ports, func(c *proxy.Config) { c.Cast = seated(t, scoreSeating()) })
		for _, e := range score.Events {
			if e.IsChannel() {
				time.Sleep(time.Until(r.begun.Add(e.At)))
				r.feed(int(e.Port)+1, e.Bytes()...)
			}
		}
		pass(time.Until(r.begun.Add(score.End)))
		total := 0
		for port := range score.Ports {
			var live, render [16][]portstub.Message
			for _, m := range r.heard(port + 1) {
				live[m.Data[0]&0x0F] = append(live[m.Data[0]&0x0F], m)
			}
			for _, e := range want.Events {
				if e.IsChannel() && int(e.Port) == port {
					render[e.Channel()] = append(render[e.Channel()], portstub.Message{At: r.begun.Add(e.At), Data: e.Bytes()})
				}
			}
			for channel := range render {
				total += len(render[channel])
				same(t, score.Tempo, r.begun, live[channel], render[channel])
			}
		}
		if total < 10_000 {
			t.Errorf("only %d messages were compared", total)
		}
	})
}

// same compares what one channel sent live with what was rendered for it. A file's
// times are whole ticks, so a time may differ by less than one.
func same(t *testing.T, tempo *smf.TempoMap, begun time.Time, live, render []portstub.Message) {
	t.Helper()
	if len(live) != len(render) {
		t.Errorf("%d messages live, %d rendered", len(live), len(render))
	}
	for i := range min(len(live), len(render)) {
		l, r := live[i], render[i]
		at, tick := l.At.Sub(begun), tempo.Tick(r.At.Sub(begun))
		if !bytes.Equal(l.Data, r.Data) || at != tempo.At(tick) && (at <= tempo.At(tick-1) || at >= tempo.At(tick+1)) {
			t.Fatalf("message %d: live % X at %v, rendered % X at %v", i, l.Data, at, r.Data, r.At.Sub(begun))
		}
	}
}

// A shutdown in the middle of a chord with the pedal down ends each note once, lifts the
// pedal, closes the ports and takes about a second at most, whatever an output does.
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
		cfg := proxy.Config{
			System: sys, Cast: seated(t, seats), Foot: proxy.FootSwitch{Controller: -1},
			Inputs:  []proxy.PortSpec{{Name: "in 1"}, {Name: "in 2"}},
			Outputs: []proxy.PortSpec{{Name: "out 1"}, {Name: "a part of it", Virtual: true}},
		}
		_, err := proxy.NewDaemon(cfg)
		if err == nil {
			t.Fatal("started without its second input")
		}
		wantContains(t, "error", err.Error(), "input 2", "in 2")
		cfg.Outputs = cfg.Outputs[:1]
		if _, err = proxy.NewDaemon(cfg); err == nil {
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

// Status says what is played; scripts rely on the names of its fields.
func TestStatus(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 2, nil)
		r.feed(1, 0x90, 67, 90)
		r.feed(1, 0x90, 71, 90)
		r.feed(1, 0x80, 71, 64)
		r.feed(2, 0xF8)
		pass(1500 * ms)
		b, err := json.Marshal(r.d.Status())
		if err != nil {
			t.Fatal(err)
		}
		var s struct {
			NotesIn  int     `json:"notes_in"`
			NotesOut int     `json:"notes_out"`
			Side     string  `json:"side"`
			DelayMS  *int    `json:"delay_ms"`
			UptimeS  float64 `json:"uptime_s"`
			Parts    []struct {
				Name, Profile, Why, Side string
				Players, Port, Channel   int
				Notes, Sounding          int
				Rules                    map[string]int
				Fault                    *string
			}
			Inputs, Outputs []struct {
				Name          string
				Virtual, Open bool
				Connected     *int
				Messages      int
			}
			Warnings []string
			Position *struct{}
		}
		dec := json.NewDecoder(bytes.NewReader(b))
		dec.DisallowUnknownFields()
		if err := dec.Decode(&s); err != nil {
			t.Fatalf("%v: %s", err, b)
		}
		if s.NotesIn != 2 || s.NotesOut != 2 || s.Side != "shaped" || s.UptimeS != 1.5 || s.DelayMS == nil || *s.DelayMS != 0 || s.Warnings == nil || len(s.Warnings) != 0 || s.Position != nil {
			t.Errorf("status %s", b)
		}
		if len(s.Parts) != 1 || len(s.Inputs) != 2 || len(s.Outputs) != 2 {
			t.Fatalf("status %s", b)
		}
		p := s.Parts[0]
		if p.Name != "First violins" || p.Profile != "violins" || p.Players != 12 || p.Port != 1 || p.Channel != 1 || p.Why != "the seating" || p.Notes != 2 || p.Sounding != 1 || p.Side != "shaped" || p.Rules["expression"] != 2 || p.Fault != nil {
			t.Errorf("part %+v", p)
		}
		if i, o := s.Inputs[1], s.Outputs[0]; i.Name != "in 2" || !i.Open || i.Messages != 1 || i.Connected == nil || *i.Connected != 1 || o.Name != "out 1" || o.Virtual || !o.Open || o.Messages != len(r.heard(1)) {
			t.Errorf("input %+v, output %+v", i, o)
		}
		wantContains(t, "log", r.log.String(), "First violins plays as violins: the seating")
	})
}

// faulty is a rule that fails on one key; unnamed, it fails to say its name as well,
// with which the engine itself fails.
type faulty struct {
	key     uint8
	unnamed *bool
}

func (f faulty) Name() string {
	if f.unnamed != nil && *f.unnamed {
		panic("it has no name")
	}
	return "faulty"
}

func (f faulty) Shape(n *expr.Note, g *expr.Gesture) bool {
	if n.Key == f.key {
		if f.unnamed != nil {
			*f.unnamed = true
		}
		panic("a wrong turn")
	}
	g.LevelDB -= 3
	return true
}

// A rule that fails costs its part the shaping and nobody anything else.
func TestRuleFails(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, func(c *proxy.Config) {
			c.Rules = append(expr.StandardRules(), faulty{key: 66})
		})
		r.feed(1, 0x91, 50, 80)
		r.feed(1, 0x90, 64, 80)
		r.feed(1, 0x90, 66, 81) // fails
		r.feed(1, 0x90, 67, 82)
		pass(time.Second)
		for _, key := range []byte{64, 66, 67} {
			r.feed(1, 0x80, key, 64)
		}
		r.feed(1, 0x81, 50, 64)
		r.feed(1, 0x91, 52, 80)
		got := r.heard(1)
		if count(got, 0x90, 66, 81) != 1 || count(got, 0x90, 67, 82) != 1 {
			t.Errorf("the part does not play raw: %v", got)
		}
		if left := sounding(got); len(left) != 1 || left[[2]byte{1, 52}] != 1 {
			t.Errorf("%v sound", left)
		}
		s := r.d.Status()
		if len(s.Parts) != 2 {
			t.Fatalf("parts %+v", s.Parts)
		}
		violas, violins := s.Parts[0], s.Parts[1]
		wantContains(t, "fault", violins.Fault, "faulty", "key 66", "a wrong turn", "raw")
		wantContains(t, "warnings", strings.Join(s.Warnings, "\n"), "First violins", "a wrong turn")
		if violas.Fault != "" || violas.Rules["faulty"] != 2 || violins.Rules["faulty"] != 1 {
			t.Errorf("parts %+v", s.Parts)
		}
		pass(2 * time.Second)
		log := r.log.String()
		wantContains(t, "log", log, `"level":"error"`, "First violins", "a wrong turn", "part plays raw")
		if n := strings.Count(log, "a wrong turn"); n != 1 {
			t.Errorf("the log says it %d times:\n%s", n, log)
		}
	})
}

// An engine that fails is bypassed: messages go through, notes that sounded keep
// their ends, levels go back, Close works.
func TestEngineFails(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		unnamed := false
		r := start(t, 2, func(c *proxy.Config) {
			c.Rules = append(expr.StandardRules(), faulty{key: 66, unnamed: &unnamed})
		})
		r.feed(1, 0xB0, 11, 90)
		r.feed(1, 0x90, 64, 80)
		r.feed(1, 0x91, 50, 80)
		r.feed(2, 0x90, 40, 80)
		pass(time.Second)
		r.feed(1, 0x90, 66, 81) // fails
		r.feed(1, 0x90, 67, 82)
		r.feed(1, sysex(2000)...)
		r.feed(1, 0x80, 64, 64)
		r.feed(1, 0x80, 66, 64)
		pass(time.Second)
		got := r.heard(1)
		if count(got, 0x90, 66, 81) != 1 || count(got, 0x90, 67, 82) != 1 || count(got, 0xF0) != 1 {
			t.Errorf("not all goes through")
		}
		if left := sounding(got); len(left) != 2 || left[[2]byte{0, 67}] != 1 || left[[2]byte{1, 50}] != 1 {
			t.Errorf("%v sound", left)
		}
		if v := last(got, 0, 11); v != 90 {
			t.Errorf("expression is left at %d, want 90 as it came in", v)
		}
		s := r.d.Status()
		wantContains(t, "warnings", strings.Join(s.Warnings, "\n"), "engine failed", "it has no name", "restart")
		if s.Side != "raw" {
			t.Errorf("side %q", s.Side)
		}
		if err := r.d.Switch(expr.Shaped, nil); err == nil || r.d.Status().Side != "raw" {
			t.Errorf("switched to shaped without an engine: %v", err)
		}
		pass(time.Second)
		wantContains(t, "log", r.log.String(), `"level":"error"`, "it has no name", "playing raw")
		r.close()
		for port := 1; port <= 2; port++ {
			if left := sounding(r.heard(port)); len(left) != 0 {
				t.Errorf("port %d: %v sound after Close", port, left)
			}
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
