package lock

import (
	"bytes"
	"errors"
	"fmt"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles"
)

// seatingFile is a seating document, for writing.
type seatingFile struct {
	Version  int      `yaml:"swellbox"`
	Ensemble ensemble `yaml:"ensemble"`
	Seats    []seat   `yaml:"seats"`
}

// ensemble has the fields of [profiles.Ensemble]. All that has a number is written, as 0 means
// something too: row 0 is the conductor's place.
type ensemble struct {
	HeadroomDB    float64 `yaml:"headroom_db"`
	CeilingDB     float64 `yaml:"ceiling_db"`
	Room          string  `yaml:"room"`
	Row           int     `yaml:"row"`
	ControllerMap string  `yaml:"controller_map,omitempty"`
}

// seat has the fields of [profiles.Seat].
type seat struct {
	Part          string `yaml:"part,omitempty"`
	Port          int    `yaml:"port,omitempty"`
	Channel       int    `yaml:"channel,omitempty"`
	Track         string `yaml:"track,omitempty"`
	Program       int    `yaml:"program,omitempty"`
	Profile       string `yaml:"profile"`
	Articulation  string `yaml:"articulation,omitempty"`
	ControllerMap string `yaml:"controller_map,omitempty"`
	Players       int    `yaml:"players,omitempty"`
}

// seatingText writes a seating as a document.
func seatingText(s *profiles.Seating) ([]byte, error) {
	f := seatingFile{Version: 1}
	f.Ensemble = ensemble(s.Ensemble)
	for _, from := range s.Seats {
		f.Seats = append(f.Seats, seat(from))
	}
	var b bytes.Buffer
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	if err := errors.Join(e.Encode(&f), e.Close()); err != nil {
		return nil, fmt.Errorf("cannot write the seating: %w", err)
	}
	return b.Bytes(), nil
}
