package musicxml

import (
	"bytes"
	"math/rand/v2"
	"runtime"
	"testing"
)

// An orchestral score: 60 parts of 500 measures.
func BenchmarkRead(b *testing.B) {
	in := []byte(randomScore(rand.New(rand.NewPCG(1, 1)), 60, 500))
	b.SetBytes(int64(len(in)))
	b.ReportAllocs()
	var d *Document
	var err error
	for b.Loop() {
		if d, err = Read(in); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(d.Score.Notes)), "notes")
	b.ReportMetric(float64(bytes.Count(in, []byte("<note"))), "notes-written")
	var with, without runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&with)
	runtime.KeepAlive(d)
	d = nil
	runtime.GC()
	runtime.ReadMemStats(&without)
	b.ReportMetric(float64(with.HeapAlloc-without.HeapAlloc)/1e6, "MB-kept")
}
