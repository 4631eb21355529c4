package hearing

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/listening"
	"swellbox/expr/nuance"
	"swellbox/expr/voices"
)

// Line is what has been heard on one channel, at the time at which it came in. It
// runs ahead of what sounds by the lookahead, so that a note that is about to sound
// can be asked what follows it.
type Line struct {
	held       []held
	Voices     bool          // notes sound together here on purpose; false once one has shown to be slurred
	polyphonic bool          // they have done so
	lastOff    time.Duration // of the latest note that ended
	lastKey    int           // its key; Unknown if there was none
	pedal      bool

	tones []Tone
	first int64 // number of tones[0]; tones are numbered from 1
	whole bool  // forget nothing: it is the line of a score

	streams   [voices.MaxVoices]stream
	gap       float32           // by how much less salient than the tune its part has lately been
	gapAt     time.Duration     // of the latest note; Unknown before
	separator *voices.Separator // nil until notes sound together
	scene     *nuance.Scene     // where keys are struck; else nil

	trial                     expr.Trial
	voicesFault, phrasesFault error // why these are not known any more
}

// stream is one voice of a line.
type stream struct {
	last   int64          // number of the tone that leads the latest onset; 0 if there is none
	shape  listening.Line // with the latest onset
	before listening.Line // without it
	mean   float64        // running mean of the leading tones' MIDI notes
	accent float64        // running mean of their melodic accents
	rest   float64        // running mean of its rests, s
	metre  float64        // running mean of their levels of metre over 1, as far as these are sure
}

// held is a note that has begun and not ended.
type held struct {
	tone     int64
	on       time.Duration
	key      uint8
	released bool // the key is up, the pedal holds it
}

// Tone is one note of a line.
type Tone struct {
	On, Off    time.Duration // off is Unknown while it lasts
	prev, Next int64         // numbers of the tones before and after it in the line; 0: none known
	Shift      time.Duration // by which the player comes later than it came in
	Warp       time.Duration // as much of it as the whole ensemble has
	Played     time.Duration // when the player plays it, where that is its own time
	phrase     time.Duration // onset of the first tone of its phrase; Unknown before any boundary
	sub        time.Duration // and of its part of a phrase
	breath     time.Duration // onset of the first tone since the last rest
	strength   float32       // of the boundary before it, 0..1
	mean       float32       // MIDI note: running mean of the line
	accent     float32       // running mean of the line's melodic accents
	metre      float32       // running mean of the line's levels of metre over 1
	Starts     starting      // what starts with it
	separated  int64         // its number to the separator; 0
	struck     int64         // its number in the line's scene, from 1; 0
	moment     int64         // of the ensemble, by number; 0 for what has no pitch
	Salience   float32       // of its part among all, when it came in
	Tune       float32       // of the part that was the most salient then
	beat       float64       // quarter notes since the piece's start; Unknown
	beatSure   float32
	beatLevel  int8
	Role       expr.Role
	Voices     uint8 // that sound with it
	voice      uint8 // of the line, from 0
	even       bool  // the rest before it is one of many alike
	sung       bool  // the ensemble has heard it as its part's melody
	Key        uint8
	velocity   uint8
	Several    bool // it sounds together with others on purpose, as far as is known
	slurred    bool // joined to the note before it, which has another pitch
}

// maxHeld bounds the notes that are followed until they end; older ones are forgotten.
const maxHeld = 64

// maxTones is how many notes of a line are remembered, at most and at least.
const (
	maxTones  = 512
	keptTones = 256
)

func (l *Line) init() {
	scene := l.scene
	if scene != nil {
		scene.Reset()
	}
	*l = Line{scene: scene, Voices: true, lastKey: expr.Unknown, first: 1, gapAt: expr.Unknown, trial: l.trial}
}

// Tone is a note by its number, or nil if it is forgotten or never was.
func (l *Line) Tone(number int64) *Tone {
	if i := number - l.first; number > 0 && i >= 0 && i < int64(len(l.tones)) {
		return &l.tones[i]
	}
	return nil
}

// noteOn hears a note begin and returns its number.
func (l *Line) noteOn(key, velocity uint8, now time.Duration) int64 {
	l.Listen(now)
	if l.startsChord(now) {
		l.learn(true)
	}
	if len(l.tones) == maxTones && !l.whole {
		n := copy(l.tones, l.tones[maxTones-keptTones:])
		l.first += maxTones - keptTones
		l.tones = l.tones[:n]
	}
	number := l.first + int64(len(l.tones))
	t := Tone{On: now, Off: expr.Unknown, Key: key, velocity: velocity, slurred: l.slurred(key, now), Several: l.Voices, beat: expr.Unknown}
	l.separate(&t)
	l.tones = append(l.tones, t)
	l.link(number)
	if len(l.held) == maxHeld {
		copy(l.held, l.held[1:])
		l.held = l.held[:maxHeld-1]
	}
	l.held = append(l.held, held{tone: number, on: now, key: key})
	return number
}

