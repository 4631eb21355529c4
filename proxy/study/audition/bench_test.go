package audition

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"swellbox/expr"
)

// orchestra is a stage of 22 parts.
func orchestra() []Part {
	seats := []struct {
		name, family string
		players      int
		pan          float64
	}{
		{"piccolo", "woodwind", 1, -.2}, {"flute", "woodwind", 2, -.15}, {"oboe", "woodwind", 2, .1},
		{"clarinet", "woodwind", 2, -.1}, {"bassoon", "woodwind", 2, .15}, {"contrabassoon", "woodwind", 1, .2},
		{"horn", "brass", 2, -.4}, {"horn", "brass", 2, -.35}, {"trumpet", "brass", 2, .2}, {"trumpet", "brass", 1, .25},
		{"trombone", "brass", 2, .4}, {"bass trombone", "brass", 1, .45}, {"tuba", "brass", 1, .5},
		{"timpani", "percussion", 1, 0}, {"percussion", "percussion", 1, -.1}, {"harp", "plucked", 1, -.6}, {"piano", "keyboard", 1, -.5},
		{"violins", "strings", 16, -.7}, {"violins", "strings", 14, -.4}, {"violas", "strings", 12, .2},
		{"cellos", "strings", 10, .5}, {"basses", "strings", 8, .7},
	}
	parts := make([]Part, len(seats))
	for i, s := range seats {
		parts[i] = Part{Port: i / 16, Channel: i % 16, Instrument: s.name, Family: s.family, Players: s.players, Pan: s.pan}
	}
	return parts
}

// tutti is music without sense: every part plays, in its range, at times two
// notes at once, with a swell and a vibrato on all that can hold a note.
func tutti(parts []Part, length time.Duration) []expr.Event {
	rng := rand.New(rand.NewPCG(1, 2))
	var events []expr.Event
	for i, p := range parts {
		send := func(at time.Duration, status, a, b byte) {
			events = append(events, expr.Short(at, uint16(p.Port), status|byte(p.Channel), a, b))
		}
		in := find(p.Instrument, p.Family)
		for at := time.Duration(0); at < length-time.Second; {
			beats := 1 + rng.IntN(4)
			long := time.Duration(beats) * 250 * time.Millisecond
			for range 1 + (i+beats)%2 {
				key := byte(in.middle) + byte(rng.IntN(17)) - 8
				if in.kit != nil {
					key = []byte{36, 38, 49, 81}[rng.IntN(4)]
				}
				send(at, 0x90, key, byte(50+rng.IntN(60)))
				send(at+long, 0x80, key, 0)
			}
			for k := range 10 {
				send(at+long*time.Duration(k)/10, 0xB0, 11, byte(70+5*k))
				send(at+long*time.Duration(k)/10, 0xB0, 1, byte(7*k))
			}
			at += long
		}
	}
	slices.SortStableFunc(events, func(a, b expr.Event) int { return int(a.At - b.At) })
	return events
}

// BenchmarkRender renders 22 parts for 70 s and reports how many seconds of
// music a second of work gives.
func BenchmarkRender(b *testing.B) {
	const length = 70 * time.Second
	parts := orchestra()
	events := tutti(parts, length)
	for b.Loop() {
		if _, err := Render(b.Context(), parts, events, length, nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(length.Seconds()*float64(b.N)/b.Elapsed().Seconds(), "realtime")
}
