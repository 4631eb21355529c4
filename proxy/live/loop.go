package live

import (
	"errors"
	"fmt"
	"sync"
	"time"
)

// Loop is a stretch of bars to play over and over, both included and counted from
// 1. The zero Loop is the whole piece, once.
type Loop struct {
	First int `json:"first"`
	Last  int `json:"last"`
}

// SetLoop has the player play a stretch of bars over and over from now on; of the zero Loop, on to the
// end of the piece. Music that is within the stretch goes on, other jumps to its beginning.
func (d *Daemon) SetLoop(l Loop) error {
	p := d.player.Load()
	if p == nil {
		return errors.New("what comes in live cannot be looped: loop it in the notation program, or play a file with swellbox play")
	}
	s, err := p.stretch(l)
	if err != nil {
		return err
	}
	p.rounds.ask(s)
	for {
		select {
		case p.asked <- s:
			return nil
		case <-p.asked: // that was not taken up yet
		}
	}
}

// Playing is what a player plays.
type Playing struct {
	Bars int   `json:"bars"`           // of the piece
	Loop *Loop `json:"loop,omitempty"` // the bars that are played over and over
}

// Playing is what the player plays, and false if the piece has no bars.
func (p *Player) Playing() (Playing, bool) {
	if p.t.Bars == nil {
		return Playing{}, false
	}
	last, _ := p.t.Bars.Bar(max(p.t.Tempo.Tick(p.t.End)-1, 0))
	playing := Playing{Bars: last}
	if s := p.rounds.wanted(); s.again {
		playing.Loop = &Loop{s.bars.First, min(s.bars.Last, last)}
	}
	return playing, true
}

// Looping reports whether the player plays over and over, and so has no end of its own.
func (p *Player) Looping() bool { return p.rounds.wanted().again }

// stretch is a part of a piece, as it is played: over and over, or once.
type stretch struct {
	from, to time.Duration
	again    bool
	bars     Loop
}

// stretch is that of bars.
func (p *Player) stretch(l Loop) (stretch, error) {
	if l == (Loop{}) {
		return stretch{to: p.t.End}, nil
	}
	if l.First < 1 || l.Last < l.First {
		return stretch{}, fmt.Errorf("bars %d–%d cannot be played: the first bar is 1, and the last is not before the first", l.First, l.Last)
	}
	bars := p.t.Bars
	if bars == nil {
		return stretch{}, fmt.Errorf("the file counts in SMPTE time and has no bars, so bars %d–%d cannot be played", l.First, l.Last)
	}
	s := stretch{again: true, bars: l, from: p.t.Tempo.At(bars.BarStart(l.First))}
	s.to = min(p.t.End, p.t.Tempo.At(bars.BarStart(l.Last+1)))
	if s.from >= p.t.End {
		last, _ := bars.Bar(p.t.Tempo.Tick(p.t.End) - 1)
		return stretch{}, fmt.Errorf("the piece ends with bar %d, so it has no bar %d", last, l.First)
	}
	return s, nil
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
