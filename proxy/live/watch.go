package live

import (
	"time"

	"swellbox/expr"
	"swellbox/proxy/ports"
)

// watch looks after the ports and says in the log what the hot path only noted.
func (d *Daemon) watch() {
	defer d.watched.Done()
	tick := time.NewTicker(watchPeriod)
	defer tick.Stop()
	w := watcher{
		lost: make([]bool, len(d.outlets)), heard: make([]bool, len(d.outlets)), senders: make([]int, len(d.inlets)), silent: make([]uint64, len(d.inlets)), release: make([]time.Duration, len(d.inlets)),
		overrun: make([]overrun, len(d.inlets)),
		faults:  map[int]string{}, waiting: news{looks: 2, said: "none"}, score: news{looks: 4},
	}
	for {
		select {
		case <-d.stop:
			return
		case <-tick.C:
		}
		w.driver(d)
		d.watchOutputs(&w)
		d.watchInputs(&w)
		d.watchStage(&w)
	}
}

// watcher remembers what has been said, so that it is said once.
type watcher struct {
	lost    []bool
	heard   []bool          // by output: somebody listened when last looked at
	senders []int           // by input, when last looked at
	silent  []uint64        // by input: 1 and how many messages had come when it was first seen that nobody sends
	release []time.Duration // by input: when what it left is to be ended; 0: it has left nothing
	overrun []overrun       // by input
	faults  map[int]string
	unknown string // what is not known any more
	broken  bool
	waiting news
	score   news
}

// driver says what the driver has to say.
func (w *watcher) driver(d *Daemon) {
	t, ok := d.cfg.System.(ports.Talker)
	if !ok {
		return
	}
	for _, words := range t.Said() {
		d.cfg.Log.Warn().Msg(words)
	}
}

func (d *Daemon) watchOutputs(w *watcher) {
	for i, o := range d.outlets {
		why := o.loss()
		returned, newcomer := o.look()
		if gone := o.loss(); gone != nil {
			why = gone
		}
		if why != nil && !w.lost[i] {
			d.cfg.Log.Warn().Str("output", o.name).AnErr("reason", why).Msg("output lost; waiting for it to come back")
		}
		w.lost[i] = why != nil && !returned
		if returned || newcomer {
			d.locked(func() {
				if returned { // it may have missed note-offs
					o.resume()
					d.stage.AllNotesOff(i)
				}
				d.stage.Restore(i)
			})
			d.cfg.Log.Info().Str("output", o.name).Msg("output connected; brought to the present state")
		}
		listeners := o.listening()
		if o.virtual && w.heard[i] && listeners == 0 {
			d.cfg.Log.Info().Str("output", o.name).Msg("nobody listens to the output any more; the next to listen is brought to the present state")
		}
		w.heard[i] = listeners > 0
	}
}

// watchInputs opens lost inputs again. What a lost input left sounding is ended, for
// its note-offs will not come; so is what the last sender to a virtual input left. With
// lookahead that is done when the last that came from it has been heard.
func (d *Daemon) watchInputs(w *watcher) {
	for i, in := range d.inlets {
		in.mu.Lock()
		port := in.port
		in.mu.Unlock()
		if port == nil {
			d.releaseLeft(w, i, false)
			w.overrun[i] = overrun{}
			if d.openInlet(i, in) == nil {
				d.cfg.Log.Info().Str("input", in.spec.Name).Msg("input is back")
			}
			continue
		}
		w.overrun[i].look(d, in, i, port)
		seen := in.received.Load()
		n, known := connected(port)
		before := w.senders[i]
		if in.spec.Virtual && w.senders[i] == 0 && n > 0 {
			d.cfg.Log.Info().Str("input", in.spec.Name).Msg("input connected")
		}
		w.senders[i] = n
		d.releaseLeft(w, i, n > 0)
		if !known || n > 0 {
			w.silent[i] = 0
			continue
		}
		if in.spec.Virtual {
			switch {
			case n >= before:
			case w.silent[i] != seen+1: // the last that it sent may still be on its way
				w.silent[i], w.senders[i] = seen+1, before
			case !d.leave(w, i, seen):
				w.senders[i] = before // look again
			default:
				d.cfg.Log.Info().Str("input", in.spec.Name).Msg("nobody sends to the input any more; its notes are ended")
			}
			continue
		}
		port.Close()
		in.mu.Lock()
		in.port = nil
		in.mu.Unlock()
		d.leave(w, i, in.received.Load())
		d.cfg.Log.Warn().Str("input", in.spec.Name).Msg("input lost; its notes are ended, waiting for it to come back")
	}
}

