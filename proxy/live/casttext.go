package live

import (
	"errors"
	"path/filepath"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/perform"
)

// castText is a cast as a recording has it: the documents that are not built in, and the seats.
type castText struct {
	Place         expr.Place         `json:"place"`
	ControllerMap string             `json:"controller_map,omitempty"`
	Seated        bool               `json:"seated"` // by Seats and Ensemble; else there is no seating
	Seats         []profiles.Seat    `json:"seats,omitempty"`
	Ensemble      *profiles.Ensemble `json:"ensemble,omitempty"`
	Documents     []document         `json:"documents,omitempty"` // of two with one name the weaker first
}

// document is the whole text of one document. Folders stay out of it: a recording is passed on, and
// they mean nothing to others.
type document struct {
	File string              `json:"file"`
	Kind profiles.OriginKind `json:"kind"`
	Text string              `json:"text"`
}

// textOf writes a cast down.
func textOf(c *perform.Cast) *castText {
	t := &castText{Place: c.Place, ControllerMap: c.ControllerMap}
	if c.Seating != nil {
		e := c.Seating.Ensemble
		t.Seated, t.Seats, t.Ensemble = true, c.Seating.Seats, &e
	}
	for _, name := range c.Library.Names() {
		layers := c.Library.Layers(name)
		for i := len(layers) - 1; i >= 0; i-- {
			t.add(&layers[i].Source)
		}
	}
	for _, name := range c.Library.ControllerMaps() {
		layers := c.Library.ControllerMapLayers(name)
		for i := len(layers) - 1; i >= 0; i-- {
			t.add(&layers[i].Source)
		}
	}
	return t
}

func (t *castText) add(s *profiles.Source) {
	if s.Origin.Kind != profiles.BuiltIn {
		t.Documents = append(t.Documents, document{filepath.Base(s.File), s.Origin.Kind, string(s.Bytes())})
	}
}

// cast is the cast that was written down.
func (t *castText) cast() (*perform.Cast, error) {
	if t == nil {
		return nil, errNoCast
	}
	lib, err := profiles.NewLibrary()
	if err != nil {
		return nil, err
	}
	for _, d := range t.Documents {
		f, err := profiles.ParseAny("recorded "+d.File, []byte(d.Text))
		if err != nil {
			return nil, err
		}
		switch {
		case f.Profile != nil:
			f.Profile.Origin.Kind = d.Kind
			err = lib.Add(f.Profile)
		case f.ControllerMap != nil:
			f.ControllerMap.Origin.Kind = d.Kind
			err = lib.AddControllerMap(f.ControllerMap)
		}
		if err != nil {
			return nil, err
		}
	}
	c := &perform.Cast{Library: lib, Place: t.Place, ControllerMap: t.ControllerMap}
	if t.Seated && t.Ensemble != nil {
		c.Seating = &profiles.Seating{Seats: t.Seats, Ensemble: *t.Ensemble}
	}
	return c, nil
}

var errNoCast = errors.New("the recording does not say who played")
