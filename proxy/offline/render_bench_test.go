package offline_test

import (
	"runtime"
	"runtime/metrics"
	"testing"
	"time"

	"swellbox/expr/engine"
	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// An hour of music for full orchestra: read, shaped and written, as the command
// does it. peak-MB is the most that the process held of the system's memory for its
// heap, garbage included, while one such file went through.
func BenchmarkRenderSymphony(b *testing.B) {
	const notes = 300_000
	in, err := demo.Symphony(notes).Append(nil)
	if err != nil {
		b.Fatal(err)
	}
	lib, err := profiles.NewLibrary()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	peak := uint64(0)
	for b.Loop() {
		b.StopTimer()
		runtime.GC() // what the file before left is not this one's
		b.StartTimer()
		stop := make(chan struct{})
		most := make(chan uint64)
		go watchHeap(stop, most)
		f, err := smf.Read(in)
		if err != nil {
			b.Fatal(err)
		}
		out, report, err := offline.Render(b.Context(), f, &perform.Cast{Library: lib}, perform.Manner{Scored: true, Lookahead: 2 * engine.MaxDeviation, Rubato: 1})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := out.Append(nil); err != nil {
			b.Fatal(err)
		}
		if report.NotesIn != notes || report.NotesOut != notes {
			b.Fatalf("%d notes in, %d out, want %d", report.NotesIn, report.NotesOut, notes)
		}
		close(stop)
		peak = max(peak, <-most)
	}
	b.ReportMetric(float64(peak)/1e6, "peak-MB")
}

// watchHeap reads every millisecond how much memory the heap takes, and sends the most.
func watchHeap(stop <-chan struct{}, most chan<- uint64) {
	sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}, {Name: "/memory/classes/heap/unused:bytes"}}
	tick := time.NewTicker(time.Millisecond) // how often it samples
	defer tick.Stop()
	peak := uint64(0)
	for {
		metrics.Read(sample)
		peak = max(peak, sample[0].Value.Uint64()+sample[1].Value.Uint64())
		select {
		case <-stop:
			most <- peak
			return
		case <-tick.C:
		}
	}
}