// leave ends what an input has left sounding: now, or with lookahead when the last of it
// has been heard. It does nothing, and says so, when something has come in since so many messages:
// another sender was there before this came to its turn, and its notes are not to be ended.
func (d *Daemon) leave(w *watcher, input int, seen uint64) (done bool) {
	if delay := d.now() - d.heard(); delay > 0 {
		w.release[input] = d.now() + delay + delay/2 // players are late by half the lookahead at most
		return true
	}
	d.locked(func() {
		if done = d.inlets[input].received.Load() == seen; done {
			d.stage.Release(input)
		}
	})
	return done
}

// releaseLeft ends what an input had left when that is due, or when another sender is
// there, whose notes must not be ended later.
func (d *Daemon) releaseLeft(w *watcher, input int, sender bool) {
	if at := w.release[input]; at != 0 && (sender || d.now() >= at) {
		w.release[input] = 0
		d.locked(func() { d.stage.Release(input) })
	}
}

// overrun is what an input has lost because nobody took it in time.
type overrun struct {
	lost uint64        // when last looked at
	ends time.Duration // when the notes are to be ended whose note-offs may be among it; 0: none are
}

// look ends the notes of an input that has lost messages: nobody knows which note-offs were
// among them. It does so when nothing more was lost since the last look, so that what the driver
// had taken before the loss has been played too, and with lookahead when that has been heard. A note
// that began meanwhile is cut short, which is better than one that never ends.
func (o *overrun) look(d *Daemon, in *inlet, input int, port ports.In) {
	counts, ok := port.(ports.Overrunner)
	if !ok {
		return
	}
	n := counts.Overrun()
	switch more := n - o.lost; {
	case n < o.lost: // not the count that it was
	case more > 0:
		delay := d.now() - d.heard()
		o.ends = d.now() + delay + delay/2 + 1 // players are late by half the lookahead at most
		d.cfg.Log.Warn().Str("input", in.spec.Name).Uint64("messages", more).Msg("messages that came in were lost; the notes of the input are ended")
	case o.ends != 0 && d.now() >= o.ends:
		o.ends = 0
		d.locked(func() { d.stage.Release(input) })
	}
	o.lost = n
}

func (d *Daemon) watchStage(w *watcher) {
	d.mu.Lock()
	if d.ails() && d.rests() {
		d.retry()
		d.rouse()
		d.arm()
	}
	notices := d.notices
	d.notices = nil
	broken := d.broken
	type fault struct {
		index int
		part  string
		err   error
		words string
	}
	var faults []fault
	for i, p := range d.stage.Parts {
		err := d.stage.Fault(p.Port, p.Channel)
		if err == nil {
			delete(w.faults, i)
		} else if w.faults[i] != err.Error() {
			words := "part goes on without what failed"
			if d.stage.PlaysRaw(p.Port, p.Channel) {
				words = "part plays raw"
			}
			faults = append(faults, fault{i, p.Name, err, words})
			w.faults[i] = err.Error()
		}
	}
	if err := expr.InOne(d.stage.Lost(), d.unfollowed); err == nil {
		w.unknown = ""
	} else if w.unknown != err.Error() {
		faults = append(faults, fault{part: "all", err: err, words: "playing on without what failed"})
		w.unknown = err.Error()
	}
	for _, words := range [...]string{w.waiting.of(d.waitingMode()), w.score.of(d.scoreMode())} {
		if words != "" {
			notices = append(notices, words)
		}
	}
	d.mu.Unlock()
	for _, n := range notices {
		d.cfg.Log.Info().Msg(n)
	}
	for _, f := range faults {
		d.cfg.Log.Error().Str("part", f.part).Err(f.err).Msg(f.words)
	}
	if broken == nil {
		w.broken = false
	} else if !w.broken {
		w.broken = true
		d.cfg.Log.Error().Err(broken).Msg("playing raw")
	}
}
