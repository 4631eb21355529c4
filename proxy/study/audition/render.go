package audition

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"swellbox/expr"
)

const (
	// blockFrames is how much of every part is rendered before they are summed.
	blockFrames = 128 * step
	// fadeOut ends a take whose sound goes on past its end.
	fadeOut = 50 * time.Millisecond
)

// Take is one rendered performance. A note at full level in the middle of an
// instrument's range has an RMS near 1, so samples may well be over 1: see
// [CommonGain].
type Take struct {
	Left, Right []float32 // SampleRate frames a second
}

// Render plays the events of one performance, ordered in time, as parts on
// one small stage. The take is exactly length long; the caller allows for the
// last note's tail. Events that no part hears, and events past the end, are passed
// over. progress, which may be nil, is called from this goroutine as the take
// grows, at last with both times equal.
//
// It fails when a part is out of range, two share a channel, the events are out of
// order, or length is negative or over 20 minutes, and with the error of ctx when that
// ends it.
func Render(ctx context.Context, parts []Part, events []expr.Event, length time.Duration, progress func(done, length time.Duration)) (*Take, error) {
	return render(ctx, parts, events, length, progress, newRoom())
}

// render is Render in the given room; without one, it is dry.
func render(ctx context.Context, parts []Part, events []expr.Event, length time.Duration, progress func(done, length time.Duration), r *room) (*Take, error) {
	if err := check(parts); err != nil {
		return nil, err
	}
	if length < 0 || length > MaxLength {
		return nil, fmt.Errorf("a take must be 0 to %.0f minutes long, found %v; take fewer bars", MaxLength.Minutes(), length.Round(time.Second))
	}
	players, err := seat(parts, events)
	if err != nil {
		return nil, err
	}
	frames := int(length.Seconds() * SampleRate)
	t := &Take{Left: make([]float32, frames), Right: make([]float32, frames)}
	bufs := make([][]float32, len(players))
	for i := range bufs {
		bufs[i] = make([]float32, blockFrames)
	}
	heard := make([]bool, len(players))
	for from := 0; from < frames; from += blockFrames {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		n := min(blockFrames, frames-from)
		each(len(players), func(i int) { heard[i] = players[i].play(bufs[i][:n]) })
		left, right := t.Left[from:from+n], t.Right[from:from+n]
		for i, p := range players {
			if heard[i] {
				mix(left, right, bufs[i], p.part.Pan)
			}
		}
		if r != nil {
			r.add(left, right)
		}
		if progress != nil {
			progress(time.Duration(from+n)*time.Second/SampleRate, length)
		}
	}
	if progress != nil {
		progress(length, length)
	}
	t.fade(int(fadeOut.Seconds() * SampleRate))
	return t, nil
}

// seat gives each part its player and its messages.
func seat(parts []Part, events []expr.Event) ([]*player, error) {
	players := make([]*player, len(parts))
	at := make(map[[2]int]*player, len(parts))
	for i, p := range parts {
		players[i] = newPlayer(p, i)
		at[[2]int{p.Port, p.Channel}] = players[i]
	}
	last := time.Duration(0)
	for i := range events {
		e := &events[i]
		if e.At < last {
			return nil, fmt.Errorf("event %d is at %v, after one at %v; events must be in order and not before 0", i+1, e.At, last)
		}
		last = e.At
		if !e.IsChannel() || e.Msg[1]|e.Msg[2] >= 0x80 {
			continue // not for us, or not MIDI
		}
		if p := at[[2]int{int(e.Port), e.Channel()}]; p != nil {
			p.messages = append(p.messages, message{frameOf(e), e.Msg})
		}
	}
	return players, nil
}

// each calls f for 0..n-1 on all processors and waits.
func each(n int, f func(i int)) {
	var wg sync.WaitGroup
	var next atomic.Int64
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
				f(int(i))
			}
		})
	}
	wg.Wait()
}

// mix adds a part at its place between left and right, with equal power
// wherever that is.
func mix(left, right, in []float32, pan float64) {
	sin, cos := math.Sincos((pan + 1) * math.Pi / 4)
	l, r := float32(cos), float32(sin)
	for j := range left {
		left[j] += l * in[j]
		right[j] += r * in[j]
	}
}

// fade brings the last n frames down to nothing.
func (t *Take) fade(n int) {
	n = min(n, len(t.Left))
	from := len(t.Left) - n
	for j := range n {
		g := float32(n-1-j) / float32(n)
		t.Left[from+j] *= g
		t.Right[from+j] *= g
	}
}
