package live

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/recording"
	"swellbox/proxy/perform"
)

// Replayed is what a replay found.
type Replayed struct {
	Program  string // by which was recorded
	Inputs   int
	Outputs  int
	Messages int           // that came in
	Missing  uint64        // that came in and were not recorded
	Cut      bool          // the recording ends before the daemon did
	End      time.Duration // of what was sent
	Parts    []perform.Part
}

// Replay does again what a daemon did whose recording this is: emit gets every message that was put to
// the outputs, each with the time at which it was due and its output as Port. It is the same for
// every replay by the same program. Of one part, messages come in the order in which the daemon sent
// them; which of several parts comes first at one time is not said. What an event holds is only its
// own until emit returns.
//
// The ports of the daemon are not part of it: what it could not send, because nobody took it, is
// here as well, and its --cable-speed thins nothing.
func Replay(ctx context.Context, r *recording.Recording, emit func(*expr.Event)) (*Replayed, error) {
	if len(r.Records) == 0 {
		return nil, errNoBeginning
	}
	first, err := parseOrder(&r.Records[0])
	if err != nil || first.Begin == nil {
		return nil, errors.Join(errNoBeginning, err)
	}
	b := first.Begin
	if b.Outputs < 1 || b.Outputs > maxReplayed || b.Inputs > b.Outputs {
		return nil, fmt.Errorf("the recording says that there were %d inputs and %d outputs, which cannot be", b.Inputs, b.Outputs)
	}
	if err := perform.CheckLookahead(b.Manner.Lookahead); err != nil {
		return nil, err
	}
	cast, err := b.Cast.cast()
	if err != nil {
		return nil, err
	}
	re := &replay{found: Replayed{Program: b.Program, Inputs: b.Inputs, Outputs: b.Outputs, Cut: true}}
	re.performance, err = newPerformance(&Config{
		Cast: cast, Inputs: make([]PortSpec, max(b.Inputs, 0)), Outputs: make([]PortSpec, b.Outputs),
		Foot: b.Foot, Match: b.Match, Manner: b.Manner, Score: b.Score,
	}, &connections{}, func(e *expr.Event) {
		re.found.End = max(re.found.End, e.At)
		emit(e)
	})
	if err != nil {
		return nil, err
	}
	p := re.performance
	p.clock = func() time.Duration { return re.now }
	p.wake = func(time.Duration) {}
	for i := range r.Records[1:] {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := re.do(&r.Records[1+i]); err != nil {
			return nil, err
		}
	}
	if re.found.Cut {
		re.advance(p.stage.PlayedOut() + time.Second)
	}
	re.found.Parts = p.stage.Parts
	return &re.found, nil
}

// maxReplayed bounds the outputs of a recording.
const maxReplayed = 256

var errNoBeginning = errors.New("the recording has no beginning: nothing can be said of what it holds")

// replay is a performance in time that is false.
type replay struct {
	performance *performance
	now         time.Duration
	watch       *perform.Watch
	found       Replayed
}

// advance lets time go by, with all that is due meanwhile.
func (r *replay) advance(to time.Duration) {
	for r.now < to {
		next, ok := r.performance.stage.Next()
		if !ok || next > to {
			break
		}
		r.now = max(r.now, next)
		r.performance.due()
	}
	r.now = max(r.now, to)
}

// do plays one record.
func (r *replay) do(rec *recording.Record) error {
	r.advance(rec.At)
	switch rec.Kind {
	case recording.Message:
		r.found.Messages++
		r.performance.receive(rec.Port, rec.Bytes)
	case recording.Gap:
		r.found.Missing += rec.Missing
	case recording.Order:
		o, err := parseOrder(rec)
		if err != nil {
			return err
		}
		return r.obey(o)
	}
	return nil
}

func parseOrder(rec *recording.Record) (*order, error) {
	o := &order{}
	if rec.Kind != recording.Order {
		return nil, errNoBeginning
	}
	if err := json.Unmarshal(rec.Bytes, o); err != nil {
		return nil, fmt.Errorf("an order in the recording cannot be read: %w", err)
	}
	return o, nil
}

// obey does what was ordered. What was refused then is refused now, and is no error.
func (r *replay) obey(o *order) error {
	p := orders{r.performance}
	switch o.Do {
	case toSwitch:
		_ = p.switchTo(o.Side, o.Parts)
	case toPlace:
		_ = p.setPlace(o.Place, o.Parts)
	case toLookahead:
		_ = p.setLookahead(o.Lookahead)
	case toPanic:
		p.panicNow()
	case toEndNotes:
		p.endNotes()
	case toRelease:
		p.release(o.Port, always)
	case toRestore:
		p.restore(o.Port, o.On, func() {})
	case toRetry:
		p.locked(p.retry)
	case toRecast:
		c, err := o.Cast.cast()
		if err != nil {
			return err
		}
		_, _ = p.recast(c)
	case toFollow:
		if o.Score != nil {
			p.takeScore(o.Score)
		}
	case toSetSeat, toMatch:
		if r.watch == nil {
			p.locked(func() { r.watch = perform.NewWatch(p.stage) })
		}
		if o.Do == toMatch {
			p.match(r.watch, o.On)
		} else {
			p.setSeat(r.watch, o.Part, o.DB)
		}
	case toLeave:
		p.ordered(o, p.stage.Leave)
		for end := r.now + drainTime; r.now < end && !p.left(); {
			r.advance(r.now + perform.RampStep)
		}
		r.found.Cut = false
	}
	return nil
}
