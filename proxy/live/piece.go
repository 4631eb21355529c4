package live

import (
	"cmp"
	"math/bits"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/following"
)

// piece is what a daemon knows of the piece that it plays. The performance's lock guards it.
type piece struct {
	score    *expr.Score         // nil: nothing is known
	follower *following.Follower // nil: whoever plays knows where the music is
	stopped  bool                // when last looked at

	heard   int   // notes since the music began, up to as many as found has bits
	found   uint8 // which of the latest notes were found in the score, the latest in bit 0
	marks   [64]mark
	marked  int                // how many were ever set
	playing following.Position // at the latest
}

// mark is where the music was when a note came in.
type mark struct {
	at    time.Duration
	where following.Position
}

// markPeriod is the least time between two marks, so that all of them reach back for the
// longest lookahead.
const markPeriod = engine.MaxLookahead / 60

// stop forgets the place when the transport stops.
func (p *piece) stop(stopped bool) {
	if stopped && !p.stopped {
		p.follower.Reset()
		p.begin()
	}
	p.stopped = stopped
}

// begin begins to count what is found.
func (p *piece) begin() { p.heard, p.found = 0, 0 }

// note looks for a note in the score.
func (p *piece) note(e *expr.Event) {
	m := p.follower.Note(e.At, e.Port, uint8(e.Channel()), e.Msg[1])
	e.Note = int32(m.Note + 1)
	p.heard = min(p.heard+1, bits.Len8(^uint8(0)))
	p.found <<= 1
	if m.Note >= 0 {
		p.found |= 1
	}
	if p.marked == 0 || e.At-p.mark(1).at >= markPeriod {
		p.playing = p.follower.Position(e.At)
		p.marked++
		*p.mark(1) = mark{e.At, p.playing}
	}
}

// mark is the n-th latest mark, from 1.
func (p *piece) mark(n int) *mark { return &p.marks[(p.marked-n)%len(p.marks)] }

// isFound reports whether most of the latest notes were found in the score.
func (p *piece) isFound() bool {
	if p.follower == nil {
		return p.score != nil
	}
	return p.heard > 0 && 2*bits.OnesCount8(p.found) > p.heard
}

// sure is the probability from which on a place is told.
const sure = 0.5

// at is where the music that came in at a time is, and now is the present. ok is false
// where that is not known.
func (p *piece) at(t, now time.Duration) (where following.Position, ok bool) {
	if p.follower == nil || !p.isFound() {
		return where, false
	}
	if t >= now {
		where = p.follower.Position(now)
		return where, where.BarIndex >= 0 && where.Sure >= sure
	}
	for i := range min(p.marked, len(p.marks)) {
		if m := p.mark(i + 1); m.at <= t {
			if m.where.BarIndex < 0 || m.where.Sure < sure {
				return where, false
			}
			return later(p.score.Bars, m.where, t-m.at), true
		}
	}
	return where, false
}

// later is where the music is some time after it was in a bar, if it keeps its tempo.
func later(bars []expr.Bar, p following.Position, by time.Duration) following.Position {
	length, beats := extent(bars, p.BarIndex)
	t := bars[p.BarIndex].At + time.Duration((p.Beat-1)/beats*float64(length)+p.Tempo*float64(by))
	i, found := slices.BinarySearchFunc(bars, t, func(b expr.Bar, t time.Duration) int { return cmp.Compare(b.At, t) })
	if !found {
		i = max(i-1, 0)
	}
	length, beats = extent(bars, i)
	p.BarIndex, p.Bar = i, bars[i].Number
	p.Beat = 1 + float64(t-bars[i].At)/float64(length)*beats
	return p
}

// extent is how long a bar is: at the written tempo, and in beats of its time signature. The
// last one is taken to be whole, and to go as those before it.
func extent(bars []expr.Bar, i int) (length time.Duration, beats float64) {
	b := &bars[i]
	unit := float64(cmp.Or(max(b.Unit, 0), 4)) / 4 // beats in a quarter note
	if i+1 < len(bars) && bars[i+1].At > b.At && bars[i+1].Beat > b.Beat {
		return bars[i+1].At - b.At, (bars[i+1].Beat - b.Beat) * unit
	}
	beats = float64(max(b.Beats, 1))
	if quarters := b.Beat - bars[0].Beat; quarters > 0 && b.At > bars[0].At {
		return time.Duration(beats / unit * float64(b.At-bars[0].At) / quarters), beats
	}
	return time.Duration(beats / unit * float64(time.Second) / 2), beats // 120 a minute, as untold in MIDI
}
