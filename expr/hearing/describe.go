package hearing

import (
	"math"
	"time"

	"swellbox/expr"
)

// hear hears a note begin on a part's line, and returns its number there.
func (a *ear) hear(l *Line, part int, drum bool, key, velocity uint8, at time.Duration) int64 {
	number := l.noteOn(key, velocity, at)
	l.strike(number)
	t := l.Tone(number)
	if drum {
		t.Salience, t.Tune = expr.Unknown, expr.Unknown
		return number
	}
	t.moment = a.noteOn(key, at)
	l.Place(t)
	a.follow(l, t, part, at)
	return number
}

// follow hears a note as one of a part that may have the tune.
func (a *ear) follow(l *Line, t *Tone, part int, at time.Duration) {
	t.Salience, t.Tune = expr.Unknown, expr.Unknown
	if a.tuneFault != nil {
		return
	}
	defer expr.Lose(&a.tuneFault, expr.OfTune)
	a.trial.Of(expr.OfTune)
	if t.Role == expr.Alone || t.Role == expr.Melody {
		t.sung = true
		a.tune.Note(part, at, int(t.Key), int(t.velocity))
	}
	_, tune := a.tune.Tune(at)
	gap := l.stepsBack(float32(tune-a.tune.Salience(part, at)), at)
	t.Tune, t.Salience = float32(tune), float32(tune)-gap
}

// followEnd hears such a note end.
func (a *ear) followEnd(part int, at time.Duration) {
	if a.tuneFault == nil {
		defer expr.Lose(&a.tuneFault, expr.OfTune)
		a.tune.Off(part, at)
	}
}

// stepBackTime is how soon a part follows a change of who has the tune: it steps back, or
// forward, over a few notes and not from one to the next. Ours.
const stepBackTime = 2 * time.Second

// stepsBack is by how much less salient than the tune the part has lately been.
func (l *Line) stepsBack(gap float32, at time.Duration) float32 {
	if l.gapAt == expr.Unknown {
		l.gap = gap
	} else {
		follows := 1 - math.Exp(-float64(at-l.gapAt)/float64(stepBackTime))
		l.gap += float32(follows) * (gap - l.gap)
	}
	l.gapAt = at
	return l.gap
}

// hearEnd hears a note end on a part's line, and returns its number there.
func (a *ear) hearEnd(l *Line, part int, key uint8, at time.Duration) int64 {
	number := l.noteOff(key, at)
	t := l.Tone(number)
	if t != nil {
		l.lift(t)
	}
	if t != nil && t.moment != 0 {
		a.noteOff(key)
		if t.sung {
			a.followEnd(part, at)
		}
	}
	return number
}

// describe tells of a note's neighbours, and of where it stands in the line but for its phrase.
func (l *Line) describe(n *expr.Note, t *Tone) {
	c, reading := &n.Context, n.Profile.Dynamics.Reading
	if t.Off != expr.Unknown {
		c.Length = t.Off - t.On
	}
	if before := l.Tone(t.prev); before != nil {
		c.FromLast = t.On - before.On
		c.LastKey = int(before.Key)
		c.LastDB = reading.At(float64(before.velocity))
		if before.Off != expr.Unknown {
			c.RestBefore = max(t.On-before.Off, 0)
		}
	}
	if after := l.Tone(t.Next); after != nil {
		c.ToNext = after.On - t.On
		c.NextKey = int(after.Key)
		c.NextDB = reading.At(float64(after.velocity))
		if t.Off != expr.Unknown {
			c.RestAfter = max(after.On-t.Off, 0)
		}
	}
	c.SinceRest = t.On - t.breath
	c.MeanKey = float64(t.mean)
	c.MeanAccent = float64(t.accent)
	c.Accent = l.accentOf(t)
	l.Place(t)
	c.Role, c.Voices = t.Role, max(int(t.Voices), 1)
	c.Group, c.GroupRising = l.group(t)
	c.MeanBeat = float64(t.metre)
	c.Beat, c.BeatLevel, c.BeatSure = t.beat, int(t.beatLevel), float64(t.beatSure)
}

// describe tells of the music around a note, as far as is known at a time.
func (a *ear) describe(c *expr.Context, t *Tone, now time.Duration) {
	c.Salience, c.Tune = float64(t.Salience), float64(t.Tune)
	if h := a.harmony(t.moment, now); h != nil {
		c.Root, c.Tonic, c.Minor, c.Remote = int(h.root), int(h.tonic), h.minor, float64(h.remote)
	}
}
