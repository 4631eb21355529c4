package expr

import (
	"time"
)

// Range is where an instrument plays, in MIDI notes, both ends included. The zero value is
// everywhere.
type Range struct{ Low, High uint8 }

// What lies outside a range is no music but a keyswitch, which tells the sampler how to
// play. Parts are at times written an octave from where they sound, and players go beyond
// the books by a tone, so that by itself only what is farther out than both together passes
// for one; nearer by, only a note that no player could play so short there. Ours, not published.
const (
	nearOutside = 2                // semitones
	farOutside  = 12 + nearOutside // semitones
	callTime    = 100 * time.Millisecond
)

// Outside is by how many semitones a key lies outside the range, 0 inside.
func (r Range) Outside(key uint8) int {
	if r == (Range{}) {
		return 0
	}
	return max(int(r.Low)-int(key), int(key)-int(r.High), 0)
}

// Calls reports whether a note of a key and a length, which may be Unknown, is no music on
// this instrument but calls a way of playing: one that the profile declares, or one that
// only the sampler knows.
func (p *Profile) Calls(key uint8, length time.Duration) bool {
	for i := range p.Variants {
		if p.Variants[i].Keyswitch == int(key) {
			return true
		}
	}
	return p.Outside(key, length)
}

// Outside is Calls of what no profile declares.
func (p *Profile) Outside(key uint8, length time.Duration) bool {
	by := p.Range.Outside(key)
	return by > farOutside || by > nearOutside && length != Unknown && length < callTime
}
