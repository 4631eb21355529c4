package listening

import (
	"testing"
	"time"
)

// streams are what the engine does at every note; none of it may allocate.
var streams = map[string]func() func(i int){
	"Line": func() func(int) {
		var l Line
		return func(i int) {
			on := time.Duration(i) * 250 * ms
			l.Next(on, on+200*ms, 60+i%7)
		}
	},
	"MelodicAccent": func() func(int) {
		sum := 0.0
		return func(i int) { sum += MelodicAccent(60, 62+i%3, 61+i%4, 60+i%5) }
	},
	"KeyFinder": func() func(int) {
		var f KeyFinder
		return func(i int) {
			f.Add(time.Duration(i)*250*ms, 60+i%7, 1)
			f.Key()
		}
	},
	"Centroid": func() func(int) {
		var c Chroma
		var at Centroid
		return func(i int) {
			c.Add(i, 1)
			now := c.Centroid()
			Distance(at, now)
			at = now
		}
	},
	"Root": func() func(int) {
		c := Chroma{0: 1, 4: 2, 7: 1}
		return func(i int) { Root(&c, i) }
	},
	"Roughness": func() func(int) {
		keys := []uint8{36, 48, 55, 60, 64, 67, 72, 76}
		return func(i int) {
			keys[0] = uint8(36 + i%12)
			Roughness(keys)
		}
	},
}

func BenchmarkStream(b *testing.B) {
	for name, start := range streams {
		b.Run(name, func(b *testing.B) {
			next, i := start(), 0
			b.ReportAllocs()
			for b.Loop() {
				next(i)
				i++
			}
		})
	}
}

func TestStreamsAllocateNothing(t *testing.T) {
	for name, start := range streams {
		next, i := start(), 0
		if n := testing.AllocsPerRun(100, func() { next(i); i++ }); n != 0 {
			t.Errorf("%s: %g allocations a note", name, n)
		}
	}
}

// BenchmarkDyads is what the table of roughness costs at the start of a program.
func BenchmarkDyads(b *testing.B) {
	for b.Loop() {
		dyads()
	}
}
