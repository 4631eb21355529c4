package live

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"github.com/rs/zerolog"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports"
)

// PortSpec asks for a port: one that exists, found by its name, or a virtual one
// of that name.
type PortSpec struct {
	Name    string
	Virtual bool
}

// Config is what a daemon is made with.
type Config struct {
	System  ports.System
	Cast    *perform.Cast
	Inputs  []PortSpec // input i is heard on output i
	Outputs []PortSpec // as many as inputs, or as many as a player needs
	Foot    FootSwitch
	Match   bool         // lower the raw side by the ensemble's headroom, to compare at one level
	Habits  []expr.Habit // from which the manner chooses; nil for the usual ones
	Manner  perform.Manner
	Log     zerolog.Logger

	// Score is the piece that what comes in is looked for in, or nil. A [Player] knows its
	// own piece.
	Score     *expr.Score
	ScoreName string // of the score, or of the player's file, as the status says it
}

// FootSwitch is an incoming controller that switches all parts between raw and
// shaped. It is not passed on.
type FootSwitch struct {
	Controller int  // 1..119; 0 for none
	Channel    int  // 1..16; 0 for any
	Hold       bool // raw while it is pressed; otherwise each press switches over
}

// watchPeriod is how often ports are looked at for loss and return, and faults are
// logged.
const watchPeriod = 500 * time.Millisecond

// Daemon plays live: it takes messages from its inputs, or from a [Player], and sends
// what the stage makes of them to its outputs.
//
// Messages are handled on the thread that delivers them, under one lock that is
// never held across a port call; each output has a goroutine that sends.
type Daemon struct {
	cfg   Config
	start time.Time

	mu      sync.Mutex // guards what follows
	stage   *perform.Stage
	timer   *time.Timer // for what is due without further input
	armed   time.Duration
	broken  error // why the engine is bypassed, or nil
	closed  bool
	pressed bool // the foot switch
	notices []string
	piece   piece
	noteAt  time.Duration // when a note last came in

	unfollowed error // why the score is not followed any more, or nil

	inlets  []*inlet
	outlets []*outlet
	player  atomic.Pointer[Player] // nil unless a file is played
	notesIn atomic.Uint64
	stop    chan struct{}
	watched sync.WaitGroup
	told    told // at the last change of profiles
}

// inlet is one input.
type inlet struct {
	spec     PortSpec
	mu       sync.Mutex
	port     ports.In // nil while it is lost
	received atomic.Uint64
}

// NewDaemon opens the ports and starts to play. On an error nothing stays open.
func NewDaemon(cfg Config) (*Daemon, error) {
	if len(cfg.Outputs) == 0 || len(cfg.Inputs) > len(cfg.Outputs) {
		return nil, fmt.Errorf("%d inputs need as many outputs, found %d: each input is heard on the output of its number", len(cfg.Inputs), len(cfg.Outputs))
	}
	if err := perform.CheckLookahead(cfg.Manner.Lookahead); err != nil {
		return nil, err
	}
	if cfg.Habits == nil {
		cfg.Habits = habits.In(cfg.Cast.Ensemble().Place())
	}
	chosen, err := cfg.Manner.Habits(cfg.Habits)
	if err != nil {
		return nil, err
	}
	d := &Daemon{cfg: cfg, start: time.Now(), stop: make(chan struct{})}
	d.stage = perform.NewStage(cfg.Cast, engine.Config{
		Ports: len(cfg.Outputs), Habits: chosen,
		Lookahead: cfg.Manner.Lookahead, Auditions: len(cfg.Inputs) > 0,
		Rubato: cfg.Manner.Rubato, Clocked: cfg.Manner.Clocked, Seed: cfg.Manner.Seed, Trial: cfg.Manner.Trial,
	}, d.emit)
	if cfg.Score != nil {
		d.follow(cfg.Score)
	}
	if cfg.Match {
		d.stage.MatchLevels(cfg.Cast.Ensemble().HeadroomDB)
	}
	d.stage.Seated = func(p perform.Part) {
		d.notices = append(d.notices, fmt.Sprintf("%s plays as %s: %s", p.Name, p.Profile, p.Why))
		for _, doubt := range p.Doubts() {
			d.notices = append(d.notices, "doubtful: "+doubt)
		}
	}
	d.stage.Failed = func(err error) { d.notices = append(d.notices, err.Error()) }
	d.timer = time.AfterFunc(time.Hour, d.due)
	d.armed = -1
	if err := d.open(); err != nil {
		return nil, errors.Join(err, d.Close())
	}
	d.watched.Add(1)
	go d.watch()
	return d, nil
}

func (d *Daemon) open() error {
	for i, spec := range d.cfg.Outputs {
		o, err := openOutlet(d.cfg.System, spec.Name, spec.Virtual)
		if err != nil {
			return fmt.Errorf("output %d: %w", i+1, err)
		}
		d.outlets = append(d.outlets, o)
	}
	for i, spec := range d.cfg.Inputs {
		in := &inlet{spec: spec}
		d.inlets = append(d.inlets, in)
		if err := d.openInlet(i, in); err != nil {
			return fmt.Errorf("input %d: %w", i+1, err)
		}
	}
	return nil
}

