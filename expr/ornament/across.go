package ornament

import (
	"math"
	"time"
)

const (
	// rollStep bounds the time from a note of a rolled chord to the next, which otherwise is a
	// sixty-fourth; a chord takes at most half of its length to roll (common practice, no published source).
	rollQuickest = 25 * time.Millisecond
	rollSlowest  = 70 * time.Millisecond
	rollShare    = .5
)

// RollStep is how long after one note of a rolled chord the next is struck, in quarter notes, for a
// chord of so many notes and a length in quarter notes, at a tempo in which a quarter note lasts so long.
func RollStep(notes int, length float64, quarter time.Duration) float64 {
	if notes < 2 || quarter <= 0 || !(length > 0) || math.IsInf(length, 0) {
		return 0
	}
	step := min(max(quarter/16, rollQuickest), rollSlowest)
	return min(step.Seconds()/quarter.Seconds(), length*rollShare/float64(notes-1))
}

// Scale says which keys a glissando passes.
type Scale uint8

const (
	Chromatic Scale = iota
	Keys            // one colour of a keyboard, where both ends have it: a hand slides over it
	Strings         // those of a harp, as the key signature sets its pedals
)

const (
	// glideQuickest and glideSlowest bound the notes of a glissando. A first note that is longer than the
	// slowest is held before it runs; where the quickest do not suffice, notes are passed over (common practice,
	// no published source).
	glideQuickest = 20 * time.Millisecond
	glideSlowest  = 120 * time.Millisecond
)

// Glide gives the notes of a glissando in steps, over a first note of a length in quarter notes, up
// to the key of the next note, which is not among them. fifths are the sharps of the key signature, or
// flats below 0. It adds the notes to notes, in order, without gaps.
func Glide(notes []Note, from, to uint8, length float64, quarter time.Duration, scale Scale, fifths int) []Note {
	if !(length > 0) || quarter <= 0 || math.IsInf(length, 0) {
		return append(notes, Note{0, length, from})
	}
	passed := passing(int(from), int(to), scale, fifths)
	most := int(length * float64(quarter) / float64(glideQuickest))
	stride := 1
	for len(passed)/stride+1 > most && stride <= len(passed) {
		stride++
	}
	var keys []uint8
	for i := stride - 1; i < len(passed); i += stride {
		keys = append(keys, passed[i])
	}
	each := min(length/float64(len(keys)+1), glideSlowest.Seconds()/quarter.Seconds())
	held := length - each*float64(len(keys))
	notes = append(notes, Note{0, held, from})
	for i, key := range keys {
		notes = append(notes, Note{held + float64(i)*each, each, key})
	}
	return notes
}

// passing are the keys between two, in the order in which they are passed.
func passing(from, to int, scale Scale, fifths int) (keys []uint8) {
	way := 1
	if to < from {
		way = -1
	}
	white := func(key int) bool { return 0b101010110101>>(key%12)&1 == 1 }
	in := func(int) bool { return true }
	switch {
	case scale == Keys && white(from) == white(to):
		in = func(key int) bool { return white(key) == white(from) }
	case scale == Strings:
		tonic := (fifths*7%12 + 12) % 12
		in = func(key int) bool { return white((key - tonic + 120) % 12) }
	}
	for key := from + way; (to-key)*way > 0; key += way {
		if in(key) {
			keys = append(keys, uint8(key))
		}
	}
	return keys
}
