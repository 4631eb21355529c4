package live

import (
	"bytes"
	"fmt"
	"sync/atomic"
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
	"swellbox/proxy/perform"
)

// performance is a stage that plays in real time. Messages are handled on the thread that
// delivers them, under one lock that is never held across a port call; what comes out is put to its
// outlet, and sent when the lock is free again.
type performance struct {
	out     *connections
	ports   int // outputs
	diary   diary
	notesIn atomic.Uint64

	mu     gate // guards what follows
	stage  *perform.Stage
	finder finder
	foot   foot
	alarm
	at      time.Duration // of what is told at present, or was told last
	broken  error         // why the engine is bypassed, or nil
	closed  bool
	notices []string      // for the log
	noteAt  time.Duration // when a note last came in
}

// alarm is the time, and what is due without further input.
type alarm struct {
	clock   func() time.Duration      // since the start
	wake    func(after time.Duration) // has due be called
	timer   *time.Timer               // nil in a replay
	armed   time.Duration             // when the timer comes; -1 if it does not
	pulling bool                      // the timer's own work is under way, and arms it when it is done
}

// now is the time since the start.
func (a *alarm) now() time.Duration { return a.clock() }

// receive takes one whole message from an input.
func (p *performance) receive(port uint16, b []byte) {
	if len(b) > 0 {
		p.push(message(port, b))
	}
}

// message is the event of one whole message, of which it keeps a copy.
func message(port uint16, b []byte) expr.Event {
	e := expr.Event{Port: port}
	if len(b) <= len(e.Msg) {
		e.Len = uint8(copy(e.Msg[:], b))
	} else {
		e.Data = bytes.Clone(b)
	}
	return e
}

// push plays one event now. It overtakes all movement that is due, and what may be thought of it
// later is thought when it is on its way.
func (p *performance) push(e expr.Event) {
	if e.IsNoteOn() {
		p.notesIn.Add(1)
	}
	p.mu.hasten()
	if p.closed {
		p.mu.Unlock()
		return
	}
	p.at = p.now()
	e.At = p.at
	p.diary.message(&e)
	switch {
	case e.IsNoteOn():
		p.noteAt = e.At
	case e.Len == 1 && e.Msg[0] == transportStart:
		p.retry()
	}
	if !p.footed(&e) {
		p.finder.place(&e)
		p.play(e)
	}
	p.mu.Unlock()
	p.out.send(int(e.Port))
	p.mu.Lock()
	if !p.closed {
		p.arm()
		p.try(p.stage.Reflect) // on what has just left
	}
	p.mu.Unlock()
}

// play runs the stage on an event. Should the engine fail, the music goes on
// without it.
func (p *performance) play(e expr.Event) {
	if p.broken == nil && (p.try(func() { p.stage.Push(e) }) || p.stage.Waits(&e)) {
		return
	}
	if !p.try(func() { p.stage.Performance.Push(e); p.stage.Pull(e.At) }) { // seats nobody
		p.out.put(&e)
	}
}

// noteSeat notes for the log how a part was seated. p.mu is held.
func (p *performance) noteSeat(part perform.Part) {
	p.notices = append(p.notices, fmt.Sprintf("%s plays as %s: %s", part.Name, part.Profile, part.Why))
	for _, doubt := range part.Doubts() {
		p.notices = append(p.notices, "doubtful: "+doubt)
	}
}

// footed reports whether an event was the foot switch's, and switches. p.mu is held.
func (p *performance) footed(e *expr.Event) bool {
	its, press := p.foot.takes(e)
	if !its || press == p.foot.pressed || p.broken != nil {
		return its
	}
	if side, changed := p.foot.press(press, sideOf(p.stage)); changed {
		p.pull()
		perform.EachChannel(p.ports, func(port, channel int) { p.stage.Switch(port, channel, side) })
	}
	return true
}

// try runs f, and bypasses the engine should it panic. p.mu is held.
func (p *performance) try(f func()) (ok bool) {
	defer func() {
		if r := recover(); r != nil {
			p.bypass(r)
			ok = false
		}
	}()
	f()
	return true
}

// bypass goes on without an engine that failed; see [perform.Performance.Bypass].
func (p *performance) bypass(reason any) {
	p.broken = fmt.Errorf("the engine failed: %v; all parts play raw until the music starts anew", reason)
	p.finder.piece = piece{}
	p.stage.Bypass(p.at)
}

// due is called by the timer. It gives way to every message that comes in meanwhile.
func (p *performance) due() {
	p.mu.Lock()
	p.at = p.now()
	p.armed, p.pulling = -1, true
	for done := false; !p.closed; p.mu.giveWay() {
		if !p.try(func() { done = p.stage.PullWhile(p.now(), p.mu.calm) }) || done {
			break
		}
	}
	p.pulling = false
	if !p.closed {
		p.arm()
	}
	p.mu.Unlock()
	p.out.sendAll()
}

// pull brings the stage up to now. p.mu is held.
func (p *performance) pull() {
	p.try(func() { p.stage.Pull(p.now()) })
}

// arm sets the timer for what the stage has next, unless it comes sooner anyway. p.mu is held.
func (p *performance) arm() {
	next, ok := p.stage.Next()
	if !ok || p.pulling || p.armed >= 0 && p.armed <= next {
		return
	}
	p.armed = next
	p.wake(next - p.now())
}

// locked runs f on the stage, brought up to now, and sends what it causes. Whatever changes what is
// played is to be [performance.ordered].
func (p *performance) locked(f func()) { p.ordered(nil, f) }

// leave ends every sounding note, lifts the pedals, brings the outputs to their raw state, and
// plays no more. It is done within drainTime.
func (p *performance) leave() {
	p.ordered(&order{Do: toLeave}, p.stage.Leave)
	// A ramp from silence to full takes 96 dB, so 96 ms.
	for deadline := time.Now().Add(drainTime); time.Now().Before(deadline) && !p.left(); {
		time.Sleep(perform.RampStep)
	}
	p.mu.Lock()
	p.closed = true
	p.timer.Stop()
	p.mu.Unlock()
}

func (p *performance) left() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.stage.Left()
}

// delay is by how much later what comes in now sounds. After music has ended the engine
// keeps its delay, but a single note would not wait. p.mu is held.
func (p *performance) delay() time.Duration {
	s := p.stage
	if state, _ := s.Transport(); state == beat.Stands && s.PlayedOut() <= p.now() {
		return 0
	}
	_, now := s.Lookahead()
	return now
}

// heard is when what is heard now came in.
func (p *performance) heard() time.Duration {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.now() - p.delay()
}

// untilPlayedOut is how long it takes until all that has come in has sounded.
func (p *performance) untilPlayedOut() time.Duration {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.stage.PlayedOut() - p.now()
}
