package live_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/profiles"
	"swellbox/profiles/names"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports/portstub"
	"swellbox/proxy/study/demo"
)

// scoreSeating seats the built-in score by address, as a live run knows no track names.
func scoreSeating() string {
	var b strings.Builder
	b.WriteString("swellbox: 1\nseats:\n")
	l, err := profiles.NewLibrary()
	if err != nil {
		panic(err)
	}
	for _, p := range demo.Parts() {
		name, _ := l.Called().Guess(names.Hint{Track: p.Name, Program: p.Program + 1, HasProgram: true})
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