// link puts the newest tone in its place in its voice. The notes of one chord all follow
// the chord before; the highest leads it.
func (l *Line) link(number int64) {
	t := l.Tone(number)
	t.phrase, t.sub, t.breath, t.mean, t.accent = t.On, t.On, t.On, float32(t.Key), usualAccent
	if l.phrasesFault != nil {
		return
	}
	defer expr.Lose(&l.phrasesFault, expr.OfPhrases)
	l.trial.Of(expr.OfPhrases)
	v := &l.streams[t.voice]
	before := l.Tone(v.last)
	switch {
	case before == nil:
		l.lead(v, number)
	case t.On-before.On > expr.ChordTime:
		t.prev = v.last
		l.follow(before, number-1, 0, number)
		v.before = v.shape
		l.lead(v, number)
	default:
		t.prev = before.prev
		t.phrase, t.sub, t.breath, t.strength, t.Starts, t.mean, t.accent = before.phrase, before.sub, before.breath, before.strength, before.Starts, before.mean, before.accent
		if t.Key > before.Key {
			v.shape = v.before
			if p := l.Tone(t.prev); p != nil {
				l.follow(p, v.last-1, v.last, number)
			}
			l.lead(v, number)
		}
	}
}

// follow has the notes of the chord that p leads, looked for from a number downward, be
// followed by another tone than the one that was.
func (l *Line) follow(p *Tone, from, was, now int64) {
	for n := from; ; n-- {
		b := l.Tone(n)
		if b == nil || p.On-b.On > expr.ChordTime {
			return
		}
		if b.voice == p.voice && b.Next == was {
			b.Next = now
		}
	}
}

// noteOff hears a note end and returns its number, 0 if it was not heard.
func (l *Line) noteOff(key uint8, now time.Duration) int64 {
	for i := range l.held {
		h := &l.held[i]
		if h.key != key || h.released {
			continue
		}
		number := h.tone
		if t := l.Tone(number); t != nil {
			t.Off = now
		}
		l.tellEnd(key, now)
		l.lastOff, l.lastKey = now, int(key)
		if len(l.held) == 2 { // the elder of two ends soon after the younger began: a slur
			l.learn(i == 1 || now-l.held[1].on > expr.OverlapTime)
		}
		if l.pedal {
			h.released = true
		} else {
			l.held = append(l.held[:i], l.held[i+1:]...)
		}
		return number
	}
	return 0
}

// damper hears the pedal.
func (l *Line) damper(down bool) {
	l.pedal = down
	if down {
		return
	}
	kept := l.held[:0]
	for _, h := range l.held {
		if !h.released {
			kept = append(kept, h)
		}
	}
	l.held = kept
}

// allNotesOff hears every key go up, as mode messages 123 to 127 have it.
func (l *Line) allNotesOff(now time.Duration) {
	for i := range l.held {
		h := &l.held[i]
		if t := l.Tone(h.tone); t != nil && t.Off == expr.Unknown {
			t.Off = now
		}
		h.released = true
	}
	if !l.pedal {
		l.held = l.held[:0]
	}
}

// Listen finds out whether several voices play on the channel: notes do that sound
// together for longer than a slur makes them.
func (l *Line) Listen(now time.Duration) {
	for i := 1; i < len(l.held); i++ {
		if !l.held[i].released && now-l.held[i].on > expr.OverlapTime {
			l.learn(true)
		}
	}
}

// learn keeps whether the notes that are held are several voices.
func (l *Line) learn(several bool) {
	l.Voices = several
	l.polyphonic = l.polyphonic || several
	for i := range l.held {
		if t := l.Tone(l.held[i].tone); t != nil {
			t.Several = several
		}
	}
}

// startsChord reports whether a note that starts now is of one chord with another.
func (l *Line) startsChord(now time.Duration) bool {
	n := len(l.held)
	return n > 0 && now-l.held[n-1].on <= expr.ChordTime
}

// slurred reports whether a note that starts now is joined to the one before: that
// one still sounds, or ended this very moment, and is not another voice, another note
// of the same chord, or a repetition.
func (l *Line) slurred(key uint8, now time.Duration) bool {
	for i := range l.held {
		if h := &l.held[i]; !h.released && h.key != key && !l.Voices {
			return true
		}
	}
	return l.lastKey != expr.Unknown && l.lastKey != int(key) && now-l.lastOff <= expr.JointTime
}

// Sounds reports whether a note of the line has begun and not ended.
func (l *Line) Sounds() bool { return len(l.held) > 0 }

// Silence hears every note cut short.
func (l *Line) Silence() {
	l.held = l.held[:0]
	l.pedal = false
}

// control hears the controllers that end notes or hold them.
func (l *Line) control(number, value int, now time.Duration) {
	switch {
	case number == expr.CCDamper:
		l.damper(value >= 64)
	case number == expr.CCReset:
		l.damper(false)
	case number == expr.CCSoundOff:
		was := l.pedal
		l.pedal = false
		l.allNotesOff(now)
		l.pedal = was
	case number >= expr.CCNotesOff:
		l.allNotesOff(now)
	}
}

// StruckAlone reports whether no other tone is known to begin with one.
func (l *Line) StruckAlone(number int64) bool {
	t := l.Tone(number)
	for _, n := range [...]int64{number - 1, number + 1} {
		if other := l.Tone(n); t != nil && other != nil && other.On-t.On <= expr.ChordTime && t.On-other.On <= expr.ChordTime {
			return false
		}
	}
	return true
}
