package live

import (
	"time"

	"github.com/rs/zerolog"

	"swellbox/expr"
	"swellbox/proxy/ports"
)

// watcher looks after the ports of a performance, and says in the log what the hot path only
// noted. It remembers what has been said, so that it is said once.
type watcher struct {
	performance *performance
	connections *connections
	log         zerolog.Logger

	outputs    []watchedOutput
	inputs     []watchedInput
	faults     map[int]string // by part
	unknown    string         // what is not known any more
	broken     bool
	unrecorded bool // the recording has ended
	waiting    news
	score      news
}

// watchedOutput is an output when last looked at.
type watchedOutput struct {
	lost  bool
	heard bool // somebody listened
}

// watchedInput is an input when last looked at.
type watchedInput struct {
	senders int
	silent  uint64        // 1 and how many messages had come when it was first seen that nobody sends
	release time.Duration // when what it left is to be ended; 0: it has left nothing
	overrun overrun
}

func newWatcher(p *performance, c *connections, log zerolog.Logger) *watcher {
	return &watcher{
		performance: p, connections: c, log: log,
		outputs: make([]watchedOutput, len(c.outlets)), inputs: make([]watchedInput, len(c.inlets)),
		faults: map[int]string{}, waiting: news{looks: 2, said: "none"}, score: news{looks: 4},
	}
}

// watch looks again and again until stop is closed.
func (w *watcher) watch(stop <-chan struct{}) {
	tick := time.NewTicker(watchPeriod)
	defer tick.Stop()
	for {
		select {
		case <-stop:
			return
		case <-tick.C:
		}
		for _, words := range w.connections.said() {
			w.log.Warn().Msg(words)
		}
		for i, o := range w.connections.outlets {
			w.watchOutput(i, o)
		}
		for i, in := range w.connections.inlets {
			w.watchInput(i, in)
		}
		w.watchStage()
	}
}

func (w *watcher) watchOutput(i int, o *outlet) {
	seen := &w.outputs[i]
	why := o.loss()
	returned, newcomer := o.look()
	if gone := o.loss(); gone != nil {
		why = gone
	}
	if why != nil && !seen.lost {
		w.log.Warn().Str("output", o.Name).AnErr("reason", why).Msg("output lost; waiting for it to come back")
	}
	seen.lost = why != nil && !returned
	if returned || newcomer {
		orders{w.performance}.restore(i, returned, o.resume)
		w.log.Info().Str("output", o.Name).Msg("output connected; brought to the present state")
	}
	listeners := o.listening()
	if o.Virtual && seen.heard && listeners == 0 {
		w.log.Info().Str("output", o.Name).Msg("nobody listens to the output any more; the next to listen is brought to the present state")
	}
	seen.heard = listeners > 0
}

// watchInput opens an input again that is lost. What a lost input left sounding is ended, for
// its note-offs will not come; so is what the last sender to a virtual input left. With
// lookahead that is done when the last that came from it has been heard.
func (w *watcher) watchInput(i int, in *inlet) {
	seen := &w.inputs[i]
	port := in.current()
	if port == nil {
		w.releaseLeft(i, false)
		seen.overrun = overrun{}
		if w.connections.openInlet(i) == nil {
			w.log.Info().Str("input", in.spec.Name).Msg("input is back")
		}
		return
	}
	w.watchOverrun(i, in, port)
	received := in.received.Load()
	n, known := connected(port)
	before := seen.senders
	if in.spec.Virtual && before == 0 && n > 0 {
		w.log.Info().Str("input", in.spec.Name).Msg("input connected")
	}
	seen.senders = n
	w.releaseLeft(i, n > 0)
	if !known || n > 0 {
		seen.silent = 0
		return
	}
	if in.spec.Virtual {
		switch {
		case n >= before:
		case seen.silent != received+1: // the last that it sent may still be on its way
			seen.silent, seen.senders = received+1, before
		case !w.leave(i, received):
			seen.senders = before // look again
		default:
			w.log.Info().Str("input", in.spec.Name).Msg("nobody sends to the input any more; its notes are ended")
		}
		return
	}
	port.Close()
	in.set(nil)
	w.leave(i, in.received.Load())
	w.log.Warn().Str("input", in.spec.Name).Msg("input lost; its notes are ended, waiting for it to come back")
}

