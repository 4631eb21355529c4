package live

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"sync/atomic"
	"time"

	"swellbox/expr"
	"swellbox/expr/channels"
	"swellbox/proxy/formats/wire"
	"swellbox/proxy/offline"
)

// Loop is a stretch of bars to play over and over, both included and counted from
// 1. The zero Loop is the whole piece, once.
type Loop struct{ First, Last int }

// Player plays a timeline through a daemon in real time.
type Player struct {
	live  *performance
	t     *offline.Timeline
	from  time.Duration // where a round begins
	to    time.Duration // where it ends
	again bool
	began atomic.Int64 // when the present round began, on the daemon's clock; idle if none is under way
	round atomic.Int64 // its number, from 0
	at    atomic.Int64 // the position while none is
}

// idle marks a player that does not play.
const idle = -1

// NewPlayer seats the timeline's parts, and has the engine know the piece if the
// daemon's manner is to play by the score. It is an error if the file needs more
// ports than the daemon has outputs, or if the loop lies outside the piece.
func NewPlayer(d *Daemon, t *offline.Timeline, loop Loop) (*Player, error) {
	if t.Ports > len(d.connections.outlets) {
		return nil, fmt.Errorf("the file uses %d ports of 16 channels and there are %d outputs: name one --out for each", t.Ports, len(d.connections.outlets))
	}
	p := &Player{live: d.performance, t: t, to: t.End}
	if loop != (Loop{}) {
		if loop.First < 1 || loop.Last < loop.First {
			return nil, fmt.Errorf("bars %d–%d cannot be played: the first bar is 1, and the last is not before the first", loop.First, loop.Last)
		}
		if t.Bars == nil {
			return nil, fmt.Errorf("the file counts in SMPTE time and has no bars, so bars %d–%d cannot be played", loop.First, loop.Last)
		}
		p.again = true
		p.from = t.Tempo.At(t.Bars.BarStart(loop.First))
		p.to = min(t.End, t.Tempo.At(t.Bars.BarStart(loop.Last+1)))
		if p.from >= t.End {
			last, _ := t.Bars.Bar(t.Tempo.Tick(t.End) - 1)
			return nil, fmt.Errorf("the piece ends with bar %d, so it has no bar %d", last, loop.First)
		}
	}
	p.began.Store(idle)
	p.at.Store(int64(p.from))
	var err error
	d.performance.locked(func() {
		var score *expr.Score
		if d.manner.Scored {
			t.MarkCalls(d.performance.stage.Cast())
			var warnings []string
			score, warnings = t.ScoreFor(&d.manner)
			for _, w := range warnings {
				d.log.Warn().Msg(w)
			}
		}
		d.performance.retry()
		d.performance.finder.know(score)
		d.performance.stage.Expect(t.Uses())
		err = d.performance.stage.SeatAll(t.Hints)
	})
	if err != nil {
		return nil, err
	}
	d.player.Store(p)
	return p, nil
}

// Play plays until the end or, in a loop, until ctx ends; then the sounding notes
// are ended. It returns ctx's error if that is what ended it. What waits in the lookahead
// is heard at the end of the piece and of a loop, and dropped when ctx ends.
func (p *Player) Play(ctx context.Context) error {
	defer p.rest()
	events := wireEvents(p.t.Events)
	first := sort.Search(len(events), func(i int) bool { return events[i].At >= p.from })
	last := len(events)
	if p.again {
		last = sort.Search(len(events), func(i int) bool { return events[i].At >= p.to })
	}
	for _, e := range events[:first] {
		if e.Len == 0 {
			p.live.push(e) // set-ups by system exclusive, once
		}
	}
	open := unended(events[first:last])
	timer := time.NewTimer(0)
	defer timer.Stop()
	for round := int64(0); ; round++ {
		start := time.Now()
		p.round.Store(round)
		p.began.Store(int64(p.live.now()))
		p.chase(events[:first], events[first:last])
		for _, e := range events[first:last] {
			if err := wait(ctx, timer, time.Until(start.Add(e.At-p.from))); err != nil {
				return err
			}
			p.live.push(e)
		}
		if err := wait(ctx, timer, time.Until(start.Add(p.to-p.from))); err != nil {
			return err
		}
		for _, e := range open {
			p.live.push(e)
		}
		if !p.again {
			return p.playOut(ctx, timer)
		}
	}
}

