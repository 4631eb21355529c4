package rtmidi

import (
	"context"
	"time"
)

// ALSA's side of the matter. RtMidi sends each event "direct": the kernel puts it into the
// input pool of each receiver at once, and nothing queues at the sender. A receiver
// whose pool is full loses the event, and at its next read it loses all the rest of
// the pool as well; the sender's write succeeds. (Measured in a virtual machine with
// kernel 6.1: of 4096 messages sent at full speed to a slow program, 1898 arrived.)
//
// So nothing is sent before there is known to be room for it. meter.go looks; here
// an output waits.
const (
	// nap is the wait before looking again. Go's timers do not do less on Linux.
	nap = time.Millisecond
	// blindBurst is how many cells are sent in a nap when the receivers cannot be seen.
	// That is 16,000 a second, fifteen times what a MIDI 1.0 cable carries. Our choice.
	blindBurst = 16
)

// A device's buffer is not shown. It has 4096 bytes (rawmidi's default, from memory) and,
// at worst, a MIDI 1.0 cable behind it, so that more than deviceBuffer is never sent
// ahead of that cable's speed. A faster device is held to it as well.
const (
	deviceBuffer = 3072
	cableRate    = 3125 // bytes a second: 31,250 baud, 10 bits a byte (MIDI 1.0)
)

// pacer keeps one output from overrunning its receivers. It is used by one
// goroutine at a time.
type pacer struct {
	meter  *meter
	client int // our ALSA client number, 0 if not known

	at      time.Time // when backlog was right
	backlog float64   // bytes that a cable would not have carried yet
	device  bool      // a device listens, as far as is known
	blind   int       // cells sent since blindAt
	blindAt time.Time
}

func newPacer(m *meter, client int) *pacer {
	return &pacer{meter: m, client: client, at: time.Now()}
}

// wait returns when an event of so many bytes can be sent, with false if stop was
// closed first.
func (p *pacer) wait(stop <-chan struct{}, bytes int) bool {
	for pause := p.ask(bytes); pause > 0; pause = p.ask(bytes) {
		if !sleep(stop, pause) {
			return false
		}
	}
	p.backlog += float64(bytes)
	return true
}

// now reports whether an event of so many bytes can be sent without waiting for anything, a look at
// the receivers included; then it is to be sent.
func (p *pacer) now(bytes int) bool {
	p.advance()
	if p.device && p.backlog+float64(bytes) > deviceBuffer || !p.meter.takeUnseen(p.client, cells(bytes)) {
		return false
	}
	p.backlog += float64(bytes)
	return true
}

// ask is how long to wait before asking again, or 0 when the event can go now.
func (p *pacer) ask(bytes int) time.Duration {
	p.advance()
	if p.device {
		if excess := p.backlog + float64(bytes) - deviceBuffer; excess > 0 {
			return max(nap, seconds(excess/cableRate))
		}
	}
	cost := cells(bytes)
	answer := p.meter.take(p.client, cost)
	p.device = answer.device
	if answer.known {
		if answer.fits {
			return 0
		}
		return nap
	}
	if p.at.Sub(p.blindAt) >= nap {
		p.blind, p.blindAt = 0, p.at
	}
	if p.blind > 0 && p.blind+cost > blindBurst {
		return nap
	}
	p.blind += cost
	return 0
}

// advance lets the backlog shrink by what a cable has carried since.
func (p *pacer) advance() {
	now := time.Now()
	p.backlog = max(0, p.backlog-now.Sub(p.at).Seconds()*cableRate)
	p.at = now
}

// drain gives a device the time to send what it was given, up to ctx's end.
// Programs have what was sent already.
func (p *pacer) drain(ctx context.Context) error {
	p.advance()
	if p.device && !sleep(ctx.Done(), seconds(p.backlog/cableRate)) {
		return ctx.Err()
	}
	return nil
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// sleep waits for d, and reports false if stop was closed first.
func sleep(stop <-chan struct{}, d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-stop:
		return false
	}
}
