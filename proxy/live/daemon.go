package live

import (
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"github.com/rs/zerolog"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/proxy/formats/recording"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports"
)

// Config is what a daemon is made with.
type Config struct {
	System  ports.System
	Cast    *perform.Cast
	Inputs  []PortSpec // input i is heard on output i
	Outputs []PortSpec // as many as inputs, or as many as a player needs
	Foot    FootSwitch
	Speed   int          // most bytes a second that an output is sent, [CableSpeed] for a MIDI cable; 0: as many as there are
	Match   bool         // lower the raw side by the ensemble's headroom, to compare at one level
	Habits  []expr.Habit // from which the manner chooses; nil for the usual ones
	Manner  perform.Manner
	Log     zerolog.Logger
	Record  *recording.Writer // takes down all that a [Replay] needs; nil: nothing is recorded. It stays the caller's to close
	Program string            // version of the program, for who reads the recording

	// Score is the piece that what comes in is looked for in, or nil. A [Player] knows its
	// own piece.
	Score     *expr.Score
	ScoreName string // of the score, or of the player's file, as the status says it
}

// Daemon plays live: it takes messages from its inputs, or from a [Player], and sends
// what the stage makes of them to its outputs. Its methods are what it can be asked, by anybody
// and at any time, while it plays.
type Daemon struct {
	log         zerolog.Logger
	manner      perform.Manner
	scoreName   string
	connections *connections
	performance *performance
	player      atomic.Pointer[Player] // nil unless a file is played
	told        told                   // at the last change of profiles
	stop        chan struct{}
	watched     sync.WaitGroup
}

// NewDaemon opens the ports and starts to play. On an error nothing stays open.
func NewDaemon(cfg Config) (*Daemon, error) {
	if len(cfg.Outputs) == 0 || len(cfg.Inputs) > len(cfg.Outputs) {
		return nil, fmt.Errorf("%d inputs need as many outputs, found %d: each input is heard on the output of its number", len(cfg.Inputs), len(cfg.Outputs))
	}
	if err := perform.CheckLookahead(cfg.Manner.Lookahead); err != nil {
		return nil, err
	}
	out := &connections{system: cfg.System, speed: cfg.Speed}
	p, err := newPerformance(&cfg, out, out.put)
	if err != nil {
		return nil, err
	}
	out.receive = p.receive
	if cfg.Record != nil {
		p.diary.order(p.at, p.diary.text(&order{Do: toBegin, Begin: begun(&cfg)}))
	}
	p.timer = time.AfterFunc(time.Hour, p.due)
	p.wake = func(after time.Duration) { p.timer.Reset(after) }
	d := &Daemon{
		log: cfg.Log, manner: cfg.Manner, scoreName: cfg.ScoreName,
		connections: out, performance: p, stop: make(chan struct{}),
	}
	if err := out.open(cfg.Inputs, cfg.Outputs); err != nil {
		return nil, errors.Join(err, d.Close())
	}
	w := newWatcher(p, out, cfg.Log)
	d.watched.Go(func() { w.watch(d.stop) })
	return d, nil
}

// Close ends every sounding note, lifts the pedals, brings the outputs to their
// raw state, and closes all ports. It is done within about a second, whatever
// the ports do, and may be called once.
func (d *Daemon) Close() error {
	close(d.stop)
	d.watched.Wait()
	errs := d.connections.closeInlets()
	d.performance.leave()
	return errors.Join(append(errs, d.connections.closeOutlets()...)...)
}

// newPerformance makes a performance that puts to emit what it has to say.
func newPerformance(cfg *Config, out *connections, emit func(*expr.Event)) (*performance, error) {
	if cfg.Habits == nil {
		cfg.Habits = habits.In(cfg.Cast.Ensemble().Place())
	}
	chosen, err := cfg.Manner.Habits(cfg.Habits)
	if err != nil {
		return nil, err
	}
	start := time.Now()
	p := &performance{
		alarm: alarm{clock: func() time.Duration { return time.Since(start) }, armed: -1}, // the monotonic clock
		out:   out, ports: len(cfg.Outputs), diary: diary{cfg.Record}, foot: foot{FootSwitch: cfg.Foot},
	}
	p.mu.init()
	p.stage = perform.NewStage(cfg.Cast, engine.Config{
		Ports: len(cfg.Outputs), Habits: chosen,
		Lookahead: cfg.Manner.Lookahead, Auditions: len(cfg.Inputs) > 0,
		Rubato: cfg.Manner.Rubato, Clocked: cfg.Manner.Clocked, Seed: cfg.Manner.Seed, Trial: cfg.Manner.Trial,
	}, emit)
	p.stage.Overtakes = true
	p.finder = finder{stage: p.stage, trial: cfg.Manner.Trial, score: cfg.Score}
	p.finder.again()
	if cfg.Match {
		p.stage.MatchLevels(cfg.Cast.Ensemble().HeadroomDB)
	}
	p.stage.Seated = p.noteSeat
	p.stage.Failed = func(err error) { p.notices = append(p.notices, err.Error()) }
	return p, nil
}

// begun is what a recording has of how a daemon was made.
func begun(cfg *Config) *beginning {
	return &beginning{
		Program: cfg.Program, Inputs: len(cfg.Inputs), Outputs: len(cfg.Outputs), Cast: textOf(cfg.Cast),
		Manner: cfg.Manner, Foot: cfg.Foot, Match: cfg.Match, Score: cfg.Score,
	}
}
