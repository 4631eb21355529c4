package timing

import (
	"math"
	"math/rand/v2"
	"time"
)

// fingers is of how many notes of a chord it is known beforehand how they stray.
const fingers = 10

// strays are how the notes of a player's chords stray.
type strays struct {
	random *rand.Rand // no part of the player's other deviations
	of     [fingers]float64
	notes  int
}

func newStrays(s Stream) strays {
	return strays{random: rand.New(rand.NewPCG(^s.Seed, uint64(s.Port)<<8|uint64(s.Channel)))}
}

// next is how far a note, by its place from 0 among so many, strays, in standard deviations. The
// notes of a chord leave its mean where it is.
func (s *strays) next(place, notes int) float64 {
	if place == 0 {
		s.draw(min(notes, fingers))
	}
	if place >= s.notes {
		return s.random.NormFloat64()
	}
	return s.of[place]
}

func (s *strays) draw(notes int) {
	s.notes = notes
	mean := 0.0
	for i := range notes {
		s.of[i] = s.random.NormFloat64()
		mean += s.of[i] / float64(notes)
	}
	for i := range notes {
		s.of[i] -= mean
	}
}

// Stray is by how much a note of a player's chord, by its place from 0 among so many, is late
// by itself: two notes differ by √2 of the standard deviation. It is within ±[MaxShift]. The notes of a chord
// are asked for in their order.
func (e *Ensemble) Stray(number int, sd time.Duration, place, notes int) time.Duration {
	shift := time.Duration(math.Round(e.players[number].strays.next(place, notes) * float64(sd)))
	return min(max(shift, -MaxShift), MaxShift)
}
