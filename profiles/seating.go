package profiles

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/expr/habits"
	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

// Seating says which part plays with which profile, and what the ensemble shares.
type Seating struct {
	Piece    string // name of the piece's file, without its folder; empty for any
	Seats    []Seat
	Ensemble Ensemble
	Renamed  Problems // its keys that have other names now, each with the new one
	file     string
	root     *yaml.Node
	places   []*yaml.Node // of the seats, for errors
}

// rowsLimit is the highest row: some 50 m from the stage.
const rowsLimit = 50

// Ensemble is what all seats share.
type Ensemble struct {
	HeadroomDB    float64 // 0..24: how far under the raw performance the shaped one puts mf, so that it can grow
	CeilingDB     float64 // 0..6: how much louder than what came in a note may ever become
	Room          string  // the hall's size: "chamber", "mid" or "large"
	Row           int     // 0..50: where the listener sits; 0 is the conductor's place
	ControllerMap string  // controller map of all seats that name none, and of parts without a seat; empty for none
}

// DefaultEnsemble holds where a seating says nothing.
var DefaultEnsemble = Ensemble{
	HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB, Room: "large", Row: 10,
}

// Place is where the ensemble sounds in a hall.
func (e Ensemble) Place() acoustics.Place {
	room, ok := acoustics.LookupRoom(e.Room)
	if !ok {
		return habits.UsualPlace()
	}
	if e.Row == 0 {
		return acoustics.Hall(room, acoustics.Podium())
	}
	return acoustics.Hall(room, acoustics.Row(e.Row))
}

// Seat is one part. What it gives of Port, Channel, Track and Program is its
// address: the seat is meant where all of them agree.
type Seat struct {
	Part    string // name of the part, for people
	Port    int    // from 1; 0 for any
	Channel int    // 1..16; 0 for any
	Track   string // name of the track, upper or lower case alike; empty for any
	Program int    // 1..128; 0 for any
	Profile string
	// Articulation is the one way of playing that the seat keeps to, whatever
	// keyswitch or program comes; empty for all that the profile has.
	Articulation  string
	ControllerMap string // empty for the ensemble's
	Players       int    // 0 for as many as the profile has
}

// seatsLimit is how many seats a seating holds, portsLimit the highest port.
const (
	seatsLimit = 1024
	portsLimit = 256
)

var seatingKeys = []reading.Key[Seating]{
	versionKey[Seating](),
	reading.Text("piece", "name of the piece's file, without its folder; any if not given", func(s *Seating) *string { return &s.Piece }),
	reading.Section("ensemble", "what all seats share",
		reading.Number("headroom_db", "how far under the raw performance the shaped one puts mf", 0, 24, "dB", func(s *Seating) *float64 { return &s.Ensemble.HeadroomDB }),
		reading.Number("ceiling_db", "how much louder than what came in a note may become", 0, 6, "dB", func(s *Seating) *float64 { return &s.Ensemble.CeilingDB }),
		reading.Word("room", "size of the hall in which the parts stand", words("chamber", "mid", "large"), func(s *Seating) *string { return &s.Ensemble.Room }),
		reading.Whole("row", "row in which the listener sits; 0 is the conductor's place", 0, rowsLimit, func(s *Seating) *int { return &s.Ensemble.Row }),
		reading.PlainName("controller_map", "the controller map of all seats that name none", func(s *Seating) *string { return &s.Ensemble.ControllerMap }),
	),
	{Name: "seats", About: "the parts, the first whose address agrees plays", Form: reading.ListForm(seatForm, 1, seatsLimit), Read: readSeats},
}

var seatKeys = []reading.Key[Seat]{
	reading.Text("part", "name of the part, for people", func(s *Seat) *string { return &s.Part }),
	reading.Whole("port", "port, from 1; any if not given", 1, portsLimit, func(s *Seat) *int { return &s.Port }),
	reading.Whole("channel", "channel; any if not given", 1, 16, func(s *Seat) *int { return &s.Channel }),
	reading.Text("track", "name of the track, upper or lower case alike; any if not given", func(s *Seat) *string { return &s.Track }),
	reading.Whole("program", "program, from 1; any if not given", 1, 128, func(s *Seat) *int { return &s.Program }),
	reading.PlainName("profile", "the profile that plays", func(s *Seat) *string { return &s.Profile }),
	reading.PlainName("articulation", "the one way of playing that this seat keeps to", func(s *Seat) *string { return &s.Articulation }),
	reading.PlainName("controller_map", "the controller map of this seat, in place of the ensemble's", func(s *Seat) *string { return &s.ControllerMap }),
	reading.Whole("players", "how many play; as many as the profile has if not given", 1, playersLimit, func(s *Seat) *int { return &s.Players }),
}

