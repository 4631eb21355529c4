package engine

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/hearing"
)

// maxNotes bounds the notes of one channel whose movement is followed. Older
// ones still sound and still get their note-off; they only stop moving.
const maxNotes = 64

// unsent marks a value that the sampler has not been told yet.
const unsent = -1

// part is the state of one channel.
type part struct {
	index     int32
	seated    *expr.Profile // as the caller seated it; nil: the part is raw
	profile   *expr.Profile // the way of playing that is on: seated itself or one of its variants
	next      *expr.Profile // takes profile's place as soon as nothing sounds, or with the next note
	players   int
	mfDB      float64     // where this instrument's mf lies when shaped, dB re full
	rawLaw    *expr.Curve // velocity to dB re full of the raw performance
	fixedVel  uint8       // velocity under CarryController
	place     expr.Place
	amounts   []float64 // of the engine's habits, in their order
	vibrates  bool
	shaped    bool // some habit is on, and none has failed
	scheduled bool // stands in the engine's agenda
	source    uint16
	fault     error // why it plays raw
	counts    Counts

	nuance      float64       // of its latest note, dB
	nuanceAt    time.Duration // when that was; Unknown before
	touch       float64       // of its latest leading note, dB
	touchAt     time.Duration // when that was; Unknown before
	sd          time.Duration // of its onsets
	playedNote  time.Duration // when the latest start or end of its notes is played
	playedOther time.Duration // and of its other messages

	line   *hearing.Line // what came in
	notes  []sounding    // what sounds
	early  [128]uint8    // by key: ends that the shaped side has played before they came in
	struck [128]int64    // by key: number of the latest note whose time is decided

	pedalFault  error // why nobody pedals any more
	timingFault error // why it is in time

	pedal   pedal
	in      incoming
	depth   float64 // of the vibrato now, cents
	levelDB float64 // what the level controller adds now, dB, without what came in
	capDB   float64 // what it may add before some sounding note passes its ceiling, dB
	sent    sent
}

// sounding is a note that has begun and not ended.
type sounding struct {
	gesture   expr.Gesture
	on        time.Duration
	carriedDB float64 // part of the level that the velocity carries, dB re full
	ceilingDB float64 // level that the note never exceeds, dB re full
	key       uint8
	source    uint16        // where it came from
	tone      int64         // its number in the line
	end       time.Duration // when it ends, where that is not left to its note-off; 0
	pending   bool          // its end has come in, and the shaped performance has put it off
	undecided bool          // its note-off is pending, and for how long depends on whether a next note follows
	released  bool          // the key is up, the pedal holds it
}

// incoming is what the notation program has said. It is followed whether or not the
// part is seated, as set-ups often come before anything tells what plays.
type incoming struct {
	cc             [128]int16 // unsent until one came
	moves          [2]uint64  // the controllers that it moves, or will
	bend           int        // 0..16383
	rpnMSB, rpnLSB uint8
	bendRange      float64 // semitones; 0 until the notation program set it
	pedal          bool
}

// sent is what the shaped side has been told, in the controllers' own numbers.
type sent struct {
	level, vibrato, rate, delay, brightness int
	bend                                    int
	range_                                  bool // our bend range has been set
}

func (p *part) init(index, habits int, heard *hearing.Line) {
	p.index = int32(index)
	p.line = heard
	p.counts.Habits, p.amounts = make([]uint64, habits), make([]float64, habits)
	p.in = incoming{bend: expr.BendCentre, rpnMSB: 127, rpnLSB: 127}
	for n := range p.in.cc {
		p.in.cc[n] = unsent
	}
	p.sent = nothingSent
	p.nuanceAt, p.touchAt = expr.Unknown, expr.Unknown
	p.pedal = pedal{sent: unsent, look: expr.Unknown}
}

var nothingSent = sent{level: unsent, vibrato: unsent, rate: unsent, delay: unsent, brightness: unsent, bend: unsent}

