package balance

import (
	"cmp"
	"context"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"swellbox/expr/acoustics"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
)

// Options say where the piece is heard.
type Options struct {
	Room     acoustics.Room
	Listener acoustics.Position
	Seating  *acoustics.Seating
	Where    string // the same in words: "large hall, row 10"

	// Progress is told how many of all bars have been heard, if it is set. It is
	// not called concurrently.
	Progress func(done, total int)
}

// DefaultOptions are a seat in row 10 of a large hall, and the usual seating.
func DefaultOptions() Options {
	room, _ := acoustics.LookupRoom("large")
	return Options{Room: room, Listener: acoustics.Row(10), Seating: &acoustics.Seatings()[0], Where: "large hall, row 10"}
}

// Analyse hears a piece in a hall and in a studio. cast seats its parts, the options
// say where the listener sits. What it gives does not depend on the number of
// processors. The error is that of ctx, or says why the file cannot be analysed.
func Analyse(ctx context.Context, f *smf.File, cast *perform.Cast, opt Options) (*Result, error) {
	s, warnings, err := readScore(f, cast, opt.Seating)
	if err != nil {
		return nil, err
	}
	rooms := [places]acoustics.Place{hall: acoustics.Hall(opt.Room, opt.Listener), studio: acoustics.Studio()}
	a := &analysis{score: s, bars: make([]heardBar, s.barCount()), seating: opt.Seating}
	for range runtime.GOMAXPROCS(0) {
		a.ears = append(a.ears, newEar(rooms))
	}
	if err := a.hear(ctx, opt.Progress); err != nil {
		return nil, err
	}
	stretches, err := a.explain(ctx)
	if err != nil {
		return nil, err
	}
	return a.result(strings.TrimSpace(f.Tracks[0].Name()), opt, warnings, stretches), nil
}

// place is one of the two ways in which a piece is heard.
type place uint8

const (
	hall place = iota
	studio
	places
)

func (s place) String() string { return [...]string{"hall", "studio"}[s] }

// analysis is a piece as it was heard.
type analysis struct {
	score   *score
	seating *acoustics.Seating
	bars    []heardBar
	ears    []*ear // one for each processor
}

// heardBar is the parts that sound in a bar, in score order.
type heardBar []heardPart

// heardPart is one part in one bar.
type heardPart struct {
	part  int
	leads bool
	heard [places]heard
}

// heard is how a part is heard over a number of moments.
type heard struct {
	levelDB, audibilityDB float64
	aimDB                 float64 // see [ear.aimDB]; of a bar only
	state                 State
}

// ear hears moments in both places. It is not safe for concurrent use.
type ear struct {
	scenes [places]*acoustics.Scene
	sounds []acoustics.Sound
	tries  []acoustics.Source
}

func newEar(rooms [places]acoustics.Place) *ear {
	e := &ear{}
	for i := range e.scenes {
		e.scenes[i] = acoustics.NewScene(rooms[i])
	}
	return e
}

// listen gives one sound for each source. They are overwritten by the next call.
func (e *ear) listen(s place, sources []acoustics.Source) []acoustics.Sound {
	if len(e.sounds) < len(sources) {
		e.sounds = make([]acoustics.Sound, len(sources))
	}
	e.scenes[s].Hear(sources, e.sounds)
	return e.sounds[:len(sources)]
}

// try is listen after a change, in which source i is the part.
func (e *ear) try(s place, m *moment, i int, apply change) []acoustics.Sound {
	e.tries = append(e.tries[:0], m.sources...)
	apply(m, e.tries, i)
	return e.listen(s, e.tries)
}

// aimDB is how strong the shaped performance means a source to be: weighted as the ear weighs,
// and on a usual note of the instrument, in whose place the note's own register stands as far as
// the profile says. A chord is as many such notes.
func (e *ear) aimDB(in place, src *acoustics.Source, registers float64) float64 {
	usual := *src
	usual.PitchHz, usual.AlsoHz = 0, nil
	db := e.scenes[in].StrengthDB(&usual) + 10*math.Log10(float64(1+len(src.AlsoHz)))
	if registers != 0 {
		db += registers * (e.scenes[in].StrengthDB(src) - db)
	}
	return db
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
			a.bars[bar] = e.bar(a.score, bar, w.bar(bar))
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

// bar hears the moments of a bar.
func (e *ear) bar(s *score, bar int, moments []moment) heardBar {
	var out heardBar
	for _, m := range moments {
		for _, p := range m.players {
			out = append(out, heardPart{part: p.part})
		}
	}
	slices.SortFunc(out, func(a, b heardPart) int { return cmp.Compare(a.part, b.part) })
	out = slices.CompactFunc(out, func(a, b heardPart) bool { return a.part == b.part })
	for in := range places {
		tallies := make(map[int]*tally, len(out))
		for _, p := range out {
			tallies[p.part] = &tally{}
		}
		for i := range moments {
			m := &moments[i]
			sounds := e.listen(in, m.sources)
			for j, p := range m.players {
				t := tallies[p.part]
				t.add(m, sounds, j)
				t.aim += float64(m.weight) * math.Pow(10, e.aimDB(in, &m.sources[j], p.registers)/10)
			}
		}
		for i := range out {
			t := tallies[out[i].part]
			h := t.heard()
			if h.state == Covered && t.doubles(e, in, out[i].part) {
				h.state = Doubled
			}
			out[i].heard[in] = h
		}
	}
	for i := range out {
		out[i].leads = s.leads(out[i].part, bar)
	}
	return out
}
