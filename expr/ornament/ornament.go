package ornament

import (
	"math"
	"time"
)

// Kind is the sign of an ornament.
type Kind uint8

const (
	None         Kind = iota
	Trill             // a long one, over the whole note
	Mordent           // main note, lower neighbour, main note
	UpperMordent      // main note, upper neighbour, main note: a short trill
	Turn              // upper neighbour, main note, lower neighbour, main note
	LowerTurn         // the same upside down
	LateTurn          // a turn at the end of the note
	LateLowerTurn
	Tremolo   // the note over and over
	Alternate // a tremolo from one note, or chord, to the next
)

// Sign is an ornament over a note. Its zero value is none.
type Sign struct {
	Kind         Kind
	Upper, Lower uint8 // the neighbours, in semitones above and below the main note, 1 to 3
	FromMain     bool  // a trill starts on the main note, not on the upper one
	Turned       bool  // a trill ends with the lower neighbour
	Long         bool  // a mordent that goes back and forth twice
	Strokes      uint8 // of a tremolo: its notes are 1/2^Strokes of a quarter note
}

// Note is a note of what is played.
type Note struct {
	At, Length float64 // quarter notes since the start of the written note
	Key        uint8   // MIDI note
}

const (
	// trillRate is how many notes of a trill pianists play in a second, about; they reach from 8
	// to 16 (from memory of measurements of trills).
	trillRate = 12
	// strokeRate bounds the notes of a tremolo: where one is written as faster it is not meant to be
	// counted (common practice, no published source).
	strokeRate = 16
	// quickest and slowest bound the notes of mordents and turns, which otherwise are
	// thirty-seconds (common practice, no published source).
	quickest = 60 * time.Millisecond
	slowest  = 110 * time.Millisecond
	// mostNotes bounds what is made of one note: more is a fault of the score.
	mostNotes = 4096
)

// Play gives the notes of an ornament over a note of a length in quarter notes, at a tempo in which
// a quarter note lasts so long. It adds them to notes, in order, without gaps. A note that is too
// short for its ornament is played as it is written.
func (s Sign) Play(notes []Note, key uint8, length float64, quarter time.Duration) []Note {
	p := player{notes: notes, sign: s, key: key, length: length, quarter: quarter.Seconds()}
	if length > 0 && quarter > 0 && !math.IsInf(length, 0) && p.play() {
		return p.notes
	}
	return append(notes, Note{0, length, key})
}

type player struct {
	notes   []Note
	sign    Sign
	key     uint8
	length  float64 // quarter notes
	quarter float64 // seconds
	at      float64 // quarter notes that have been played
}

func (p *player) play() bool {
	switch p.sign.Kind {
	case Trill:
		return p.trill()
	case Mordent:
		return p.shake(-int(p.sign.Lower))
	case UpperMordent:
		return p.shake(int(p.sign.Upper))
	case Turn:
		return p.turn(0, int(p.sign.Upper), -int(p.sign.Lower))
	case LowerTurn:
		return p.turn(0, -int(p.sign.Lower), int(p.sign.Upper))
	case LateTurn:
		return p.turn(1, int(p.sign.Upper), -int(p.sign.Lower))
	case LateLowerTurn:
		return p.turn(1, -int(p.sign.Lower), int(p.sign.Upper))
	case Tremolo:
		return p.tremolo()
	}
	return false
}

// add plays a note some semitones from the main one.
func (p *player) add(semitones int, length float64) {
	key := int(p.key) + semitones
	if key < 0 || key > 127 {
		key = int(p.key)
	}
	p.notes = append(p.notes, Note{p.at, length, uint8(key)})
	p.at += length
}

// rest plays the main note to the end.
func (p *player) rest() { p.add(0, p.length-p.at) }

// unit is how long a note of a mordent or a turn is, in quarter notes: a thirty-second, within
// bounds of time, and at most a share of the note.
func (p *player) unit(share float64) float64 {
	seconds := min(max(p.quarter/8, quickest.Seconds()), slowest.Seconds())
	return min(seconds/p.quarter, p.length*share)
}

// tooShort reports whether notes of a length in quarter notes cannot be told apart.
func (p *player) tooShort(unit float64) bool {
	return unit*p.quarter < quickest.Seconds()/2
}

// trill alternates evenly, so that it ends with the main note. Its notes divide the beat.
func (p *player) trill() bool {
	per := nearest(trillRate * p.quarter)
	n := int(math.Round(p.length * per))
	if p.sign.FromMain == (n%2 == 0) { // main to main is odd, upper to main is even
		n--
	}
	if n > mostNotes {
		return false
	}
	if n < 3 {
		return p.shake(int(p.sign.Upper))
	}
	each := p.length / float64(n)
	for i := range n {
		switch {
		case p.sign.Turned && i == n-2:
			p.add(-int(p.sign.Lower), each)
		case (i%2 == 0) == p.sign.FromMain:
			p.add(0, each)
		default:
			p.add(int(p.sign.Upper), each)
		}
	}
	return true
}

// nearest is the division of a quarter note that comes nearest to a number of notes: by two,
// three, four, six and so on.
func nearest(notes float64) float64 {
	best := 1.
	for _, n := range []float64{2, 3, 4, 6, 8, 12, 16, 24, 32, 48} {
		if math.Abs(math.Log(notes/n)) < math.Abs(math.Log(notes/best)) {
			best = n
		}
	}
	return best
}

// shake leaves the main note for a neighbour and comes back.
func (p *player) shake(neighbour int) bool {
	times := 1
	if p.sign.Long {
		times = 2
	}
	unit := p.unit(1 / float64(2*times+2))
	if p.tooShort(unit) {
		return false
	}
	for range times {
		p.add(0, unit)
		p.add(neighbour, unit)
	}
	p.rest()
	return true
}

// turn plays around the main note, at once or late.
func (p *player) turn(late, first, third int) bool {
	unit := p.unit(.25)
	if late > 0 {
		unit = p.unit(.125)
	}
	if p.tooShort(unit) {
		return false
	}
	if late > 0 {
		p.add(0, p.length-4*unit)
	}
	p.add(first, unit)
	p.add(0, unit)
	p.add(third, unit)
	p.rest()
	return true
}

// strokes is how many notes a tremolo of the sign has in a length.
func (s Sign) strokes(length, quarter float64) int {
	per := math.Exp2(float64(min(s.Strokes, 8)))
	for per > strokeRate*quarter && per > 2 {
		per /= 2
	}
	return int(math.Round(length * per))
}

func (p *player) tremolo() bool {
	n := p.sign.strokes(p.length, p.quarter)
	if n < 2 || n > mostNotes {
		return false
	}
	for range n {
		p.add(0, p.length/float64(n))
	}
	return true
}

// PlayBetween gives the notes of a tremolo from one chord to another, over the length in quarter
// notes of both together. It adds them to notes, in order.
func (s Sign) PlayBetween(notes []Note, first, second []uint8, length float64, quarter time.Duration) []Note {
	if !(length > 0) || quarter <= 0 || math.IsInf(length, 0) {
		return notes
	}
	n := min(max(s.strokes(length, quarter.Seconds()), 2), mostNotes)
	n += n % 2 // it ends with the second
	each := length / float64(n)
	for i := range n {
		keys := first
		if i%2 == 1 {
			keys = second
		}
		for _, key := range keys {
			notes = append(notes, Note{float64(i) * each, each, key})
		}
	}
	return notes
}
