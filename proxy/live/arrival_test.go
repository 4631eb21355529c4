package live_test

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// arrived is the beginning of the built-in score as a busy machine may hand it on: a message of a
// channel comes up to 80 ms late, and those behind it wait for it. Among the notes stands what a
// notation program sends along: registered parameters, bends, pressure, and moves of expression. Its
// times are whole milliseconds, a tick each.
func arrived(t *testing.T, seed uint64) *smf.File {
	t.Helper()
	const length, most = 40_000, 80
	score, err := offline.NewTimeline(demo.Score(), 0)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(seed, 1))
	out := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 500}} // at 120 quarters a minute
	late := map[[2]int]int64{}
	for port := range score.Ports {
		track := smf.Track{End: length + most, Events: []smf.Event{{Data: []byte{0xFF, smf.MetaPort, byte(port)}}}}
		put := func(ms int64, b ...byte) { track.Events = append(track.Events, smf.Event{Tick: ms, Data: b}) }
		for ch := range byte(16) {
			for i, c := range [][2]byte{{101, 0}, {100, 0}, {6, 2}, {38, 0}, {101, 127}, {100, 127}, {91, 40}} {
				put(int64(i), 0xB0|ch, c[0], c[1])
			}
		}
		for _, e := range score.Events {
			at := e.At.Milliseconds()
			if !e.IsChannel() || int(e.Port) != port || at > length {
				continue
			}
			a := [2]int{port, e.Channel()}
			if random.IntN(3) == 0 {
				at += random.Int64N(most)
			}
			at = max(at+10, late[a])
			late[a] = at
			put(at, e.Bytes()...)
			if ch := byte(e.Channel()); ch%4 == 3 && e.IsNoteOn() {
				put(at, 0xB0|ch, 11, byte(60+random.IntN(60)))
				put(at, 0xB0|ch, 16, byte(random.IntN(128)))
				put(at, 0xE0|ch, 0, byte(60+random.IntN(10)))
				put(at, 0xD0|ch, byte(random.IntN(128)))
			}
		}
		slices.SortStableFunc(track.Events, func(a, b smf.Event) int { return int(a.Tick - b.Tick) })
		out.Tracks = append(out.Tracks, track)
	}
	return out
}

// However unsteadily music comes in, it is played as a render of just that plays it; and what is
// raw goes out as it came in, to the byte and the moment.
func TestLiveIsRenderHoweverItComes(t *testing.T) {
	for seed := range uint64(2) {
		f := arrived(t, seed)
		came, want := rendered(t, f, perform.Manner{})
		synctest.Test(t, func(t *testing.T) {
			sameAsRender(t, played(t, came, expr.Shaped), came, want, 0, 3000)
		})
		synctest.Test(t, func(t *testing.T) {
			sameAsSent(t, played(t, came, expr.Raw), came)
		})
	}
}

// played starts a daemon on one side and feeds it what came.
func played(t *testing.T, came *offline.Timeline, side expr.Side) *rig {
	t.Helper()
	r := start(t, came.Ports, func(c *live.Config) { c.Cast = seated(t, scoreSeating()) })
	if err := r.d.Switch(side, nil); err != nil {
		t.Fatal(err)
	}
	for _, e := range came.Events {
		if e.IsChannel() {
			time.Sleep(time.Until(r.begun.Add(e.At))) // in a bubble
			r.feed(int(e.Port)+1, e.Bytes()...)
		}
	}
	pass(time.Until(r.begun.Add(came.End)))
	r.d.EndNotes() // as a render does where the file ends
	return r
}

// sameAsSent holds what a raw daemon has played of what came against that.
func sameAsSent(t *testing.T, r *rig, came *offline.Timeline) {
	t.Helper()
	for port := range came.Ports {
		got := r.heard(port + 1)
		for _, e := range came.Events {
			if !e.IsChannel() || int(e.Port) != port {
				continue
			}
			if len(got) == 0 || !bytes.Equal(got[0].Data, e.Bytes()) || got[0].At.Sub(r.begun) != e.At {
				t.Fatalf("port %d: % X came in at %v; heard next: %v", port+1, e.Bytes(), e.At, got[:min(len(got), 1)])
			}
			got = got[1:]
		}
		for _, m := range got {
			if m.Data[0]&0xF0 != 0x80 {
				t.Errorf("port %d: % X was never sent", port+1, m.Data)
			}
		}
	}
}