// seatForm asks for an address too.
var seatForm = func() reading.Form {
	f := reading.Object(seatKeys, "profile")
	var addresses []reading.Form
	for _, address := range []string{"port", "channel", "track", "program"} {
		addresses = append(addresses, reading.Form{"required": []string{address}})
	}
	f["anyOf"] = addresses
	return f
}()

// ParseSeating reads a seating document. file is what its errors call it. An
// error is of type [Problems] and holds all that is wrong.
func ParseSeating(file string, b []byte) (*Seating, error) {
	r := &reading.Reader{File: file}
	root, told := document(r, b)
	if root == nil {
		return nil, r.Err()
	}
	return readSeating(r, root, told)
}

// readSeating reads a seating from its tree.
func readSeating(r *reading.Reader, root *yaml.Node, told Problems) (*Seating, error) {
	s := &Seating{Ensemble: DefaultEnsemble, Renamed: told, file: r.File, root: root}
	reading.Mapping(r, root, "", seatingKeys, s)
	if reading.Child(root, "seats") == nil {
		r.Fault(root, "seats", "the key is missing: a seating is a list of seats")
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	return s, nil
}

// ReadSeating reads a seating document from a file.
func ReadSeating(name string) (*Seating, error) {
	b, err := reading.ReadFile(name)
	if err != nil {
		return nil, err
	}
	return ParseSeating(name, b)
}

func readSeats(r *reading.Reader, n *yaml.Node, path string, to *Seating) {
	if n.Kind != yaml.SequenceNode || len(n.Content) == 0 || len(n.Content) > seatsLimit {
		r.Fault(n, path, "found %s, wanted a list of 1 to %d seats", reading.Counted(n), seatsLimit)
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
		before := len(r.Problems)
		reading.Mapping(r, entry, path, seatKeys, &s)
		if len(r.Problems) > before {
			continue
		}
		a := address{s.Port, s.Channel, s.Program, trackKey(s.Track)}
		switch first, twice := taken[a]; {
		case s.Profile == "":
			r.Fault(entry, path, "the key profile is missing")
		case a == address{}:
			r.Fault(entry, path, "the seat has no address: give it a channel, a port, a track or a program")
		case twice:
			r.Fault(entry, path, "seats[%d] has the same address, so this one would never play", first)
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
func (s *Seating) For(h names.Hint) (Seat, bool) {
	if i := s.find(h); i >= 0 {
		return s.Seats[i], true
	}
	return Seat{}, false
}

// find is the index of the first seat whose address agrees with h, or -1.
func (s *Seating) find(h names.Hint) int {
	return slices.IndexFunc(s.Seats, func(seat Seat) bool { return seat.agrees(h) })
}

// agrees reports whether all that the seat gives of an address is that of h.
func (s *Seat) agrees(h names.Hint) bool {
	return (s.Port == 0 || s.Port == h.Port) &&
		(s.Channel == 0 || s.Channel == h.Channel) &&
		(s.Program == 0 || h.HasProgram && s.Program == h.Program) &&
		(s.Track == "" || trackKey(s.Track) == trackKey(h.Track))
}

// Check resolves the profile of every seat. A profile, controller map or articulation
// that a seat names in vain is a [Problem] of the seating; what is wrong with a
// document itself is reported once, with its own place.
func (s *Seating) Check(l *Library) error {
	r := &reading.Reader{File: s.file}
	if err := l.HasControllerMap(s.Ensemble.ControllerMap); err != nil {
		r.Fault(reading.At(s.root, "ensemble.controller_map"), "ensemble.controller_map", "%v", err)
	}
	var errs []error
	type pair struct{ profile, controllerMap string }
	checked := map[pair]*expr.Profile{}
	for i, seat := range s.Seats {
		fault := func(key string, err error) {
			r.Fault(reading.Child(s.places[i], key), fmt.Sprintf("seats[%d].%s", i+1, key), "%v", err)
		}
		if _, ok := l.Lookup(seat.Profile); !ok {
			fault("profile", l.unknown(seat.Profile))
			continue
		}
		if err := l.HasControllerMap(seat.ControllerMap); err != nil {
			fault("controller_map", err)
			continue
		}
		use := pair{seat.Profile, cmp.Or(seat.ControllerMap, s.Ensemble.ControllerMap)}
		if l.HasControllerMap(use.controllerMap) != nil {
			continue // the ensemble's, noted above
		}
		p, known := checked[use]
		if !known {
			var err error
			p, err = l.ResolveFor(use.profile, use.controllerMap)
			checked[use] = p
			errs = append(errs, err)
		}
		if p == nil || seat.Articulation == "" {
			continue
		}
		if _, err := Keep(p, seat.Articulation); err != nil {
			fault("articulation", err)
		}
	}
	return errors.Join(append([]error{r.Err()}, errs...)...)
}
