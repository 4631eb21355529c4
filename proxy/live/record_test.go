package live_test

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/formats/recording"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports/portstub"
	"swellbox/proxy/study/demo"
)

// recorded starts a daemon that is recorded. The file is whole when the daemon and then the recording
// are closed.
func recorded(t *testing.T, ports int, change func(*live.Config)) (*rig, *recording.Writer, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "session.rec")
	w, err := recording.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	return start(t, ports, func(c *live.Config) {
		c.Record = w
		change(c)
	}), w, path
}

// voice is what one channel of one output is sent; what belongs to no channel is told as its 17th.
type voice struct{ port, channel int }

func voiceOf(port int, b []byte) voice {
	if b[0] < 0xF0 {
		return voice{port, int(b[0] & 0x0F)}
	}
	return voice{port, 16}
}

// replayed is what a replay sends, each voice by itself, its times since the beginning.
func replayed(t *testing.T, path string) (map[voice][]portstub.Message, *live.Replayed) {
	t.Helper()
	r, err := recording.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	all := map[voice][]portstub.Message{}
	found, err := live.Replay(t.Context(), r, func(e *expr.Event) {
		v := voiceOf(int(e.Port), e.Bytes())
		all[v] = append(all[v], portstub.Message{At: time.Time{}.Add(e.At), Data: slices.Clone(e.Bytes())})
	})
	if err != nil {
		t.Fatal(err)
	}
	return all, found
}

// sentBy is what a daemon sent, likewise.
func (r *rig) sentBy(ports int) map[voice][]portstub.Message {
	all := map[voice][]portstub.Message{}
	for i := range ports {
		for _, m := range r.sys.Sent(out(i + 1)) {
			v := voiceOf(i, m.Data)
			all[v] = append(all[v], portstub.Message{At: time.Time{}.Add(m.At.Sub(r.begun)), Data: m.Data})
		}
	}
	return all
}

// sameVoices wants the same bytes of each voice, and at the same times.
func sameVoices(t *testing.T, sent, again map[voice][]portstub.Message, times bool) (total int) {
	t.Helper()
	for v := range again {
		if len(sent[v]) == 0 {
			t.Errorf("%v: %d messages in the replay only", v, len(again[v]))
		}
	}
	for v, a := range sent {
		b := again[v]
		if len(a) != len(b) {
			t.Errorf("%v: %d messages live, %d in the replay", v, len(a), len(b))
		}
		for i := range min(len(a), len(b)) {
			if !bytes.Equal(a[i].Data, b[i].Data) || times && !a[i].At.Equal(b[i].At) {
				t.Fatalf("%v, message %d: live % X at %v, in the replay % X at %v", v, i, a[i].Data, a[i].At.Sub(time.Time{}), b[i].Data, b[i].At.Sub(time.Time{}))
			}
		}
		total += len(a)
	}
	return total
}

const sessionPorts = 2

// session is random music that is disturbed by all that may be ordered of a daemon.
type session struct {
	*rig
	random *rand.Rand
	gauges *live.Gauges
	score  *expr.Score
	other  *perform.Cast
	held   [sessionPorts][][2]byte
}

func (s *session) play() {
	port := s.random.IntN(sessionPorts)
	feed := func(b ...byte) { s.sys.Feed(in(port+1), b...) }
	switch kind := s.random.IntN(20); {
	case kind < 8 && len(s.held[port]) < 12:
		n := [2]byte{byte(s.random.IntN(4)), byte(40 + s.random.IntN(40))}
		feed(0x90|n[0], n[1], byte(1+s.random.IntN(127)))
		s.held[port] = append(s.held[port], n)
	case kind < 15 && len(s.held[port]) > 0:
		n := s.held[port][0]
		s.held[port] = s.held[port][1:]
		feed(0x80|n[0], n[1], 64)
	case kind < 18:
		feed(0xB0|byte(s.random.IntN(4)), []byte{1, 7, 11, 64, 66, 80, 121}[s.random.IntN(7)], byte(s.random.IntN(128)))
	default:
		feed(anyMessage(s.random, false)...)
	}
}

// disturb gives one order.
func (s *session) disturb() {
	side := []expr.Side{expr.Raw, expr.Shaped}[s.random.IntN(2)]
	var err error
	switch s.random.IntN(12) {
	case 0:
		s.d.Panic()
	case 1:
		s.d.EndNotes()
	case 2, 3:
		err = s.d.Switch(side, nil)
	case 4:
		if parts := s.d.Status().Parts; len(parts) > 0 {
			err = s.d.Switch(side, []string{parts[s.random.IntN(len(parts))].Name})
		}
	case 5:
		err = s.d.SetPlace(expr.Place(s.random.IntN(2)), nil)
	case 6:
		err = s.d.SetLookahead(time.Duration(s.random.IntN(3)) * 200 * ms)
	case 7:
		_, err = s.d.Recast(s.other)
	case 8:
		s.d.TakeScore(s.score)
	case 9:
		s.gauges.SetSeat(s.random.IntN(4), float64(s.random.IntN(6)))
	case 10:
		s.gauges.Match(s.random.IntN(2) == 0)
	case 11:
		if err := s.d.Switch(side, []string{"nobody"}); err == nil {
			s.t.Error("nobody was switched")
		}
	}
	if err != nil {
		s.t.Error(err)
	}
}

