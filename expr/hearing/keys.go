package hearing

import (
	"time"

	"swellbox/expr"
)

// keys are what is held down on one channel, and what that tells of its notes: whether they are
// several voices or a slurred line.
type keys struct {
	tones
	held       []held
	Voices     bool          // notes sound together here on purpose; false once one has shown to be slurred
	polyphonic bool          // they have done so
	lastOff    time.Duration // of the latest note that ended
	lastKey    int           // its key; Unknown if there was none
	pedal      bool
}

// held is a note that has begun and not ended.
type held struct {
	tone     int64
	on       time.Duration
	key      uint8
	released bool // the key is up, the pedal holds it
}

// maxHeld bounds the notes that are followed until they end; older ones are forgotten.
const maxHeld = 64

// press has a note be held.
func (k *keys) press(number int64, key uint8, now time.Duration) {
	if len(k.held) == maxHeld {
		copy(k.held, k.held[1:])
		k.held = k.held[:maxHeld-1]
	}
	k.held = append(k.held, held{tone: number, on: now, key: key})
}

// release has the note of a key end and returns its number, 0 if none is held.
func (k *keys) release(key uint8, now time.Duration) int64 {
	for i := range k.held {
		h := &k.held[i]
		if h.key != key || h.released {
			continue
		}
		number := h.tone
		if t := k.Tone(number); t != nil {
			t.Off = now
		}
		k.lastOff, k.lastKey = now, int(key)
		if len(k.held) == 2 { // the elder of two ends soon after the younger began: a slur
			k.learn(i == 1 || now-k.held[1].on > expr.OverlapTime)
		}
		if k.pedal {
			h.released = true
		} else {
			k.held = append(k.held[:i], k.held[i+1:]...)
		}
		return number
	}
	return 0
}

// damper hears the pedak.
func (k *keys) damper(down bool) {
	k.pedal = down
	if down {
		return
	}
	kept := k.held[:0]
	for _, h := range k.held {
		if !h.released {
			kept = append(kept, h)
		}
	}
	k.held = kept
}

// allNotesOff hears every key go up, as mode messages 123 to 127 have it.
func (k *keys) allNotesOff(now time.Duration) {
	for i := range k.held {
		h := &k.held[i]
		if t := k.Tone(h.tone); t != nil && t.Off == expr.Unknown {
			t.Off = now
		}
		h.released = true
	}
	if !k.pedal {
		k.held = k.held[:0]
	}
}

// Listen finds out whether several voices play on the channel: notes do that sound
// together for longer than a slur makes them.
func (k *keys) Listen(now time.Duration) {
	for i := 1; i < len(k.held); i++ {
		if !k.held[i].released && now-k.held[i].on > expr.OverlapTime {
			k.learn(true)
		}
	}
}

// learn keeps whether the notes that are held are several voices.
func (k *keys) learn(several bool) {
	k.Voices = several
	k.polyphonic = k.polyphonic || several
	for i := range k.held {
		if t := k.Tone(k.held[i].tone); t != nil {
			t.Several = several
		}
	}
}

// startsChord reports whether a note that starts now is of one chord with another.
func (k *keys) startsChord(now time.Duration) bool {
	n := len(k.held)
	return n > 0 && now-k.held[n-1].on <= expr.ChordTime
}

// slurred reports whether a note that starts now is joined to the one before: that
// one still sounds, or ended this very moment, and is not another voice, another note
// of the same chord, or a repetition.
func (k *keys) slurred(key uint8, now time.Duration) bool {
	for i := range k.held {
		if h := &k.held[i]; !h.released && h.key != key && !k.Voices {
			return true
		}
	}
	return k.lastKey != expr.Unknown && k.lastKey != int(key) && now-k.lastOff <= expr.JointTime
}

// Sounds reports whether a note of the line has begun and not ended.
func (k *keys) Sounds() bool { return len(k.held) > 0 }

// Silence hears every note cut short.
func (k *keys) Silence() {
	k.held = k.held[:0]
	k.pedal = false
}

// control hears the controllers that end notes or hold them.
func (k *keys) control(number, value int, now time.Duration) {
	switch {
	case number == expr.CCDamper:
		k.damper(value >= 64)
	case number == expr.CCReset:
		k.damper(false)
	case number == expr.CCSoundOff:
		was := k.pedal
		k.pedal = false
		k.allNotesOff(now)
		k.pedal = was
	case number >= expr.CCNotesOff:
		k.allNotesOff(now)
	}
}
