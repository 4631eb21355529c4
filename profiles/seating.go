package profiles

import (
	"errors"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
)

// Hint is what is known of a part before or while it plays. All numbers count
// from 1, as they are printed.
type Hint struct {
	Port       int    // 0 if not known
	Channel    int    // 1..16; 0 if not known
	Track      string // name of the track in a file or of the part in a score
	Instrument string // name of the instrument, as a file's meta event gives it
	Program    int    // 1..128, General MIDI's numbers from 1; meant only if HasProgram
	HasProgram bool
}

// Seating says which part plays with which profile, and what the ensemble shares.
type Seating struct {
	Seats    []Seat
	Ensemble Ensemble
	file     string
	places   []*yaml.Node // of the seats, for errors
}

// Ensemble is what all seats share.
type Ensemble struct {
	HeadroomDB float64 // 0..24: how far under the raw performance the shaped one puts mf, so that it can grow
	CeilingDB  float64 // 0..6: how much louder than what came in a note may ever become
}

// DefaultEnsemble holds where a seating says nothing.
var DefaultEnsemble = Ensemble{HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB}

// Seat is one part. What it gives of Port, Channel, Track and Program is its
// address: the seat is meant where all of them agree.
type Seat struct {
	Part    string // name of the part, for people
	Port    int    // from 1; 0 for any
	Channel int    // 1..16; 0 for any
	Track   string // name of the track, upper or lower case alike; empty for any
	Program int    // 1..128; 0 for any
	Profile string
	Players int // 0 for as many as the profile has
}

// seatsLimit is how many seats a seating holds, portsLimit the highest port.
const (
	seatsLimit = 1024
	portsLimit = 256
)

var seatingKeys = []key[Seating]{
	versionKey[Seating](),
	section("ensemble",
		number("headroom_db", 0, 24, "dB", func(s *Seating) *float64 { return &s.Ensemble.HeadroomDB }),
		number("ceiling_db", 0, 6, "dB", func(s *Seating) *float64 { return &s.Ensemble.CeilingDB }),
	),
	{"seats", readSeats},
}

var seatKeys = []key[Seat]{
	text("part", func(s *Seat) *string { return &s.Part }),
	whole("port", 1, portsLimit, func(s *Seat) *int { return &s.Port }),
	whole("channel", 1, 16, func(s *Seat) *int { return &s.Channel }),
	text("track", func(s *Seat) *string { return &s.Track }),
	whole("program", 1, 128, func(s *Seat) *int { return &s.Program }),
	profileName("profile", func(s *Seat) *string { return &s.Profile }),
	whole("players", 1, playersLimit, func(s *Seat) *int { return &s.Players }),
}

// ParseSeating reads a seating document. file is what its errors call it. An
// error is of type [Problems] and holds all that is wrong.
func ParseSeating(file string, b []byte) (*Seating, error) {
	r := &reader{file: file}
	root := r.tree(b)
	if root == nil || !r.ofVersion(root) {
		return nil, r.err()
	}
	s := &Seating{Ensemble: DefaultEnsemble, file: file}
	mapping(r, root, "", seatingKeys, s)
	if child(root, "seats") == nil {
		r.fault(root, "seats", "the key is missing: a seating is a list of seats")
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	return s, nil
}

// ReadSeating reads a seating document from a file.
func ReadSeating(name string) (*Seating, error) {
	b, err := readFile(name)
	if err != nil {
		return nil, err
	}
	return ParseSeating(name, b)
}

func readSeats(r *reader, n *yaml.Node, path string, to *Seating) {
	if n.Kind != yaml.SequenceNode || len(n.Content) == 0 || len(n.Content) > seatsLimit {
		r.fault(n, path, "found %s, wanted a list of 1 to %d seats", counted(n), seatsLimit)
		return
	}
	type address struct {
		port, channel, program int
		track                  string
	}
	taken := map[address]int{}
	for i, entry := range n.Content {
		path := fmt.Sprintf("%s[%d]", path, i+1)
		var s Seat
		before := len(r.problems)
		mapping(r, entry, path, seatKeys, &s)
		if len(r.problems) > before {
			continue
		}
		a := address{s.Port, s.Channel, s.Program, trackKey(s.Track)}
		switch first, twice := taken[a]; {
		case s.Profile == "":
			r.fault(entry, path, "the key profile is missing")
		case a == address{}:
			r.fault(entry, path, "the seat has no address: give it a channel, a port, a track or a program")
		case twice:
			r.fault(entry, path, "seats[%d] has the same address, so this one would never play", first)
		default:
			taken[a] = i + 1
			to.Seats = append(to.Seats, s)
			to.places = append(to.places, entry)
		}
	}
}

// trackKey is a track's name as names are compared.
func trackKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// For is the first seat of the list whose address agrees with h.
func (s *Seating) For(h Hint) (Seat, bool) {
	program := 0
	if h.HasProgram {
		program = h.Program
	}
	for _, seat := range s.Seats {
		if (seat.Port == 0 || seat.Port == h.Port) &&
			(seat.Channel == 0 || seat.Channel == h.Channel) &&
			(seat.Program == 0 || seat.Program == program) &&
			(seat.Track == "" || trackKey(seat.Track) == trackKey(h.Track)) {
			return seat, true
		}
	}
	return Seat{}, false
}

// Check resolves the profile of every seat. A seat whose profile is not in the
// library is a [Problem] of the seating; what is wrong with a profile itself
// is reported once, with its own place.
func (s *Seating) Check(l *Library) error {
	r := &reader{file: s.file}
	var errs []error
	checked := map[string]bool{}
	for i, seat := range s.Seats {
		if _, ok := l.Lookup(seat.Profile); !ok {
			r.fault(child(s.places[i], "profile"), fmt.Sprintf("seats[%d].profile", i+1), "%v", l.unknown(seat.Profile))
			continue
		}
		if !checked[seat.Profile] {
			checked[seat.Profile] = true
			_, err := l.Resolve(seat.Profile)
			errs = append(errs, err)
		}
	}
	return errors.Join(append([]error{r.err()}, errs...)...)
}
