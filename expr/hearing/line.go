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
	keys
	streams   [voices.MaxVoices]stream
	gap       float32           // by how much less salient than the tune its part has lately been
	gapAt     time.Duration     // of the latest note; Unknown before
	separator *voices.Separator // nil until notes sound together
	scene     *nuance.Scene     // where keys are struck; else nil
	pedals    bool              // its player does

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

func (l *Line) init() {
	scene := l.scene
	if scene != nil {
		scene.Reset()
	}
	*l = Line{
		keys:  keys{tones: tones{first: 1}, Voices: true, lastKey: expr.Unknown},
		scene: scene, pedals: l.pedals, gapAt: expr.Unknown, trial: l.trial,
	}
}

// noteOn hears a note begin and returns its number.
func (l *Line) noteOn(key, velocity uint8, now time.Duration) int64 {
	l.Listen(now)
	if l.startsChord(now) {
		l.learn(true)
	}
	l.forget()
	t := Tone{On: now, Off: expr.Unknown, Key: key, velocity: velocity, slurred: l.slurred(key, now), Several: l.Voices, beat: expr.Unknown}
	l.separate(&t)
	number := l.add(t)
	l.link(number)
	l.press(number, key, now)
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
	number := l.release(key, now)
	if number != 0 {
		l.tellEnd(key, now)
	}
	return number
}

// Reset has a part's line begin anew, for one that has failed.
func (l *Line) Reset() { l.init() }

func (l *Line) fault() error { return expr.InOne(l.voicesFault, l.phrasesFault) }
