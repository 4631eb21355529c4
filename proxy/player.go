package proxy

import (
	"context"
	"fmt"
	"sort"
	"sync/atomic"
	"time"

	"swellbox/expr"
)

// Loop is a stretch of bars to play over and over, both included and counted from
// 1. The zero Loop is the whole piece, once.
type Loop struct{ First, Last int }

// Player plays a timeline through a daemon in real time.
type Player struct {
	d     *Daemon
	t     *Timeline
	from  time.Duration // where a round begins
	to    time.Duration // where it ends
	again bool
	at    atomic.Int64 // position, time.Duration
}

// NewPlayer seats the timeline's parts. It is an error if the file needs more
// ports than the daemon has outputs, or if the loop lies outside the piece.
func NewPlayer(d *Daemon, t *Timeline, loop Loop) (*Player, error) {
	if t.Ports > len(d.outlets) {
		return nil, fmt.Errorf("the file uses %d ports of 16 channels and there are %d outputs: name one --out for each", t.Ports, len(d.outlets))
	}
	p := &Player{d: d, t: t, to: t.End}
	if loop != (Loop{}) {
		if loop.First < 1 || loop.Last < loop.First {
			return nil, fmt.Errorf("bars %d-%d cannot be played: the first bar is 1, and the last is not before the first", loop.First, loop.Last)
		}
		if t.Bars == nil {
			return nil, fmt.Errorf("the file counts in SMPTE time and has no bars, so bars %d-%d cannot be played", loop.First, loop.Last)
		}
		p.again = true
		p.from = t.Tempo.At(t.Bars.BarStart(loop.First))
		p.to = min(t.End, t.Tempo.At(t.Bars.BarStart(loop.Last+1)))
		if p.from >= t.End {
			last, _ := t.Bars.Bar(t.Tempo.Tick(t.End) - 1)
			return nil, fmt.Errorf("the piece ends with bar %d, so it has no bar %d", last, loop.First)
		}
	}
	var err error
	d.locked(func() { err = d.stage.SeatAll(t.Hints) })
	if err != nil {
		return nil, err
	}
	d.player.Store(p)
	return p, nil
}

// Play plays until the end or, in a loop, until ctx ends; then the sounding notes
// are ended. It returns ctx's error if that is what ended it.
func (p *Player) Play(ctx context.Context) error {
	defer p.d.EndNotes()
	events := wireEvents(p.t.Events)
	first := sort.Search(len(events), func(i int) bool { return events[i].At >= p.from })
	for _, e := range events[:first] {
		if e.Len == 0 {
			p.d.push(e) // set-ups by system exclusive, once
		}
	}
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		start := time.Now()
		p.chase(events[:first])
		for _, e := range events[first:] {
			if e.At >= p.to && p.again {
				break
			}
			if err := p.wait(ctx, timer, start, e.At); err != nil {
				return err
			}
			p.d.push(e)
		}
		if err := p.wait(ctx, timer, start, p.to); err != nil {
			return err
		}
		if !p.again {
			return nil
		}
		p.d.EndNotes()
	}
}

// wait waits until the moment of the piece has come, counted from the start of the
// round, so that no delay adds up.
func (p *Player) wait(ctx context.Context, timer *time.Timer, start time.Time, at time.Duration) error {
	if rest := time.Until(start.Add(at - p.from)); rest > 0 {
		timer.Reset(rest)
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-timer.C:
		}
	}
	p.at.Store(int64(at))
	return ctx.Err()
}

// chase brings every channel to the state that the events before the start leave
// it in: programs, controllers, bends.
func (p *Player) chase(before []expr.Event) {
	states := make([]channelState, p.t.Ports*16)
	for i := range states {
		states[i].init()
	}
	for i := range before {
		if e := &before[i]; e.IsChannel() && e.Msg[0] >= 0xB0 {
			states[int(e.Port)*16+e.Channel()].take(e)
		}
	}
	for i := range states {
		states[i].each(func(status, d1, d2 byte) {
			e := expr.Short(0, uint16(i/16), status|byte(i%16), d1, d2)
			if status == 0xC0 || status == 0xD0 {
				e.Len = 2
			}
			p.d.push(e)
		})
	}
}

// Position is where in the piece the player stands, and false if it has no bars.
func (p *Player) Position() (Position, bool) {
	if p.t.Bars == nil {
		return Position{}, false
	}
	bar, beat := p.t.Bars.Bar(p.t.Tempo.Tick(time.Duration(p.at.Load())))
	return Position{Bar: bar, Beat: beat}, true
}

// wireEvents leaves out what has no place on a wire (meta events), and joins system
// exclusive messages that a file keeps in several packets.
func wireEvents(events []expr.Event) []expr.Event {
	out := make([]expr.Event, 0, len(events))
	open := map[uint16][]byte{} // by track: packets so far
	for _, e := range events {
		if e.Len > 0 {
			out = append(out, e)
			continue
		}
		switch data := e.Data; {
		case len(data) == 0 || data[0] == 0xFF:
			continue
		case data[0] == 0xF7 && open[e.Source] == nil:
			e.Data = data[1:] // an escape: bytes to send as they are
		case data[0] == 0xF7:
			e.Data = append(open[e.Source], data[1:]...)
		}
		if n := len(e.Data); n > 0 && e.Data[0] == 0xF0 && e.Data[n-1] != 0xF7 {
			open[e.Source] = append([]byte(nil), e.Data...)
			continue
		}
		delete(open, e.Source)
		if len(e.Data) > 0 && e.Data[0] >= 0x80 {
			out = append(out, e)
		}
	}
	return out
}
