package hearing

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/timing"
)

// Listener hears what comes in as a musician of the ensemble does: each channel as a line of
// its own, all of them together as harmony, tune and beat, and a score where one is loaded.
// It runs ahead of what sounds by the lookahead. One code makes the context of a note at every
// grade of foreknowledge.
type Listener struct {
	lines []Line
	ear   ear
	pulse pulse

	trial      expr.Trial
	scoreFault error // why the score is not known any more

	ahead   bool          // what comes in is heard before it sounds
	score   *expr.Score   // that is loaded, or nil
	reading *reading      // of it, or nil
	pace    float64       // how much faster than the score is written the music goes
	foundAt time.Duration // when a note was last found in the score
	found   time.Duration // and where there
}

// NewListener makes a listener to so many parts, who knows no score.
func NewListener(parts int, trial expr.Trial) *Listener {
	l := &Listener{lines: make([]Line, parts), pace: 1, trial: trial}
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

// SilenceAll hears that nothing sounds any more.
func (l *Listener) SilenceAll() { l.ear.silence() }

// Load reads a score, which must not be changed afterwards. Nil or one without notes: none.
func (l *Listener) Load(s *expr.Score) {
	l.score, l.reading, l.scoreFault, l.pace = s, nil, nil, 1
	l.Retry()
	if l.reading == nil {
		l.read()
	}
}

// read reads the score, if there is one.
func (l *Listener) read() {
	l.scoreFault = nil
	if l.score == nil || len(l.score.Notes) == 0 {
		return
	}
	defer l.loseScore()
	l.trial.Of(expr.OfScore)
	l.reading = read(l.score, l.trial)
}

// loseScore is deferred where the score is read.
func (l *Listener) loseScore() {
	if r := recover(); r != nil {
		l.reading, l.scoreFault = nil, expr.OfScore.Loss(r)
	}
}

// Calls reports whether a note of the score, by its index, is written as a keyswitch.
func (l *Listener) Calls(index int) bool {
	return l.reading != nil && index >= 0 && index < len(l.reading.notes) && l.reading.score.Notes[index].Calls
}

// HasScore reports whether a score is loaded.
func (l *Listener) HasScore() bool { return l.reading != nil }

// Course is how the score goes; there must be one.
func (l *Listener) Course() *timing.Course { return l.reading.course() }

// SetPace tells how much faster than the score's written tempo the music goes: 1 as written.
// Other paces than 1/8 to 8 are taken as the nearest of these.
func (l *Listener) SetPace(pace float64) { l.pace = min(max(pace, 1./8), 8) }

// ScoreTime is where in the score's written time something stands that came in at a time: a
// note by its index there, all else, with a negative one, by the latest note that was found.
func (l *Listener) ScoreTime(index int, at time.Duration) time.Duration {
	if index >= 0 && index < len(l.reading.score.Notes) {
		l.foundAt, l.found = at, l.reading.score.Notes[index].On
		return l.found
	}
	return l.found + time.Duration(float64(at-l.foundAt)*l.pace)
}

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
	if !l.recall(n, index, line.scene != nil) {
		n.Context = expr.NothingKnown
		l.gather(n, line, t, now)
	}
	n.Shift, n.Warp = t.Shift, t.Warp
}

// recall tells what is known from the score, and reports whether the note stands there.
func (l *Listener) recall(n *expr.Note, index int, touches bool) (is bool) {
	if l.reading == nil || index < 0 || index >= len(l.reading.notes) || l.reading.notes[index].tone == 0 {
		return false
	}
	defer l.loseScore()
	l.trial.Of(expr.OfScore)
	l.reading.describe(n, index, l.pace, touches)
	return true
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
