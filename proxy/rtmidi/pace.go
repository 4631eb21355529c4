package rtmidi

import (
	"context"
	"time"
)

// ALSA's side of the matter. RtMidi sends each event "direct", which the kernel puts
// into the pool of each receiver at once, without queueing it at the sender. A
// receiver that is full refuses it; the event then waits in the C library's
// buffer, behind which later ones line up, until the next call; and when that buffer
// is full too, events are dropped. None of this is reported. (RtMidi.cpp,
// MidiOutAlsa::sendMessage; the C library and the kernel, from memory.)
//
// So the sender has to look before it leaps. Looking means reading
// /proc/asound/seq/clients, which is too slow to do for every message: a small
// credit, which grows with time, is spent first.
const (
	// burst is the credit in cells. Several of our outputs may lead to one receiver,
	// whose pool has 200 cells (SNDRV_SEQ_DEFAULT_CLIENT_EVENTS, from memory): eight
	// at once do not fill it.
	burst = 24
	// refill is how fast the credit grows, cells a second: a program that reads its
	// input at all reads faster. Eight times what one MIDI 1.0 cable carries
	// (31,250 baud, 10 bits a byte, 3 bytes a message: 1,042 messages a second).
	refill = 8000
	// maxUnseen is how many cells are sent at most before the next look, however slowly: the
	// receiver may have stopped reading.
	maxUnseen = 64
	// reserve is what is left free for other senders, cells.
	reserve = 16
	// eventSize is sizeof(snd_seq_event_t), bytes (alsa/seq_event.h; measured: 28): the size of a cell.
	eventSize = 28
	// senderBuffer is the C library's buffer in events (16 KiB, SND_SEQ_OBUF_SIZE, from memory).
	senderBuffer = 16 << 10 / eventSize
	// patience is how long a receiver that does not read may hold up the music. After
	// that it is sent to without waiting until it reads again. Our choice.
	patience = 250 * time.Millisecond
	// nap is the wait before looking again. Go's timers do not do less on Linux.
	nap = time.Millisecond
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
	look func() (r room, known bool)

	at      time.Time
	credit  float64 // cells that may be sent without looking
	unseen  float64 // cells sent since the last look
	backlog float64 // bytes that a cable would not have carried yet
	stuck   bool    // the receiver has used up our patience,
	left    int     // and had so few cells free since
}

func newPacer(look func() (room, bool)) *pacer {
	return &pacer{look: look, at: time.Now(), credit: burst}
}

// cells is the room that one event of so many bytes takes: one cell, and for
// system exclusive one more for each eventSize bytes or part of it.
func cells(bytes int) float64 {
	if bytes <= 3 {
		return 1
	}
	return float64(1 + (bytes+eventSize-1)/eventSize)
}

// wait returns when an event of so many bytes can be sent, with false if stop was
// closed first.
func (p *pacer) wait(stop <-chan struct{}, bytes int) bool {
	p.advance()
	cost := cells(bytes)
	if (p.credit < cost || p.unseen >= maxUnseen) && !p.earn(stop, cost, bytes) {
		return false
	}
	p.credit -= cost
	p.unseen += cost
	p.backlog += float64(bytes)
	return true
}

// earn looks at the receivers, as often as is needed, and sets the credit to at
// least cost.
func (p *pacer) earn(stop <-chan struct{}, cost float64, bytes int) bool {
	begun := time.Now()
	for {
		r, known := p.look()
		p.unseen = 0
		var wait time.Duration
		earned := float64(burst)
		switch {
		case !known:
			if p.credit >= cost {
				return true
			}
			wait = max(nap, seconds((cost-p.credit)/refill))
		case r.readers > 0 && float64(r.free) < min(cost+reserve, float64(r.size)):
			if p.stuck && r.free > p.left {
				p.stuck, begun = false, time.Now() // it reads again
			}
			p.left = r.free
			if p.stuck = p.stuck || time.Since(begun) >= patience; !p.stuck {
				wait = nap
			}
		default:
			p.stuck = false
			if r.readers > 0 {
				earned = min(burst, float64(r.free)-reserve)
			}
			if r.device {
				wait = seconds((p.backlog + float64(bytes) - deviceBuffer) / cableRate)
			}
		}
		if wait <= 0 {
			p.credit = max(cost, earned)
			return true
		}
		if !sleep(stop, wait) {
			return false
		}
		p.advance()
	}
}

// advance lets the credit grow and the backlog shrink by the time that has passed.
func (p *pacer) advance() {
	now := time.Now()
	passed := now.Sub(p.at).Seconds()
	p.at = now
	p.credit = min(burst, p.credit+passed*refill)
	p.backlog = max(0, p.backlog-passed*cableRate)
}

// drain pushes what the C library still holds until none can be left, up to ctx's
// end. What is held is not shown; but with so many free cells at the receiver before
// a push, as many events have gone, and there are never more than senderBuffer.
func (p *pacer) drain(ctx context.Context, push func() error) error {
	for gone := 0; ; {
		r, known := p.look()
		if err := push(); err != nil {
			return err
		}
		p.advance()
		wait := nap
		switch {
		case !known, r.readers > 0:
			// Unknown receivers are given the time in which they would read it all.
			gone += r.free
			if !known {
				gone += int(refill * nap.Seconds())
			}
			if gone >= senderBuffer {
				wait = 0
			}
		default:
			wait = 0
		}
		if r.device {
			wait = max(wait, seconds(p.backlog/cableRate))
		}
		if wait <= 0 {
			p.stuck = false // it has read all this
			return nil
		}
		if !sleep(ctx.Done(), wait) {
			return ctx.Err()
		}
	}
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
