package live

import (
	"sync"
	"time"
)

// Loop is a stretch of bars to play over and over, both included and counted from
// 1. The zero Loop is the whole piece, once.
type Loop struct {
	First int `json:"first"`
	Last  int `json:"last"`
}

// Playing is what a player plays.
type Playing struct {
	Bars int   `json:"bars"`           // of the piece
	Loop *Loop `json:"loop,omitempty"` // the bars that are played over and over
}

// stretch is a part of a piece, as it is played: over and over, or once.
type stretch struct {
	from, to time.Duration
	again    bool
	bars     Loop
}

// rounds is where a player is: one goroutine plays, others ask.
type rounds struct {
	mu      sync.Mutex
	now     stretch
	next    stretch       // that was asked for last, and is played at once
	from    time.Duration // in the piece, where the present round began
	began   time.Duration // when, on the daemon's clock
	before  int           // whole rounds of this stretch before it
	playing bool
	at      time.Duration // in the piece, while nothing is played
}

// rest stands at the beginning of a stretch.
func (r *rounds) rest(s stretch) { r.now, r.next, r.from, r.at = s, s, s.from, s.from }

func (r *rounds) ask(s stretch) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.next = s
}

func (r *rounds) wanted() stretch {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.next
}

func (r *rounds) stretch() stretch {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.now
}

// begin begins a round.
func (r *rounds) begin(s stretch, now time.Duration) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.playing && s == r.now {
		r.before++
	} else {
		r.before = 0
	}
	r.now, r.from, r.began, r.playing = s, s.from, now, true
}

// goOn gives the present round another end.
func (r *rounds) goOn(s stretch) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.now, r.before = s, 0
}

// stop keeps the position.
func (r *rounds) stop(heard time.Duration) {
	at, _ := r.position(heard)
	r.mu.Lock()
	defer r.mu.Unlock()
	r.at, r.playing = at, false
}

// position is where in the piece what is heard stands, and where the stretch ends.
func (r *rounds) position(heard time.Duration) (at, to time.Duration) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if !r.playing {
		return r.at, r.now.to
	}
	t, length := heard-r.began, r.now.to-r.now.from
	if before := time.Duration(r.before) * length; t < 0 && t+before > 0 {
		return r.now.from + (t+before)%length, r.now.to // of a round before, which is still heard
	}
	return min(max(r.from+t, r.from), r.now.to), r.now.to
}
