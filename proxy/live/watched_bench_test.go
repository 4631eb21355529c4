package live

import (
	"slices"
	"sync"
	"testing"
	"time"
)

// BenchmarkWatched measures, in real time, what a page costs a note: how long a note's message takes
// from an input's callback to its output's Send on 256 parts, on a daemon that nobody looks at and on
// one that is looked at twenty times a second, in turn.
func BenchmarkWatched(b *testing.B) {
	const (
		blocks = 10
		block  = 500 // messages
		period = time.Millisecond
	)
	_, alone := tutti(b)
	d, watched := tutti(b)
	g := NewGauges(d)
	var looks, looking time.Duration
	run := func(s *stopwatch) {
		next := time.Now()
		for i := range block {
			part := i / 2 * 37 % 256
			msg := []byte{0x80 | byte(part%16), byte(60 + i/2%24), byte(50 + i%60)}
			if i%2 == 0 {
				msg[0] |= 0x10
			}
			s.outs[part/16].fed(msg)
			s.ins[part/16](msg)
			next = next.Add(period)
			time.Sleep(time.Until(next)) // a benchmark of music in its time
		}
	}
	for b.Loop() {
		for range blocks {
			run(alone)
			stop := make(chan struct{})
			var done sync.WaitGroup
			done.Go(func() {
				tick := time.NewTicker(50 * time.Millisecond) // as the page has it
				defer tick.Stop()
				for {
					select {
					case <-stop:
						return
					case <-tick.C:
						began := time.Now()
						g.Look()
						looking += time.Since(began)
						looks++
					}
				}
			})
			run(watched)
			close(stop)
			done.Wait()
		}
	}
	b.ReportMetric(0, "ns/op") // of no meaning here
	p99 := func(s *stopwatch) float64 {
		var all []time.Duration
		for _, o := range s.outs {
			all = append(all, o.took...)
		}
		slices.Sort(all)
		return float64(all[len(all)*99/100]) / float64(time.Microsecond)
	}
	b.ReportMetric(p99(alone), "alone-p99-µs")
	b.ReportMetric(p99(watched), "watched-p99-µs")
	b.ReportMetric(p99(watched)/p99(alone), "p99-ratio")
	b.ReportMetric(float64(looking/max(looks, 1))/float64(time.Microsecond), "µs/look")
}
