package hearing

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/nuance"
)

// Listener hears what comes in as a musician of the ensemble does: each channel as a line of
// its own, all of them together as harmony, tune and beat, and a score where one is loaded.
// It runs ahead of what sounds by the lookahead. One code makes the context of a note at every
// grade of foreknowledge.
type Listener struct {
	lines []Line
	ear   ear
	pulse pulse

	Score Score
	ahead bool // what comes in is heard before it sounds
	trial expr.Trial
}

// NewListener makes a listener to so many parts, who knows no score.
func NewListener(parts int, trial expr.Trial) *Listener {
	l := &Listener{lines: make([]Line, parts), Score: Score{pace: 1, trial: trial}, trial: trial}
	for i := range l.lines {
		l.lines[i].trial = trial
		l.lines[i].init()
	}
	l.ear.init(parts, trial)
	l.pulse.port, l.pulse.trial = expr.Unknown, trial
	return l
}

// Line is what has been heard of a part.
func (l *Listener) Line(part int) *Line { return &l.lines[part] }

// NoteOn hears a note begin on a part, and returns its number in the part's line.
func (l *Listener) NoteOn(part int, drum bool, key, velocity uint8, at time.Duration) (tone int64) {
	line := &l.lines[part]
	tone = l.ear.hear(line, part, drum, key, velocity, at)
	quarters, level, sure := l.pulse.of(at)
	l.pulse.hear(at, key, velocity)
	line.beat(tone, quarters, level, sure)
	return tone
}

// NoteOff hears a note end on a part, and returns its number; 0 if it was not heard to begin.
func (l *Listener) NoteOff(part int, key uint8, at time.Duration) (tone int64) {
	return l.ear.hearEnd(&l.lines[part], part, key, at)
}

// Control hears a controller of a part.
func (l *Listener) Control(part, number, value int, at time.Duration) {
	l.lines[part].control(number, value, at)
}

// Message hears what belongs to no part: the clock.
func (l *Listener) Message(port int, msg []byte, at time.Duration) { l.pulse.message(at, port, msg) }

// Reflect thinks about what came in last: its beat and its harmony, which matter to what
// comes next.
func (l *Listener) Reflect() {
	l.pulse.reflect()
	l.ear.reflect()
}

// Beat tells where the beat is at a time.
func (l *Listener) Beat(at time.Duration) Beat {
	l.Reflect()
	return l.pulse.tell(at)
}

// Tune tells which part has the tune at a time, and how much it stands out among all, 0 to 1;
// -1 where that is not known.
func (l *Listener) Tune(at time.Duration) (part int, salience float64) {
	part = -1
	if l.ear.tuneFault != nil {
		return part, 0
	}
	defer func() {
		if r := recover(); r != nil {
			l.ear.tuneFault, part, salience = expr.OfTune.Loss(r), -1, 0
		}
	}()
	return l.ear.tune.Tune(at)
}

// Sounds reports whether a note of some part is held.
func (l *Listener) Sounds() bool {
	for i := range l.lines {
		if l.lines[i].Sounds() {
			return true
		}
	}
	return false
}

// SilenceAll hears that nothing sounds any more.
func (l *Listener) SilenceAll() { l.ear.silence() }

// FollowTouch has a part be heard as one of a player who strikes keys: what its notes are
// among each other is known from now on. It costs memory, and is for parts that need it.
func (l *Listener) FollowTouch(part int) {
	if line := &l.lines[part]; line.scene == nil {
		line.scene = nuance.NewScene()
		l.Score.prepare(part, true, false)
	}
}

// FollowFoot has a part be heard as one of a player who pedals: what a score says to hands and foot is
// read. It costs time and memory, and is for parts that need it.
func (l *Listener) FollowFoot(part int) {
	if line := &l.lines[part]; !line.pedals {
		line.pedals = true
		l.Score.prepare(part, false, true)
	}
}

// leastAhead is how far ahead notes must be heard to count as known beforehand: the sizes for
// that were fitted to a second, of which half is nearer than none. Ours.
const leastAhead = nuance.Lookahead / 2

// HearAhead tells by how much what comes in is heard before it sounds.
func (l *Listener) HearAhead(by time.Duration) { l.ahead = by >= leastAhead }

// Describe tells a note, which is about to sound, what is known around it: from the score, if
// the note has an index there, else from what has been heard of its part by now.
func (l *Listener) Describe(n *expr.Note, part int, tone int64, index int, now time.Duration) {
	n.Context = expr.NothingKnown
	line := &l.lines[part]
	t := line.Tone(tone)
	if t == nil {
		return
	}
	n.Slurred = t.slurred
	if !l.Score.recall(n, index, line.scene != nil, line.pedals) {
		n.Context = expr.NothingKnown
		l.gather(n, line, t, now)
	}
	n.Shift, n.Warp = t.Shift, t.Warp
}

// gather tells what has been heard.
func (l *Listener) gather(n *expr.Note, line *Line, t *Tone, now time.Duration) {
	if line.phrasesFault != nil {
		return
	}
	defer func() {
		if r := recover(); r != nil {
			n.Context, line.phrasesFault = expr.NothingKnown, expr.OfPhrases.Loss(r)
		}
	}()
	line.describe(n, t)
	line.touch(&n.Context, t, l.ahead)
	n.Phrase, n.SubPhrase = line.span(t, StartsPhrase), line.span(t, startsSub)
	l.ear.describe(&n.Context, t, now)
}