// playOut waits until all that has come in has sounded. What is played may have an end
// yet to come, so it asks again.
func (p *Player) playOut(ctx context.Context, timer *time.Timer) error {
	for rest := p.live.untilPlayedOut(); rest > 0; rest = p.live.untilPlayedOut() {
		if err := wait(ctx, timer, rest); err != nil {
			return err
		}
	}
	return ctx.Err()
}

// unended gives the note-offs that notes of a round lack.
func unended(round []expr.Event) (ends []expr.Event) {
	for i := range round {
		e := &round[i]
		if !e.IsNoteOn() && !e.IsNoteOff() {
			continue
		}
		end := expr.Short(0, e.Port, 0x80|byte(e.Channel()), e.Msg[1], 64) // MIDI 1.0: the velocity of one that knows none
		if e.IsNoteOn() {
			ends = append(ends, end)
		} else if i := slices.IndexFunc(ends, func(o expr.Event) bool { return o.Port == end.Port && o.Msg == end.Msg }); i >= 0 {
			ends = slices.Delete(ends, i, i+1)
		}
	}
	return ends
}

// rest ends the sounding notes and keeps the position.
func (p *Player) rest() {
	p.live.locked(p.live.stage.EndNotes)
	p.at.Store(int64(p.time()))
	p.began.Store(idle)
}

// wait waits for so long, if it is anything.
func wait(ctx context.Context, timer *time.Timer, rest time.Duration) error {
	if rest > 0 {
		timer.Reset(rest)
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-timer.C:
		}
	}
	return ctx.Err()
}

// chase brings every channel to the state that the events before the start leave
// it in: programs, controllers, bends. What only the round itself moves goes back
// to where it stands untold, as the round before may have left it elsewhere.
func (p *Player) chase(before, round []expr.Event) {
	states, moved := p.states(before), p.states(round)
	for i := range states {
		if p.again {
			states[i].Settle(&moved[i])
		}
		states[i].Each(func(status, d1, d2 byte) {
			e := expr.Short(0, uint16(i/16), status|byte(i%16), d1, d2)
			if status == 0xC0 || status == 0xD0 {
				e.Len = 2
			}
			p.live.push(e)
		})
	}
}

// states is what events say on each channel.
func (p *Player) states(events []expr.Event) []channels.State {
	states := make([]channels.State, p.t.Ports*16)
	for i := range states {
		states[i].Clear(expr.Rest)
	}
	for i := range events {
		if e := &events[i]; e.IsChannel() && e.Msg[0] >= 0xB0 {
			states[int(e.Port)*16+e.Channel()].Take(e)
		}
	}
	return states
}

// time is where in the piece what is heard now stands.
func (p *Player) time() time.Duration {
	began := p.began.Load()
	if began == idle {
		return time.Duration(p.at.Load())
	}
	t, length := p.live.heard()-time.Duration(began), p.to-p.from
	if before := time.Duration(p.round.Load()) * length; t < 0 && t+before > 0 {
		t = (t + before) % length // of a round before, which is still heard
	}
	return p.from + min(max(t, 0), length)
}

// Position is where in the piece the player stands, and false if it has no bars.
func (p *Player) Position() (Position, bool) {
	if p.t.Bars == nil {
		return Position{}, false
	}
	last := max(p.t.Tempo.Tick(p.to)-1, 0)
	bar, beat := p.t.Bars.Bar(min(p.t.Tempo.Tick(p.time()), last))
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
		out = appendWhole(out, &e)
	}
	return out
}

// appendWhole appends the messages in the bytes of an event, which a file's escape may
// fill with anything: what is not whole would be refused by the port.
func appendWhole(out []expr.Event, e *expr.Event) []expr.Event {
	wire.NewParser(func(b []byte) {
		m := message(e.Port, b)
		m.At, m.Source = e.At, e.Source
		out = append(out, m)
	}).Feed(e.Data)
	return out
}