// leave ends what an input has left sounding: now, or with lookahead when the last of it
// has been heard. It does nothing, and says so, when something has come in since so many messages:
// another sender was there before this came to its turn, and its notes are not to be ended.
func (w *watcher) leave(input int, seen uint64) (done bool) {
	p := w.performance
	if delay := p.now() - p.heard(); delay > 0 {
		w.inputs[input].release = p.now() + delay + delay/2 // players are late by half the lookahead at most
		return true
	}
	return orders{p}.release(input, func() bool { return w.connections.inlets[input].received.Load() == seen })
}

// releaseLeft ends what an input had left when that is due, or when another sender is
// there, whose notes must not be ended later.
func (w *watcher) releaseLeft(input int, sender bool) {
	p := w.performance
	if at := w.inputs[input].release; at != 0 && (sender || p.now() >= at) {
		w.inputs[input].release = 0
		orders{p}.release(input, always)
	}
}

// overrun is what an input has lost because nobody took it in time.
type overrun struct {
	lost uint64        // when last looked at
	ends time.Duration // when the notes are to be ended whose note-offs may be among it; 0: none are
}

// watchOverrun ends the notes of an input that has lost messages: nobody knows which note-offs were
// among them. It does so when nothing more was lost since the last look, so that what the driver
// had taken before the loss has been played too, and with lookahead when that has been heard. A note
// that began meanwhile is cut short, which is better than one that never ends.
func (w *watcher) watchOverrun(input int, in *inlet, port ports.In) {
	counts, ok := port.(ports.Overrunner)
	if !ok {
		return
	}
	p, o := w.performance, &w.inputs[input].overrun
	n := counts.Overrun()
	switch more := n - o.lost; {
	case n < o.lost: // not the count that it was
	case more > 0:
		delay := p.now() - p.heard()
		o.ends = p.now() + delay + delay/2 + 1 // players are late by half the lookahead at most
		w.log.Warn().Str("input", in.spec.Name).Uint64("messages", more).Msg("messages that came in were lost; the notes of the input are ended")
	case o.ends != 0 && p.now() >= o.ends:
		o.ends = 0
		orders{p}.release(input, always)
	}
	o.lost = n
}

// watchStage has what failed be tried again when the music rests, and says what is new.
func (w *watcher) watchStage() {
	p := w.performance
	p.mu.Lock()
	if p.ails() && p.rests() {
		p.take(p.diary.text(&order{Do: toRetry}))
		p.retry()
		p.out.flush()
		p.arm()
	}
	notices := p.notices
	p.notices = nil
	if p.diary.to != nil && !w.unrecorded {
		if err := p.diary.to.Err(); err != nil {
			w.unrecorded = true
			notices = append(notices, err.Error())
		}
	}
	broken := p.broken
	type fault struct {
		index int
		part  string
		err   error
		words string
	}
	var faults []fault
	for i, part := range p.stage.Parts {
		err := p.stage.Fault(part.Port, part.Channel)
		if err == nil {
			delete(w.faults, i)
		} else if w.faults[i] != err.Error() {
			words := "part goes on without what failed"
			if p.stage.PlaysRaw(part.Port, part.Channel) {
				words = "part plays raw"
			}
			faults = append(faults, fault{i, part.Name, err, words})
			w.faults[i] = err.Error()
		}
	}
	if err := expr.InOne(p.stage.Lost(), p.finder.lost); err == nil {
		w.unknown = ""
	} else if w.unknown != err.Error() {
		faults = append(faults, fault{part: "all", err: err, words: "playing on without what failed"})
		w.unknown = err.Error()
	}
	for _, words := range [...]string{w.waiting.of(waitingMode(p.stage)), w.score.of(scoreMode(&p.finder.piece))} {
		if words != "" {
			notices = append(notices, words)
		}
	}
	p.mu.Unlock()
	for _, n := range notices {
		w.log.Info().Msg(n)
	}
	for _, f := range faults {
		w.log.Error().Str("part", f.part).Err(f.err).Msg(f.words)
	}
	if broken == nil {
		w.broken = false
	} else if !w.broken {
		w.broken = true
		w.log.Error().Err(broken).Msg("playing raw")
	}
}
