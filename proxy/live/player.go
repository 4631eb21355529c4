package live

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sort"
	"time"

	"swellbox/expr"
	"swellbox/expr/channels"
	"swellbox/proxy/formats/wire"
	"swellbox/proxy/offline"
)

// Player plays a timeline through a daemon in real time.
type Player struct {
	live   *performance
	t      *offline.Timeline
	asked  chan stretch // that is to be played from now on; the latest alone counts
	rounds rounds       // where it is
}

// NewPlayer seats the timeline's parts, and has the engine know the piece if the
// daemon's manner is to play by the score. It is an error if the file needs more
// ports than the daemon has outputs, or if the loop lies outside the piece.
func NewPlayer(d *Daemon, t *offline.Timeline, loop Loop) (*Player, error) {
	if t.Ports > len(d.connections.outlets) {
		return nil, fmt.Errorf("the file uses %d ports of 16 channels and there are %d outputs: name one --out for each", t.Ports, len(d.connections.outlets))
	}
	p := &Player{live: d.performance, t: t, asked: make(chan stretch, 1)}
	first, err := p.stretch(loop)
	if err != nil {
		return nil, err
	}
	p.rounds.rest(first)
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
	r := run{p: p, events: wireEvents(p.t.Events), now: p.rounds.stretch(), timer: time.NewTimer(0)}
	defer r.timer.Stop()
	for _, e := range r.events[:r.index(r.now.from)] {
		if e.Len == 0 {
			p.live.push(e) // set-ups by system exclusive, once
		}
	}
	moved := r.within()
	for jumped := false; ; {
		next, err := r.round(ctx, moved, jumped || r.now.again)
		if next == nil && err == nil && !r.now.again {
			next, err = r.playOut(ctx)
			if next == nil {
				return err
			}
		}
		switch {
		case err != nil:
			return err
		case next == nil:
			moved = r.within()
		default: // elsewhere, wherever controllers were brought to meanwhile
			r.now, moved, jumped = *next, r.events, true
		}
	}
}

// run is a player that plays.
type run struct {
	p        *Player
	events   []expr.Event
	now      stretch
	sounding []expr.Event // the note-offs of what sounds
	timer    *time.Timer
}

// index is of the first event from a time on.
func (r *run) index(at time.Duration) int {
	return sort.Search(len(r.events), func(i int) bool { return r.events[i].At >= at })
}

// last is behind the last event that is played.
func (r *run) last() int {
	if r.now.again {
		return r.index(r.now.to)
	}
	return len(r.events)
}

// within is what a round plays.
func (r *run) within() []expr.Event { return r.events[r.index(r.now.from):r.last()] }

// round plays from the stretch's beginning to its end, and ends what sounds then. It begins with each channel
// as what comes before leaves it, and back there where it may have been moved otherwise. Where another stretch
// is asked for in which the music is already, it goes on to the end of that one; otherwise next says which.
func (r *run) round(ctx context.Context, moved []expr.Event, back bool) (next *stretch, err error) {
	at := r.now.from
	start := time.Now()
	i := r.index(at)
	r.p.rounds.begin(r.now, r.p.live.now())
	r.p.chase(r.events[:i], moved, back)
	for {
		until := r.now.to
		if i < r.last() {
			until = r.events[i].At
		}
		asked, err := r.wait(ctx, time.Until(start.Add(until-at)))
		switch {
		case err != nil:
			return nil, err
		case asked != nil:
			if here := at + time.Since(start); here < asked.from || here >= asked.to {
				r.end()
				return asked, nil
			}
			r.now = *asked
			r.p.rounds.goOn(r.now)
		case i < r.last():
			r.p.live.push(r.events[i])
			r.sounding = heldAfter(r.sounding, &r.events[i])
			i++
		default:
			r.end()
			return nil, nil
		}
	}
}

// end ends what sounds.
func (r *run) end() {
	for _, e := range r.sounding {
		r.p.live.push(e)
	}
	r.sounding = r.sounding[:0]
}

// wait waits for so long, if it is anything, or until another stretch is asked for.
func (r *run) wait(ctx context.Context, rest time.Duration) (*stretch, error) {
	if rest <= 0 {
		select {
		case next := <-r.p.asked:
			return &next, ctx.Err()
		default:
			return nil, ctx.Err()
		}
	}
	r.timer.Reset(rest)
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case next := <-r.p.asked:
		return &next, ctx.Err()
	case <-r.timer.C:
		return nil, ctx.Err()
	}
}

// playOut waits until all that has come in has sounded, or another stretch is asked for. What is played may
// have an end yet to come, so it asks again.
func (r *run) playOut(ctx context.Context) (next *stretch, err error) {
	for rest := r.p.live.untilPlayedOut(); rest > 0; rest = r.p.live.untilPlayedOut() {
		if next, err := r.wait(ctx, rest); next != nil || err != nil {
			return next, err
		}
	}
	return nil, ctx.Err()
}

// heldAfter are the note-offs of what sounds after an event.
func heldAfter(held []expr.Event, e *expr.Event) []expr.Event {
	if !e.IsNoteOn() && !e.IsNoteOff() {
		return held
	}
	end := expr.Short(0, e.Port, 0x80|byte(e.Channel()), e.Msg[1], 64) // MIDI 1.0: the velocity of one that knows none
	if e.IsNoteOn() {
		return append(held, end)
	}
	if i := slices.IndexFunc(held, func(o expr.Event) bool { return o.Port == end.Port && o.Msg == end.Msg }); i >= 0 {
		return slices.Delete(held, i, i+1)
	}
	return held
}

// rest ends the sounding notes and keeps the position.
func (p *Player) rest() {
	orders{p.live}.endNotes()
	p.rounds.stop(p.live.heard())
}

// chase brings every channel to the state that the events before the start leave
// it in: programs, controllers, bends. Where that is wanted, what only the round itself moves goes back
// to where it stands untold, as the round before may have left it elsewhere.
func (p *Player) chase(before, round []expr.Event, back bool) {
	states, moved := p.states(before), p.states(round)
	for i := range states {
		if back {
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

// Position is where in the piece the player stands, and false if it has no bars.
func (p *Player) Position() (Position, bool) {
	if p.t.Bars == nil {
		return Position{}, false
	}
	at, to := p.rounds.position(p.live.heard())
	last := max(p.t.Tempo.Tick(to)-1, 0)
	bar, beat := p.t.Bars.Bar(min(p.t.Tempo.Tick(at), last))
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
