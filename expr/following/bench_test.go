package following_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/following"
)

// streams are ways to play 300,000 notes that cost differently.
func streams(s *expr.Score) map[string][]struck {
	const notes = 20_000
	rng := func() *rand.Rand { return rand.New(rand.NewPCG(1, 1)) }
	out := map[string][]struck{}
	through := &live{Rand: rng(), score: s, ratio: 1.1, altered: 0.05, jitter: 2 * time.Millisecond}
	out["through"] = through.play(1000, notes)
	jumping := &live{Rand: rng(), score: s, ratio: 1.1, altered: 0.05, jitter: 2 * time.Millisecond}
	moved := &live{Rand: rng(), score: s, ratio: 1.1, jitter: 2 * time.Millisecond}
	moved.seat = func(n *expr.Written) uint32 { return uint32(n.Port)*16 + uint32(n.Channel) + 200 }
	for len(out["jumping"]) < notes {
		at := jumping.IntN(len(s.Notes) - 100)
		out["jumping"] = append(out["jumping"], jumping.play(at, 8)...)
		out["jumping moved"] = append(out["jumping moved"], moved.play(at, 8)...)
	}
	foreign := &live{Rand: rng(), score: orchestra(9, 1000), ratio: 1, jitter: 2 * time.Millisecond}
	out["another piece"] = foreign.play(0, notes)
	return out
}

func BenchmarkNote(b *testing.B) {
	s := longSymphony(b)
	for name, notes := range streams(s) {
		b.Run(name, func(b *testing.B) {
			f := following.New(s)
			i, shift := 0, time.Duration(0)
			b.ReportAllocs()
			for b.Loop() {
				n := notes[i]
				f.Note(n.at+shift, n.port, n.channel, n.key)
				if i++; i == len(notes) {
					i, shift = 0, shift+n.at+time.Second
				}
			}
		})
	}
}

func BenchmarkPosition(b *testing.B) {
	s := longSymphony(b)
	f := following.New(s)
	last := time.Duration(0)
	for _, n := range streams(s)["through"] {
		hear(f, n)
		last = n.at
	}
	b.ReportAllocs()
	for b.Loop() {
		f.Position(last + 100*time.Millisecond)
	}
}

func BenchmarkNew(b *testing.B) {
	s := longSymphony(b)
	b.ReportAllocs()
	for b.Loop() {
		following.New(s)
	}
}