// adopt takes up a way of playing.
func (p *part) adopt(profile *expr.Profile, headroomDB float64) {
	p.profile = profile
	p.shaped, p.vibrates = true, vibrates(profile)
	p.rawLaw = profile.Sampler.Velocity
	if p.rawLaw == nil {
		p.rawLaw = standardLaw
	}
	p.mfDB = p.rawLaw.At(profile.Dynamics.Reading.Invert(0)) - headroomDB
	p.fixedVel = profile.Sampler.FixedVelocity
	if p.fixedVel == 0 {
		p.fixedVel = defaultFixedVelocity
	}
}

// defaultFixedVelocity is what a sampler that answers to velocity gets where the
// controller carries the level: between f and ff, so that most levels are reached
// from above. Ours, not published.
const defaultFixedVelocity = 100

var standardLaw = expr.StandardLaw()

// movesLevel reports whether the level controller is ours to move: the sampler
// has one, and the profile does not leave it to the notation program.
func (p *part) movesLevel() bool {
	return p.moves(&p.profile.Sampler.Level, p.profile.Sampler.Incoming.Level)
}

// movesVibratoDepth reports whether the vibrato depth controller is ours to move.
func (p *part) movesVibratoDepth() bool { return p.vibrates && p.movesDepthBy(&p.profile.Sampler) }

// vibrates reports whether the players of a profile have a vibrato.
func vibrates(profile *expr.Profile) bool { return profile.Amounts.Of(expr.KeyVibrato) != 0 }

// movesDepthBy reports whether the vibrato depth controller of a sampler is ours to move.
func (p *part) movesDepthBy(sampler *expr.Sampler) bool {
	return !sampler.BendVibrato && p.moves(&sampler.VibratoDepth, sampler.Incoming.Vibrato)
}

// movesBrightness reports whether the brightness controller is ours to move.
func (p *part) movesBrightness() bool {
	sampler := &p.profile.Sampler
	return sampler.BrightPerDB != 0 && p.moves(&sampler.Brightness, sampler.Incoming.Brightness)
}

// moves reports whether a controller is ours to move, by how it meets the notation program's.
func (p *part) moves(c *expr.Control, how expr.Combine) bool {
	return c.Has() && how != expr.Leave && (how != expr.GiveWay || !p.in.has(c))
}

// leaves reports whether a note that starts now leaves the controller to others: other
// voices sound, and not only the note whose place it takes.
func (p *part) leaves() bool {
	for i := range p.notes {
		if !p.notes[i].pending {
			return p.voices()
		}
	}
	return false
}

// voices reports whether what sounds are several voices, and not a slurred line.
func (p *part) voices() bool {
	if n := len(p.notes); n > 0 {
		if t := p.line.Tone(p.notes[n-1].tone); t != nil {
			return t.Several
		}
	}
	return p.line.Voices
}

// find is where a note stands among the sounding ones, or -1.
func (p *part) find(tone int64) int {
	for i := range p.notes {
		if p.notes[i].tone == tone && !p.notes[i].released {
			return i
		}
	}
	return -1
}

// findKey is where a note of a key stands among those that sound until their end comes in, or -1.
func (p *part) findKey(key uint8) int {
	for i := range p.notes {
		if n := &p.notes[i]; n.key == key && !n.released && !n.pending {
			return i
		}
	}
	return -1
}

// releaseHeld ends the notes that only the pedal held.
func (p *part) releaseHeld() {
	kept := p.notes[:0]
	for _, n := range p.notes {
		if !n.released {
			kept = append(kept, n)
		}
	}
	p.notes = kept
}

// want looks at the sounding notes, of which there must be one: what the level
// controller must add for the loudest voice, or under a slur for the latest note, dB re
// full, as far as no note passes its ceiling; and the latest note's brightness in dB.
func (p *part) want(now time.Duration) (level, brightness float64) {
	level, p.capDB = expr.Silence, 0
	last, voices := len(p.notes)-1, p.voices()
	for i := range p.notes {
		n := &p.notes[i]
		reMf := n.gesture.LevelAt(now - n.on)
		if i == last || voices && (!n.pending || p.notes[last].pending) { // what is only drawn over the next follows it
			level = max(level, p.mfDB+reMf+p.weightDB(&n.gesture)-n.carriedDB)
		}
		p.capDB = min(p.capDB, n.ceilingDB-n.carriedDB)
		brightness = p.profile.Sampler.BrightPerDB * reMf
	}
	return min(level, p.capDB), brightness
}
