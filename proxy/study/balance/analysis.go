package balance

import (
	"context"
	"sync"

	"swellbox/expr/acoustics"
)

// analysis is a piece as it was heard.
type analysis struct {
	score   *score
	seating *acoustics.Seating
	bars    []heardBar
	notes   *reading
	ears    []*ear // one for each processor
}

// barsAtOnce is how many bars an ear takes at a time. Where they begin, a sweep looks
// for what still sounds.
const barsAtOnce = 16

// hear hears all bars, on all processors.
func (a *analysis) hear(ctx context.Context, progress func(done, total int)) error {
	total := len(a.bars)
	chunks := (total + barsAtOnce - 1) / barsAtOnce
	done := 0
	var lock sync.Mutex
	return a.share(ctx, chunks, func(e *ear, chunk int) {
		from := chunk * barsAtOnce
		to := min(from+barsAtOnce, total)
		w := newSweep(a.score, from)
		for bar := from; bar < to; bar++ {
			a.bars[bar] = e.bar(a.notes, bar, w.bar(bar))
		}
		if progress != nil {
			lock.Lock()
			defer lock.Unlock()
			done += to - from
			progress(done, total)
		}
	})
}

// share does n things, each by the first ear that is free.
func (a *analysis) share(ctx context.Context, n int, do func(e *ear, i int)) error {
	jobs := make(chan int)
	var all sync.WaitGroup
	for _, e := range a.ears {
		all.Go(func() {
			for i := range jobs {
				do(e, i)
			}
		})
	}
	for i := range n {
		select {
		case jobs <- i:
		case <-ctx.Done():
		}
	}
	close(jobs)
	all.Wait()
	return ctx.Err()
}
