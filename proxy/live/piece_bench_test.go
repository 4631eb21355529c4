package live

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
)

// wanderings is a piece of 16 parts on one port, each in steps and leaps of its own, in
// eighths and quarters of 100 bars.
func wanderings(b *testing.B) *offline.Timeline {
	b.Helper()
	random := rand.New(rand.NewPCG(1, 2))
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 480}}
	const end = 100 * 4 * 480
	for channel := range byte(16) {
		var track smf.Track
		key := 60
		for tick := int64(0); tick < end; {
			key = min(max(key+random.IntN(11)-5, 36), 84)
			length := int64(240 * (1 + random.IntN(2)))
			track.Events = append(track.Events,
				smf.Event{Tick: tick, Data: []byte{0x90 | channel, byte(key), 80}},
				smf.Event{Tick: tick + length - 10, Data: []byte{0x80 | channel, byte(key), 64}})
			tick += length
		}
		track.End = end + 480
		f.Tracks = append(f.Tracks, track)
	}
	t, err := offline.NewTimeline(f, 0)
	if err != nil {
		b.Fatal(err)
	}
	return t
}

// BenchmarkKnowing measures what a note costs under the daemon's lock, on its way to the
// output: of a file whose music always runs, live (where the transport is heard as well), live
// with a score that it is looked for in, and live with a lookahead. An operation is one
// message, and half of them are note-ons.
func BenchmarkKnowing(b *testing.B) {
	for _, c := range []struct {
		name   string
		change func(cfg *Config, score *expr.Score)
	}{
		{"file", func(cfg *Config, _ *expr.Score) { cfg.Inputs = nil }},
		{"live", func(*Config, *expr.Score) {}},
		{"score", func(cfg *Config, s *expr.Score) { cfg.Score = s }},
		{"lookahead", func(cfg *Config, _ *expr.Score) { cfg.Manner.Lookahead = time.Second }},
	} {
		b.Run(c.name, func(b *testing.B) {
			t := wanderings(b)
			ports := make([]PortSpec, t.Ports)
			s := &stopwatch{begun: time.Now()}
			cfg := Config{System: s, Cast: cast(b), Inputs: ports, Outputs: ports, Log: zerolog.Nop()}
			c.change(&cfg, t.Score())
			d, err := NewDaemon(cfg)
			if err != nil {
				b.Fatal(err)
			}
			defer func() {
				if err := d.Close(); err != nil {
					b.Error(err)
				}
			}()
			var messages []expr.Event
			for _, e := range t.Events {
				if e.Note = 0; e.IsChannel() {
					messages = append(messages, e)
				}
			}
			b.ReportAllocs()
			played := 0
			for b.Loop() {
				e := messages[played%len(messages)]
				played++
				d.performance.mu.Lock()
				e.At += time.Duration(played/len(messages)) * t.End
				d.performance.finder.place(&e)
				d.performance.play(e)
				d.performance.mu.Unlock()
			}
			if known := d.performance.finder.piece.isFound(); known != (c.name == "score") && played > len(messages)/2 {
				b.Errorf("after %d messages it is %v that the score is found", played, known)
			}
		})
	}
}
