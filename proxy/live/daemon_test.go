package live_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports/portstub"
	"swellbox/proxy/study/demo"
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
	rendered, _, err := offline.Render(t.Context(), demo.Score(), seated(t, scoreSeating()), perform.Manner{})
	if err != nil {
		t.Fatal(err)
	}
	want, err := offline.NewTimeline(rendered, 0)
	if err != nil {
		t.Fatal(err)
	}
	score, err := offline.NewTimeline(demo.Score(), 0)
	if err != nil {
		t.Fatal(err)
	}
	synctest.Test(t, func(t *testing.T) {
		r := start(t, score.Ports, func(c *live.Config) { c.Cast = seated(t, scoreSeating()) })
		for _, e := range score.Events {
			if e.IsChannel() {
				time.Sleep(time.Until(r.begun.Add(e.At)))
				r.feed(int(e.Port)+1, e.Bytes()...)
			}
		}
		pass(time.Until(r.begun.Add(score.End)))
		r.d.EndNotes() // as a render does where the file ends
		sameAsRender(t, r, score, want, 0, 10_000)
	})
}

// sameAsRender compares what a daemon has played of a score, later by a lookahead, with
// what was rendered; both have so many messages at least.
func sameAsRender(t *testing.T, r *rig, score, want *offline.Timeline, lookahead time.Duration, least int) {
	t.Helper()
	total := 0
	for port := range score.Ports {
		var sent, render [16][]portstub.Message
		for _, m := range r.heard(port + 1) {
			m.At = m.At.Add(-lookahead)
			sent[m.Data[0]&0x0F] = append(sent[m.Data[0]&0x0F], m)
		}
		for _, e := range want.Events {
			if e.IsChannel() && int(e.Port) == port {
				render[e.Channel()] = append(render[e.Channel()], portstub.Message{At: r.begun.Add(e.At), Data: e.Bytes()})
			}
		}
		for channel := range render {
			total += len(render[channel])
			same(t, score.Tempo, r.begun, sent[channel], render[channel])
		}
	}
	if total < least {
		t.Errorf("only %d messages were compared", total)
	}
}

// same compares what one channel sent live with what was rendered for it. A file's
// times are whole ticks, so a time may differ by less than one, and what two tracks of a channel
// do within one tick stands in the order of the tracks.
func same(t *testing.T, tempo *smf.TempoMap, begun time.Time, live, render []portstub.Message) {
	t.Helper()
	if len(live) != len(render) {
		t.Errorf("%d messages live, %d rendered", len(live), len(render))
	}
	for i := range min(len(live), len(render)) {
		for j := i + 1; j < min(i+8, len(render)) && !bytes.Equal(live[i].Data, render[i].Data); j++ {
			if bytes.Equal(live[i].Data, render[j].Data) && tempo.Tick(render[j].At.Sub(begun))-tempo.Tick(render[i].At.Sub(begun)) <= 1 {
				render[i], render[j] = render[j], render[i]
			}
		}
		l, r := live[i], render[i]
		at, tick := l.At.Sub(begun), tempo.Tick(r.At.Sub(begun))
		if !bytes.Equal(l.Data, r.Data) || at != tempo.At(tick) && (at <= tempo.At(tick-1) || at >= tempo.At(tick+1)) {
			t.Fatalf("message %d: live % X at %v, rendered % X at %v", i, l.Data, at, r.Data, r.At.Sub(begun))
		}
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
				Name, Profile, Why, Origin, Side, Place string
				Players, Port, Channel                  int
				Notes, Passed, Sounding                 int
				PlayersBy                               string `json:"players_by"`
				Habits                                  map[string]int
				Fault                                   *string
			}
			Inputs, Outputs []struct {
				Name          string
				Virtual, Open bool
				Connected     *int
				Messages      int
			}
			Place    string `json:"place"`
			Warnings []string
			Position *struct{}

			Foreknowledge *struct {
				Grade, Transport, Why, Score string
				LookaheadMS                  float64 `json:"lookahead_ms"`
				Found                        bool
				Sure, Pace                   float64
			}
		}
		dec := json.NewDecoder(bytes.NewReader(b))
		dec.DisallowUnknownFields()
		if err := dec.Decode(&s); err != nil {
			t.Fatalf("%v: %s", err, b)
		}
		if s.NotesIn != 2 || s.NotesOut != 2 || s.Side != "shaped" || s.UptimeS != 1.5 || s.DelayMS == nil || *s.DelayMS != 0 || s.Warnings == nil || len(s.Warnings) != 0 || s.Position != nil {
			t.Errorf("status %s", b)
		}
		if f := s.Foreknowledge; f == nil || f.Grade != "none" || f.Transport != "stands" || f.Why != "single notes" || f.Score != "" || f.Found || f.LookaheadMS != 0 {
			t.Errorf("status %s", b)
		}
		if len(s.Parts) != 1 || len(s.Inputs) != 2 || len(s.Outputs) != 2 {
			t.Fatalf("status %s", b)
		}
		p := s.Parts[0]
		if p.Name != "First violins" || p.Profile != "violins" || p.Players != 12 || p.Port != 1 || p.Channel != 1 || p.Why != "the seating" || p.Notes != 2 || p.Sounding != 1 || p.Side != "shaped" || p.Habits["marks"] != 2 || p.Fault != nil {
			t.Errorf("part %+v", p)
		}
		if i, o := s.Inputs[1], s.Outputs[0]; i.Name != "in 2" || !i.Open || i.Messages != 1 || i.Connected == nil || *i.Connected != 1 || o.Name != "out 1" || o.Virtual || !o.Open || o.Messages != len(r.heard(1)) {
			t.Errorf("input %+v, output %+v", i, o)
		}
		wantContains(t, "log", r.log.String(), "First violins plays as violins: the seating")
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
