package smf

import (
	"runtime"
	"testing"
	"time"
)

// score makes a file of so many notes on 16 tracks, each with a controller
// every eighth note, and a tempo change each 100 notes on the first.
func score(notes int) *File {
	const tracks = 16
	f := &File{Format: 1, Division: Division{TicksPerQuarter: 480}, Tracks: make([]Track, tracks)}
	for i := range f.Tracks {
		tr, c := &f.Tracks[i], byte(i)
		for n := range notes / tracks {
			tick, pitch := int64(n)*240, byte(48+n%24)
			if i == 0 && n%100 == 0 {
				tr.Events = append(tr.Events, tempoAt(tick, 400_000+n))
			}
			if n%8 == 0 {
				tr.Events = append(tr.Events, Event{tick, []byte{0xB0 | c, 11, byte(n % 128)}})
			}
			tr.Events = append(tr.Events,
				Event{tick, []byte{0x90 | c, pitch, 80}},
				Event{tick + 230, []byte{0x90 | c, pitch, 0}})
			tr.End = tick + 240
		}
	}
	return f
}

const benchNotes = 300_000

func BenchmarkRead(b *testing.B) {
	in, err := score(benchNotes).Append(nil)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(in)))
	b.ReportAllocs()
	var f *File
	for b.Loop() {
		if f, err = Read(in); err != nil {
			b.Fatal(err)
		}
	}
	in = nil
	var with, without runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&with)
	runtime.KeepAlive(f)
	f = nil
	runtime.GC()
	runtime.ReadMemStats(&without)
	b.ReportMetric(float64(with.HeapAlloc-without.HeapAlloc)/1e6, "MB-kept")
}

func BenchmarkAppend(b *testing.B) {
	f := score(benchNotes)
	out, err := f.Append(nil)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(out)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := f.Append(nil); err != nil {
			b.Fatal(err)
		}
	}
}

// 10,000 tempo changes, asked in rising order as a render does.
func BenchmarkTempoMap(b *testing.B) {
	f := &File{Division: Division{TicksPerQuarter: 480}, Tracks: make([]Track, 1)}
	for i := range int64(10_000) {
		f.Tracks[0].Events = append(f.Tracks[0].Events, tempoAt(i*480, 400_000+int(i)))
	}
	m := mustTempoMap(b, f, 0)
	b.Run("At", func(b *testing.B) {
		b.ReportAllocs()
		tick := int64(0)
		for b.Loop() {
			tick = (tick + 5) % 4_800_000
			m.At(tick)
		}
	})
	b.Run("Tick", func(b *testing.B) {
		b.ReportAllocs()
		at := time.Duration(0)
		for b.Loop() {
			at = (at + 5*time.Millisecond) % time.Hour
			m.Tick(at)
		}
	})
}