func (d *Daemon) openInlet(i int, in *inlet) error {
	port, err := d.cfg.System.OpenIn(in.spec.Name, in.spec.Virtual, func(b []byte) {
		in.received.Add(1)
		d.receive(uint16(i), b)
	})
	if err != nil {
		return err
	}
	in.mu.Lock()
	in.port = port
	in.mu.Unlock()
	return nil
}

// now is the time since the daemon's start, by the monotonic clock.
func (d *Daemon) now() time.Duration { return time.Since(d.start) }

// receive takes one whole message from an input.
func (d *Daemon) receive(port uint16, b []byte) {
	if len(b) > 0 {
		d.push(message(port, b))
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

// push plays one event now.
func (d *Daemon) push(e expr.Event) {
	if e.IsNoteOn() {
		d.notesIn.Add(1)
	}
	d.mu.Lock()
	if d.closed {
		d.mu.Unlock()
		return
	}
	e.At = d.now()
	switch {
	case e.IsNoteOn():
		d.noteAt = e.At
	case e.Len == 1 && e.Msg[0] == transportStart:
		d.retry()
	}
	if !d.foot(&e) {
		d.place(&e)
		d.play(e)
	}
	d.rouse() // the message first, then what is due later
	d.arm()
	d.try(d.reflect)
	d.mu.Unlock()
}

// reflect has the engine think about what has just left. d.mu is held.
func (d *Daemon) reflect() { d.stage.Reflect() }

// play runs the stage on an event. Should the engine fail, the music goes on
// without it.
func (d *Daemon) play(e expr.Event) {
	if d.broken == nil && (d.try(func() { d.stage.Push(e); d.stage.Pull(e.At) }) || d.stage.Waits(&e)) {
		return
	}
	if !d.try(func() { d.stage.Performance.Push(e); d.stage.Pull(e.At) }) { // seats nobody
		d.emit(&e)
	}
}

// try runs f, and bypasses the engine should it panic. d.mu is held.
func (d *Daemon) try(f func()) (ok bool) {
	defer func() {
		if r := recover(); r != nil {
			d.bypass(r)
			ok = false
		}
	}()
	f()
	return true
}

// bypass goes on without an engine that failed; see [perform.Performance.Bypass].
func (d *Daemon) bypass(reason any) {
	d.broken = fmt.Errorf("the engine failed: %v; all parts play raw until the music starts anew", reason)
	d.piece = piece{}
	d.stage.Bypass(d.now())
}

// emit is where the stage's messages come out. d.mu is held.
func (d *Daemon) emit(e *expr.Event) {
	if int(e.Port) < len(d.outlets) {
		d.outlets[e.Port].put(e)
	}
}

// rouse has sent what emit was given. It does not wait.
func (d *Daemon) rouse() {
	for _, o := range d.outlets {
		o.rouse()
	}
}

// due is called by the timer.
func (d *Daemon) due() {
	d.mu.Lock()
	d.armed = -1
	if !d.closed {
		d.pull()
		d.rouse()
		d.arm()
	}
	d.mu.Unlock()
}

// pull brings the stage up to now. d.mu is held.
func (d *Daemon) pull() {
	d.try(func() { d.stage.Pull(d.now()) })
}

// arm sets the timer for what the stage has next. d.mu is held.
func (d *Daemon) arm() {
	next, ok := d.stage.Next()
	if !ok || next == d.armed {
		return
	}
	d.armed = next
	d.timer.Reset(next - d.now())
}

// locked runs f on the stage, brought up to now, and sends what it causes.
func (d *Daemon) locked(f func()) {
	d.mu.Lock()
	if !d.closed {
		d.pull()
		d.try(f)
		d.pull()
		d.rouse()
		d.arm()
	}
	d.mu.Unlock()
}

// Panic silences every output by every means there is.
func (d *Daemon) Panic() { d.locked(d.stage.Panic) }

// EndNotes ends every sounding note, as at a stop.
func (d *Daemon) EndNotes() { d.locked(d.stage.EndNotes) }

// Close ends every sounding note, lifts the pedals, brings the outputs to their
// raw state, and closes all ports. It is done within about a second, whatever
// the ports do, and may be called once.
func (d *Daemon) Close() error {
	close(d.stop)
	d.watched.Wait()
	var errs []error
	for _, in := range d.inlets {
		in.mu.Lock()
		if in.port != nil {
			errs = append(errs, in.port.Close())
		}
		in.mu.Unlock()
	}
	d.locked(d.stage.Leave)
	// A ramp from silence to full takes 96 dB, so 96 ms.
	for deadline := time.Now().Add(drainTime); time.Now().Before(deadline) && !d.left(); {
		time.Sleep(perform.RampStep)
	}
	d.mu.Lock()
	d.closed = true
	d.timer.Stop()
	d.mu.Unlock()
	return errors.Join(append(errs, d.closeOutlets()...)...)
}

// closeOutlets closes all outputs at once, so that none takes another's time.
func (d *Daemon) closeOutlets() []error {
	ctx, cancel := context.WithTimeout(context.Background(), drainTime)
	defer cancel()
	errs := make([]error, len(d.outlets))
	var closing sync.WaitGroup
	for i, o := range d.outlets {
		closing.Go(func() {
			if err := o.close(ctx); err != nil {
				errs[i] = fmt.Errorf("closing output %d: %w", i+1, err)
			}
		})
	}
	closing.Wait()
	return errs
}

func (d *Daemon) left() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.stage.Left()
}
