package offline_test

import (
	"fmt"
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

// Music for full orchestra, an hour of it and parts and multiples of that: read, shaped and written, as
// the command does it, and only read and written, in turn, so that what else the machine does meets both
// alike. peak-MB is the most that the process held of the system's memory for its
// heap, garbage included, while one such file went through.
func BenchmarkRenderSymphony(b *testing.B) {
	for _, notes := range []int{3000, 30_000, 300_000, 3_000_000} {
		b.Run(fmt.Sprintf("%d notes", notes), func(b *testing.B) { benchmarkSymphony(b, notes) })
	}
}

func benchmarkSymphony(b *testing.B, notes int) {
	in, err := demo.Symphony(notes).Append(nil)
	if err != nil {
		b.Fatal(err)
	}
	lib, err := profiles.NewLibrary()
	if err != nil {
		b.Fatal(err)
	}
	read := func() *smf.File {
		f, err := smf.Read(in)
		if err != nil {
			b.Fatal(err)
		}
		return f
	}
	write := func(f *smf.File) {
		if _, err := f.Append(nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportAllocs()
	peak, copied := uint64(0), time.Duration(0)
	for b.Loop() {
		b.StopTimer()
		runtime.GC() // what the file before left is not this one's
		begun := time.Now()
		write(read())
		copied += time.Since(begun)
		runtime.GC()
		b.StartTimer()
		stop := make(chan struct{})
		most := make(chan uint64)
		go watchHeap(stop, most)
		out, report, err := offline.Render(b.Context(), read(), &perform.Cast{Library: lib}, perform.Manner{Scored: true, Lookahead: 2 * engine.MaxDeviation, Rubato: 1})
		if err != nil {
			b.Fatal(err)
		}
		write(out)
		if report.NotesIn != notes || report.NotesOut != notes {
			b.Fatalf("%d notes in, %d out, want %d", report.NotesIn, report.NotesOut, notes)
		}
		close(stop)
		peak = max(peak, <-most)
	}
	b.ReportMetric(float64(peak)/1e6, "peak-MB")
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(notes), "µs/note")
	b.ReportMetric(b.Elapsed().Seconds()/copied.Seconds(), "times-reading-and-writing")
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
