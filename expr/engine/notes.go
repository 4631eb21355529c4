package engine

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/hearing"
)

// maxNotes bounds the notes of one channel whose movement is followed. Older
// ones still sound and still get their note-off; they only stop moving.
const maxNotes = 64

// notes are the notes of a part, from their starts to their ends.
type notes struct {
	*sampler
	line  *hearing.Line
	all   []sounding      // what sounds, in the order of the starts
	early [128]uint8      // by key: ends that the shaped side has played before they came in
	held  bool            // the player's own foot holds what ends
	next  *expr.Profile   // by which the next note is played; nil: as the last
	ended func(key uint8) // is called when a note has ended or is held by a pedal
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

// find is where a note stands among the sounding ones, or -1.
func (n *notes) find(tone int64) int {
	for i := range n.all {
		if n.all[i].tone == tone && !n.all[i].released {
			return i
		}
	}
	return -1
}

// findKey is where a note of a key stands among those that sound until their end comes in, or -1.
func (n *notes) findKey(key uint8) int {
	for i := range n.all {
		if s := &n.all[i]; s.key == key && !s.released && !s.pending {
			return i
		}
	}
	return -1
}

// joins reports whether a note that starts now joins other voices, and does not only take the
// place of a note.
func (n *notes) joins() bool {
	for i := range n.all {
		if !n.all[i].pending {
			return n.voices()
		}
	}
	return false
}

// voices reports whether what sounds are several voices, and not a slurred line.
func (n *notes) voices() bool {
	if i := len(n.all); i > 0 {
		if t := n.line.Tone(n.all[i-1].tone); t != nil {
			return t.Several
		}
	}
	return n.line.Voices
}

// changesWay reports whether the next note is played in another way than what sounds: no
// note is drawn over from one to the other, as from a bowed to a plucked one.
func (n *notes) changesWay() bool { return n.next != nil && n.next != n.profile }

// want looks at the sounding notes, of which there must be one: what the level
// controller must add for the loudest voice, or under a slur for the latest note, dB re
// full, as far as no note passes its ceiling; and the latest note's brightness in dB.
func (n *notes) want() (level, brightness float64) {
	level, n.capDB = expr.Silence, 0
	last, voices := len(n.all)-1, n.voices()
	for i := range n.all {
		s := &n.all[i]
		reMf := s.gesture.LevelAt(n.now - s.on)
		if i == last || voices && (!s.pending || n.all[last].pending) { // what is only drawn over the next follows it
			level = max(level, n.mfDB+reMf+weightDB(&s.gesture, &n.standing)-s.carriedDB)
		}
		n.capDB = min(n.capDB, s.ceilingDB-s.carriedDB)
		brightness = n.profile.Sampler.BrightPerDB * reMf
	}
	return min(level, n.capDB), brightness
}

// vibrate sends depth, rate and delay of the vibrato that sounds now, or draws
// it with pitch bend, as the player's profile asks. elapsed is the time since the last
// call of a part that moves. It reports whether the depth has further to fall.
func (n *notes) vibrate(elapsed time.Duration) (falling bool) {
	var latest *sounding // the latest note with vibrato sets the rate
	depth := 0.0
	for i := range n.all {
		s := &n.all[i]
		if s.gesture.VibratoCents > 0 && (!s.pending || i == len(n.all)-1) { // not one that only laps over
			latest = s
			depth = max(depth, s.gesture.VibratoAt(n.now-s.on))
		}
	}
	switch {
	case n.profile.Sampler.BendVibrato:
		if latest != nil {
			n.sendBend(n.bendFor(latest.gesture.PitchAt(n.now - latest.on)))
		} else if n.sent.bend != expr.Unknown {
			n.sendBend(n.bendFor(0))
		}
		return false
	case latest != nil:
		n.sendManner(&latest.gesture)
	}
	return n.sendDepth(depth, elapsed)
}

// moves reports whether some note is still on its way to where it settles.
func (n *notes) moving() bool {
	for i := range n.all {
		s := &n.all[i]
		swings := n.profile.Sampler.BendVibrato && s.gesture.VibratoCents > 0
		if swings || n.now-s.on < s.gesture.Settled() {
			return true
		}
	}
	return false
}

// begin starts to follow a note.
func (n *notes) begin(s sounding) {
	if len(n.all) == maxNotes {
		n.endPending(&n.all[0])
		copy(n.all, n.all[1:])
		n.all = n.all[:maxNotes-1]
	}
	n.all = append(n.all, s)
	if s.gesture.Sounding > 0 {
		n.endAt(&n.all[len(n.all)-1], n.now+s.gesture.Sounding)
	}
}

// endAt has a sounding note end at a time, whenever its note-off comes.
func (n *notes) endAt(s *sounding, at time.Duration) {
	s.end = at
	n.put(at, deferred{part: n.index, tone: s.tone, what: ends})
}

// releaseVelocity is that of a note-off of our own: MIDI 1.0's for a device that knows none.
const releaseVelocity = 64

// endPending sends the note-off that is pending of a sounding note.
func (n *notes) endPending(s *sounding) {
	if s.pending {
		s.pending, s.end = false, 0
		n.sendFor(s.source, 0x80, s.key, releaseVelocity)
	}
}

// drop stops to follow all notes. No note-off is left pending.
func (n *notes) drop() {
	for i := range n.all {
		n.endPending(&n.all[i])
	}
	n.all = n.all[:0]
}

// endHeld ends the notes that only the pedal held.
func (n *notes) endHeld() {
	kept := n.all[:0]
	for _, s := range n.all {
		if !s.released {
			kept = append(kept, s)
		}
	}
	n.all = kept
}
