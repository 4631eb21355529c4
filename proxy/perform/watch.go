package perform

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/meter"
	"swellbox/profiles"
)

// Watch looks at a stage while it plays, on both sides of each part. Its methods must not be
// called while the stage is driven.
type Watch struct{ s *Stage }

// NewWatch begins to read the parts that are seated now and later. It costs the hot path some
// tens of nanoseconds an event, and allocates nothing. Many may watch one stage.
func NewWatch(s *Stage) *Watch {
	w := &Watch{s}
	if s.desk.gauges == nil {
		s.desk.gauges = &gauges{raw: meter.New(s.ports), shaped: meter.New(s.ports)}
		for i, p := range s.Parts {
			if profile := w.Profile(i); profile != nil {
				s.desk.gauges.seat(p.Port, p.Channel, profile)
			}
		}
	}
	return w
}

// Gauge is what sounds of a part at a moment, on both sides.
type Gauge struct {
	Raw, Shaped  bool          // something sounds on that side
	RawDB        float64       // of the loudest note as the sampler sounds it, dB re its full; lowered by as much as the raw side is
	ShapedDB     float64       // likewise
	WrittenDB    float64       // of the loudest note as written, dB re the instrument's mf
	SeatDB       float64       // louder in the hall than on its usual seat
	VibratoCents float64       // peak to peak, of the shaped side
	Pedal        float64       // of the shaped side, 0 to 1
	PhraseSince  time.Duration // how long ago its phrase began; expr.Unknown where nobody can tell
	PhraseUntil  time.Duration // for how long its phrase goes on; expr.Unknown likewise
	Keys         [2]uint64     // that are down on the raw side, a bit each
}

// Read fills in what sounds of one part, by its index in the stage's Parts.
func (w *Watch) Read(index int, g *Gauge) {
	s := w.s
	*g = Gauge{PhraseSince: expr.Unknown, PhraseUntil: expr.Unknown}
	m := s.desk.gauges
	if index >= len(s.Parts) {
		return
	}
	p, profile := &s.Parts[index], w.Profile(index)
	if profile == nil {
		return
	}
	g.SeatDB = s.engine.Standing(p.Port, p.Channel).SeatDB
	var loudest uint8
	g.Keys, loudest = m.raw.Keys(p.Port, p.Channel)
	if g.RawDB, g.Raw = m.raw.Level(p.Port, p.Channel); g.Raw {
		g.RawDB -= s.desk.matchDB
	}
	g.ShapedDB, g.Shaped = m.shaped.Level(p.Port, p.Channel)
	if profile.Dynamics.Reading != nil && loudest > 0 {
		g.WrittenDB = profile.Dynamics.Reading.At(float64(loudest))
	}
	g.VibratoCents = m.shaped.Vibrato(p.Port, p.Channel)
	g.Pedal = m.shaped.Pedal(p.Port, p.Channel)
	c := s.engine.Counts(p.Port, p.Channel)
	g.PhraseSince, g.PhraseUntil = c.PhraseSince, c.PhraseUntil
}

// Profile is what a seated part plays by, by its index in Parts; nil where the cast has none. It
// resolves nothing.
func (w *Watch) Profile(index int) *expr.Profile {
	p := &w.s.Parts[index]
	return w.s.cast.known[way{p.Profile, p.Articulation, p.ControllerMap}]
}

// Tune is which of Parts has the tune, and how much it stands out among all, 0 to 1; -1 where
// nobody knows.
func (w *Watch) Tune() (index int, salience float64) {
	s := w.s
	channel, salience := s.engine.Tune()
	if channel < 0 || channel >= len(s.index) || s.index[channel] == expr.Unknown {
		return -1, 0
	}
	return s.index[channel], salience
}

// SetSeat has a part, by its index in the stage's Parts, be so many dB louder in the hall than on its
// usual seat; see [engine.Standing].
func (w *Watch) SetSeat(index int, db float64) {
	p := &w.s.Parts[index]
	s := w.s.engine.Standing(p.Port, p.Channel)
	s.SeatDB = db
	w.s.engine.Stand(p.Port, p.Channel, s)
}

// Match lowers the raw side from now on by as much as it is louder, or ends that; see
// [Performance.MatchLevels], of which it is the way while music plays. Levels glide.
func (w *Watch) Match(on bool, ensemble profiles.Ensemble) {
	s, d := w.s, w.s.desk
	switch {
	case on && d.match == nil:
		for i := range d.strips {
			d.strips[i].volume = d.strips[i].said[0].Said(ccVolume)
		}
		d.match = newMatching(s.ports, &d.colours)
		for i, p := range s.Parts {
			if profile := w.Profile(i); profile != nil {
				d.match.seat(p.Port, p.Channel, profile)
			}
		}
		d.lower(ensemble.HeadroomDB, s.now)
	case !on && d.match != nil:
		d.lower(0, s.now)
		d.match = nil
	}
}

// Matched reports whether the raw side is lowered to be as loud as the other.
func (w *Watch) Matched() bool { return w.s.desk.match != nil }