// own is a cast that plays by a document of the user's, and by other seats.
func own(t testing.TB) *perform.Cast {
	t.Helper()
	c := seated(t, strings.ReplaceAll(seats, "profile: violas", "profile: mine"))
	f, err := profiles.ParseAny("mine.yaml", []byte("swellbox: 1\nname: mine\nextends: violas\nplayers: 3\n"))
	if err != nil {
		t.Fatal(err)
	}
	f.Profile.Origin.Kind = profiles.Own
	if err := c.Library.Add(f.Profile); err != nil {
		t.Fatal(err)
	}
	return c
}

func newSession(r *rig, seed uint64) *session {
	r.t.Helper()
	score, err := offline.NewTimeline(demo.Score(), 0)
	if err != nil {
		r.t.Fatal(err)
	}
	known, _ := score.ScoreFor(&perform.Manner{Scored: true})
	return &session{rig: r, random: rand.New(rand.NewPCG(seed, 7)), gauges: live.NewGauges(r.d), score: known, other: own(r.t)}
}

// A replay sends what the daemon sent, to the byte and to the nanosecond, whatever was played and
// ordered.
func TestReplayIsLive(t *testing.T) {
	for seed := range uint64(6) {
		synctest.Test(t, func(t *testing.T) {
			r, w, path := recorded(t, sessionPorts, func(c *live.Config) {
				c.Foot = live.FootSwitch{Controller: 80}
				c.Manner = perform.Manner{Seed: seed, Rubato: 1}
				if seed%2 == 1 {
					c.Manner.Lookahead = 300 * ms
				}
				c.Match = seed == 4
			})
			s := newSession(r, seed)
			for range 30 {
				for range 100 {
					s.play()
					time.Sleep(time.Duration(s.random.IntN(12_000)) * time.Microsecond) // in a bubble
				}
				s.disturb()
			}
			pass(2 * time.Second)
			r.close()
			if err := w.Close(); err != nil {
				t.Fatal(err)
			}
			again, found := replayed(t, path)
			if n := sameVoices(t, r.sentBy(sessionPorts), again, true); n < 3000 {
				t.Errorf("only %d messages were compared", n)
			}
			if found.Cut || found.Missing != 0 || found.Messages < 2500 {
				t.Errorf("the replay found %+v", found)
			}
		})
	}
}

// In real time threads are late, each as it happens; a replay sends the same bytes all the same.
func TestReplayIsLiveHoweverLate(t *testing.T) {
	r, w, path := recorded(t, sessionPorts, func(*live.Config) {})
	s := newSession(r, 3)
	for range 20 {
		for range 200 {
			s.play()
			runtime.Gosched()
		}
		s.disturb()
	}
	r.close()
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	again, _ := replayed(t, path)
	if n := sameVoices(t, r.sentBy(sessionPorts), again, false); n < 2000 {
		t.Errorf("only %d messages were compared", n)
	}
}

// What a killed daemon has left is replayed as far as it goes: all but the last quarter of a second.
func TestReplayAfterAKill(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, w, path := recorded(t, 1, func(*live.Config) {})
		r.feed(1, 0x90, 60, 80)
		pass(recording.Period)
		left, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		killed := filepath.Join(t.TempDir(), "killed.rec")
		if err := os.WriteFile(killed, append(left, 9, 0, 0), 0o600); err != nil { // and in the midst of a block
			t.Fatal(err)
		}
		again, found := replayed(t, killed)
		if !found.Cut || count(again[voice{0, 0}], 0x90, 60) != 1 {
			t.Errorf("%+v; % X", found, again)
		}
		r.close()
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
	})
}

// fullDisk takes a recording's beginning and no more.
type fullDisk struct{ taken int }

func (d *fullDisk) Write(b []byte) (int, error) {
	if d.taken++; d.taken > 2 {
		return 0, errors.New("no space left")
	}
	return len(b), nil
}
func (*fullDisk) Sync() error  { return nil }
func (*fullDisk) Close() error { return nil }

// Where the disk is full the music goes on, and the status says that it is not recorded any more.
func TestRecordingOnAFullDisk(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w, err := recording.New(&fullDisk{})
		if err != nil {
			t.Fatal(err)
		}
		r := start(t, 1, func(c *live.Config) { c.Record = w })
		pass(recording.Period)
		r.feed(1, 0x90, 60, 80)
		pass(time.Second)
		r.feed(1, 0x80, 60, 0)
		if warnings := strings.Join(r.d.Status().Warnings, "\n"); !strings.Contains(warnings, "recording has ended") {
			t.Errorf("the status warns of %q", warnings)
		}
		wantContains(t, "the log", r.log.String(), "no space left")
		if held := sounding(r.heard(1)); len(held) != 0 || count(r.heard(1), 0x90, 60) != 1 {
			t.Errorf("heard % X", r.heard(1))
		}
		r.close()
		_ = w.Close() // says that the disk was full
	})
}

// A recording of something else is refused in a sentence.
func TestReplayRefuses(t *testing.T) {
	for _, records := range [][]recording.Record{
		nil,
		{{Kind: recording.Message, Bytes: []byte{0x90, 1, 1}}},
		{{Kind: recording.Order, Bytes: []byte("{")}},
		{{Kind: recording.Order, Bytes: []byte(`{"do":"begin","begin":{"outputs":0}}`)}},
		{{Kind: recording.Order, Bytes: []byte(`{"do":"begin","begin":{"outputs":1}}`)}},
		{{Kind: recording.Order, Bytes: []byte(`{"do":"begin","begin":{"outputs":1,"manner":{"Lookahead":-1},"cast":{}}}`)}},
	} {
		if _, err := live.Replay(t.Context(), &recording.Recording{Records: records}, func(*expr.Event) {}); err == nil {
			t.Errorf("%v is replayed", records)
		}
	}
}
