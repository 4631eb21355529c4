package acoustics

import "math"

// Position is a place in the hall in m, as the audience sees it: X to the right
// of the conductor, Y away from the audience. The conductor stands at 0, 0; the
// audience has negative Y.
type Position struct{ X, Y float64 }

// nearest is as close as a listener comes to a source, m; it keeps the direct
// sound finite. Ours.
const nearest = 1

// Distance is the distance between two places in m, never under 1.
func (p Position) Distance(q Position) float64 {
	return max(math.Hypot(p.X-q.X, p.Y-q.Y), nearest)
}

// Podium is where the conductor stands.
func Podium() Position { return Position{} }

// Row is a seat in the middle of a row, counted from 1 at the stage.
func Row(n int) Position {
	return Position{Y: -(firstRow + rowPitch*float64(max(n, 1)-1))}
}

// Seating is where the instruments sit on the stage.
type Seating struct {
	Name   string
	Means  string // in a sentence
	Source string
	seats  map[string]Position // by instrument, then by family
}

// Seat is where an instrument sits; one that the seating does not name sits with
// its family, and without one in the middle of the stage.
func (s *Seating) Seat(in *Instrument) Position {
	if p, ok := s.seats[in.Name]; ok {
		return p
	}
	if p, ok := s.seats[in.Family]; ok {
		return p
	}
	return s.seats["middle"]
}

// Seatings are the known seatings, the default first, a copy.
func Seatings() []Seating { return append([]Seating(nil), seatings...) }

// LookupSeating is the seating of a name: "violins-together" or "violins-facing".
func LookupSeating(name string) (*Seating, bool) {
	for i := range seatings {
		if seatings[i].Name == name {
			return &seatings[i], true
		}
	}
	return nil, false
}
