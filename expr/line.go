package expr

import (
	"time"

	"swellbox/expr/listening"
	"swellbox/expr/voices"
)

// line is what has been heard on one channel, at the time at which it came in. It
// runs ahead of what sounds by the lookahead, so that a note that is about to sound
// can be asked what follows it.
type line struct {
	held       []held
	voices     bool          // notes sound together here on purpose; false once one has shown to be slurred
	polyphonic bool          // they have done so
	lastOff    time.Duration // of the latest note that ended
	lastKey    int           // its key; Unknown if there was none
	pedal      bool

	tones []tone
	first int64 // number of tones[0]; tones are numbered from 1
	whole bool  // forget nothing: it is the line of a score

	streams   [voices.MaxVoices]stream
	gap       float32           // by how much less salient than the tune its part has lately been
	gapAt     time.Duration     // of the latest note; Unknown before
	separator *voices.Separator // nil until notes sound together
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

// tone is one note of a line.
type tone struct {
	on, off    time.Duration // off is Unknown while it lasts
	prev, next int64         // numbers of the tones before and after it in the line; 0: none known
	shift      time.Duration // by which the player comes later than it came in
	warp       time.Duration // as much of it as the whole ensemble has
	played     time.Duration // when the player plays it, where that is its own time
	phrase     time.Duration // onset of the first tone of its phrase; Unknown before any boundary
	sub        time.Duration // and of its part of a phrase
	breath     time.Duration // onset of the first tone since the last rest
	strength   float32       // of the boundary before it, 0..1
	mean       float32       // MIDI note: running mean of the line
	accent     float32       // running mean of the line's melodic accents
	metre      float32       // running mean of the line's levels of metre over 1
	starts     starting      // what starts with it
	separated  int64         // its number to the separator; 0
	moment     int64         // of the ensemble, by number; 0 for what has no pitch
	salience   float32       // of its part among all, when it came in
	tune       float32       // of the part that was the most salient then
	beat       float64       // quarter notes since the piece's start; Unknown
	beatSure   float32
	beatLevel  int8
	role       Role
	voices     uint8 // that sound with it
	voice      uint8 // of the line, from 0
	even       bool  // the rest before it is one of many alike
	sung       bool  // the ensemble has heard it as its part's melody
	key        uint8
	velocity   uint8
	several    bool // it sounds together with others on purpose, as far as is known
	slurred    bool // joined to the note before it, which has another pitch
}

// Two notes that start within a chord's time are one chord; two that sound together
// for no longer than an overlap are joined under a slur, as is one that starts within
// a joint's time of the other's end. Ours, not published.
const (
	chordTime   = 50 * time.Millisecond
	overlapTime = 100 * time.Millisecond
	jointTime   = time.Millisecond
)

// maxTones is how many notes of a line are remembered, at most and at least.
const (
	maxTones  = 512
	keptTones = 256
)

func (l *line) init() {
	*l = line{voices: true, lastKey: Unknown, first: 1, gapAt: Unknown}
}

// tone is a note by its number, or nil if it is forgotten or never was.
func (l *line) tone(number int64) *tone {
	if i := number - l.first; number > 0 && i >= 0 && i < int64(len(l.tones)) {
		return &l.tones[i]
	}
	return nil
}

// noteOn hears a note begin and returns its number.
func (l *line) noteOn(key, velocity uint8, now time.Duration) int64 {
	l.listen(now)
	if l.startsChord(now) {
		l.learn(true)
	}
	if len(l.tones) == maxTones && !l.whole {
		n := copy(l.tones, l.tones[maxTones-keptTones:])
		l.first += maxTones - keptTones
		l.tones = l.tones[:n]
	}
	number := l.first + int64(len(l.tones))
	t := tone{on: now, off: Unknown, key: key, velocity: velocity, slurred: l.slurred(key, now), several: l.voices, beat: Unknown}
	l.separate(&t)
	l.tones = append(l.tones, t)
	l.link(number)
	if len(l.held) == maxNotes {
		copy(l.held, l.held[1:])
		l.held = l.held[:maxNotes-1]
	}
	l.held = append(l.held, held{tone: number, on: now, key: key})
	return number
}

// link puts the newest tone in its place in its voice. The notes of one chord all follow
// the chord before; the highest leads it.
func (l *line) link(number int64) {
	t := l.tone(number)
	v := &l.streams[t.voice]
	before := l.tone(v.last)
	switch {
	case before == nil:
		l.lead(v, number)
	case t.on-before.on > chordTime:
		t.prev = v.last
		l.follow(before, number-1, 0, number)
		v.before = v.shape
		l.lead(v, number)
	default:
		t.prev = before.prev
		t.phrase, t.sub, t.breath, t.strength, t.starts, t.mean, t.accent = before.phrase, before.sub, before.breath, before.strength, before.starts, before.mean, before.accent
		if t.key > before.key {
			v.shape = v.before
			if p := l.tone(t.prev); p != nil {
				l.follow(p, v.last-1, v.last, number)
			}
			l.lead(v, number)
		}
	}
}

// follow has the notes of the chord that p leads, looked for from a number downward, be
// followed by another tone than the one that was.
func (l *line) follow(p *tone, from, was, now int64) {
	for n := from; ; n-- {
		b := l.tone(n)
		if b == nil || p.on-b.on > chordTime {
			return
		}
		if b.voice == p.voice && b.next == was {
			b.next = now
		}
	}
}

// noteOff hears a note end and returns its number, 0 if it was not heard.
func (l *line) noteOff(key uint8, now time.Duration) int64 {
	for i := range l.held {
		h := &l.held[i]
		if h.key != key || h.released {
			continue
		}
		number := h.tone
		if t := l.tone(number); t != nil {
			t.off = now
		}
		if l.separator != nil {
			l.separator.Off(now, int(key))
		}
		l.lastOff, l.lastKey = now, int(key)
		if len(l.held) == 2 { // the elder of two ends soon after the younger began: a slur
			l.learn(i == 1 || now-l.held[1].on > overlapTime)
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
func (l *line) damper(down bool) {
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
func (l *line) allNotesOff(now time.Duration) {
	for i := range l.held {
		h := &l.held[i]
		if t := l.tone(h.tone); t != nil && t.off == Unknown {
			t.off = now
		}
		h.released = true
	}
	if !l.pedal {
		l.held = l.held[:0]
	}
}

// listen finds out whether several voices play on the channel: notes do that sound
// together for longer than a slur makes them.
func (l *line) listen(now time.Duration) {
	for i := 1; i < len(l.held); i++ {
		if !l.held[i].released && now-l.held[i].on > overlapTime {
			l.learn(true)
		}
	}
}

// learn keeps whether the notes that are held are several voices.
func (l *line) learn(several bool) {
	l.voices = several
	l.polyphonic = l.polyphonic || several
	for i := range l.held {
		if t := l.tone(l.held[i].tone); t != nil {
			t.several = several
		}
	}
}

// startsChord reports whether a note that starts now is of one chord with another.
func (l *line) startsChord(now time.Duration) bool {
	n := len(l.held)
	return n > 0 && now-l.held[n-1].on <= chordTime
}

// slurred reports whether a note that starts now is joined to the one before: that
// one still sounds, or ended this very moment, and is not another voice, another note
// of the same chord, or a repetition.
func (l *line) slurred(key uint8, now time.Duration) bool {
	for i := range l.held {
		if h := &l.held[i]; !h.released && h.key != key && !l.voices {
			return true
		}
	}
	return l.lastKey != Unknown && l.lastKey != int(key) && now-l.lastOff <= jointTime
}

// silence hears every note cut short.
func (l *line) silence() {
	l.held = l.held[:0]
	l.pedal = false
}

// control hears the controllers that end notes or hold them.
func (l *line) control(number, value int, now time.Duration) {
	switch {
	case number == ccDamper:
		l.damper(value >= 64)
	case number == ccReset:
		l.damper(false)
	case number == ccSoundOff:
		was := l.pedal
		l.pedal = false
		l.allNotesOff(now)
		l.pedal = was
	case number >= ccNotesOff:
		l.allNotesOff(now)
	}
}

// struckAlone reports whether no other tone is known to begin with one.
func (l *line) struckAlone(number int64) bool {
	t := l.tone(number)
	for _, n := range [...]int64{number - 1, number + 1} {
		if other := l.tone(n); t != nil && other != nil && other.on-t.on <= chordTime && t.on-other.on <= chordTime {
			return false
		}
	}
	return true
}
