package console

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"swellbox/proxy/perform"
)

// How often the daemon is looked at while a page is open: what moves, what is heard in the hall,
// and the rest.
const (
	lookPeriod  = 50 * time.Millisecond
	hearEvery   = 4  // looks
	statusEvery = 10 // looks
)

// maxPages is how many streams are served at once.
const maxPages = 64

// feed looks at the daemon and hands what it saw to all open pages.
type feed struct {
	cfg   Config
	blind blind
	hall  hall
	bench bench

	matched atomic.Bool // when last looked at

	mu    sync.Mutex
	pages map[*page]bool
	last  []byte // the latest state, for who comes
	ended bool

	wake chan struct{} // somebody came, or something was changed
	stop chan struct{}
	done sync.WaitGroup
}

// page is one reader: what it has not read yet. There is room for the latest of each kind, so
// that one who is slow misses what lies between.
type page struct {
	mu         sync.Mutex
	now, state []byte
	fresh      chan struct{}
	gone       chan struct{}
}

func newFeed(cfg Config) *feed {
	f := &feed{cfg: cfg, pages: map[*page]bool{}, wake: make(chan struct{}, 1), stop: make(chan struct{})}
	f.hall.init(cfg.Ensemble)
	f.bench = bench{workshop: cfg.Workshop, load: cfg.Cast, play: func(c *perform.Cast) error {
		_, err := cfg.Played.Recast(c)
		return err
	}}
	f.done.Go(f.run)
	return f
}

// run is the feed's goroutine.
func (f *feed) run() {
	tick := time.NewTicker(lookPeriod)
	defer tick.Stop()
	for looks := 0; ; looks++ {
		woken := false
		select {
		case <-f.stop:
			return
		case <-f.wake:
			woken, looks = true, 0 // all of it
		case <-tick.C:
		}
		if f.open() == 0 && !woken {
			tick.Stop()
			select {
			case <-f.stop:
				return
			case <-f.wake:
			}
			tick.Reset(lookPeriod)
			looks = 0
		}
		f.look(looks)
	}
}

// look looks once and tells all pages.
func (f *feed) look(looks int) {
	f.cfg.Gauges.Look()
	f.matched.Store(f.cfg.Gauges.Matched)
	if looks%hearEvery == 0 {
		f.hall.hear(f.cfg.Gauges)
	}
	var state []byte
	if looks%statusEvery == 0 {
		state = f.state()
	}
	now := message("now", f.now())
	f.mu.Lock()
	defer f.mu.Unlock()
	if bytes.Equal(state, f.last) {
		state = nil
	} else if state != nil {
		f.last = state
	}
	for p := range f.pages {
		p.put(now, state)
	}
}

// message is a piece of the stream, as server-sent events are written.
func message(kind string, v any) []byte {
	b, err := json.Marshal(v)
	if err != nil { // a level that is no number, say
		b = fmt.Appendf(nil, `{"error":%q}`, err)
	}
	return fmt.Appendf(nil, "event: %s\ndata: %s\n\n", kind, b)
}

// put gives a page the latest, in place of what it has not read.
func (p *page) put(now, state []byte) {
	p.mu.Lock()
	p.now = now
	if state != nil {
		p.state = state
	}
	p.mu.Unlock()
	select {
	case p.fresh <- struct{}{}:
	default:
	}
}

func (p *page) take() (state, now []byte) {
	p.mu.Lock()
	defer p.mu.Unlock()
	state, now = p.state, p.now
	p.state, p.now = nil, nil
	return state, now
}

// changed has all pages told at once, as somebody has done something.
func (f *feed) changed() {
	select {
	case f.wake <- struct{}{}:
	default:
	}
}

func (f *feed) open() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	return len(f.pages)
}

// come adds a page, unless there are too many.
func (f *feed) come() *page {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.ended || len(f.pages) >= maxPages {
		return nil
	}
	p := &page{fresh: make(chan struct{}, 1), gone: make(chan struct{}), state: f.last}
	f.pages[p] = true
	f.changed()
	return p
}

func (f *feed) leave(p *page) {
	f.mu.Lock()
	defer f.mu.Unlock()
	delete(f.pages, p)
}

// close ends all streams.
func (f *feed) close() {
	f.mu.Lock()
	if f.ended {
		f.mu.Unlock()
		return
	}
	f.ended = true
	for p := range f.pages {
		close(p.gone)
	}
	f.mu.Unlock()
	close(f.stop)
	f.done.Wait()
}

// stream serves one page what happens, until it goes or stalls.
func (f *feed) stream(w http.ResponseWriter, r *http.Request) {
	p := f.come()
	if p == nil {
		refuse(w, http.StatusServiceUnavailable, errors.New("too many pages are open; close some"))
		return
	}
	defer f.leave(p)
	control := http.NewResponseController(w)
	control.SetReadDeadline(time.Time{}) // nothing more is read; the page stays as long as it likes
	w.Header().Set("Content-Type", "text/event-stream")
	for {
		select {
		case <-r.Context().Done():
			return
		case <-p.gone:
			return
		case <-p.fresh:
		}
		state, now := p.take()
		control.SetWriteDeadline(time.Now().Add(requestTime))
		for _, b := range [...][]byte{state, now} {
			if _, err := w.Write(b); err != nil {
				return
			}
		}
		if control.Flush() != nil {
			return
		}
	}
}
