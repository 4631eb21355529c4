package hearing

import (
	"time"

	"swellbox/expr"
)

// starting says what starts with a tone.
type starting uint8

const (
	startsSub starting = 1 << iota
	StartsPhrase
)

// Tone is one note of a line.
type Tone struct {
	On, Off    time.Duration // off is Unknown while it lasts
	prev, Next int64         // numbers of the tones before and after it in the line; 0: none known
	Shift      time.Duration // by which the player comes later than it came in
	Warp       time.Duration // as much of it as the whole ensemble has
	Played     time.Duration // when the player plays it, where that is its own time
	phrase     time.Duration // onset of the first tone of its phrase; Unknown before any boundary
	sub        time.Duration // and of its part of a phrase
	breath     time.Duration // onset of the first tone since the last rest
	strength   float32       // of the boundary before it, 0..1
	mean       float32       // MIDI note: running mean of the line
	accent     float32       // running mean of the line's melodic accents
	metre      float32       // running mean of the line's levels of metre over 1
	Starts     starting      // what starts with it
	separated  int64         // its number to the separator; 0
	struck     int64         // its number in the line's scene, from 1; 0
	moment     int64         // of the ensemble, by number; 0 for what has no pitch
	Salience   float32       // of its part among all, when it came in
	Tune       float32       // of the part that was the most salient then
	beat       float64       // quarter notes since the piece's start; Unknown
	beatSure   float32
	beatLevel  int8
	Role       expr.Role
	Voices     uint8 // that sound with it
	voice      uint8 // of the line, from 0
	even       bool  // the rest before it is one of many alike
	sung       bool  // the ensemble has heard it as its part's melody
	Key        uint8
	velocity   uint8
	Several    bool // it sounds together with others on purpose, as far as is known
	slurred    bool // joined to the note before it, which has another pitch
}

// maxTones is how many notes of a line are remembered, at most and at least.
const (
	maxTones  = 512
	keptTones = 256
)

// tones are the notes of a line, in the order in which they came in.
type tones struct {
	all   []Tone
	first int64 // number of all[0]; tones are numbered from 1
	whole bool  // forget nothing: they are those of a score
}

// readWhole has all of so many notes be remembered: they are those of a score.
func (s *tones) readWhole(n int) {
	s.whole, s.all = true, make([]Tone, 0, n)
}

// Tone is a note by its number, or nil if it is forgotten or never was.
func (s *tones) Tone(number int64) *Tone {
	if i := number - s.first; number > 0 && i >= 0 && i < int64(len(s.all)) {
		return &s.all[i]
	}
	return nil
}

// add puts the newest note in and returns its number.
func (s *tones) add(t Tone) int64 {
	s.all = append(s.all, t)
	return s.first + int64(len(s.all)) - 1
}

// forget makes room for another note.
func (s *tones) forget() {
	if len(s.all) == maxTones && !s.whole {
		n := copy(s.all, s.all[maxTones-keptTones:])
		s.first += maxTones - keptTones
		s.all = s.all[:n]
	}
}

// StruckAlone reports whether no other tone is known to begin with one.
func (s *tones) StruckAlone(number int64) bool {
	t := s.Tone(number)
	for _, n := range [...]int64{number - 1, number + 1} {
		if other := s.Tone(n); t != nil && other != nil && other.On-t.On <= expr.ChordTime && t.On-other.On <= expr.ChordTime {
			return false
		}
	}
	return true
}
