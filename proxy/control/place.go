package control

import (
	"swellbox/expr"
	"swellbox/proxy/live"
)

// PlaceRequest is the body of POST /place.
type PlaceRequest struct {
	Place string   `json:"place"` // "hall" or "studio"
	Parts []string `json:"parts"` // none: all
}

var placeCommand = steering(Command{
	Name:    "place",
	Aliases: []string{"sense"},
	Short:   "choose whether the parts of the running swellbox stand in a hall or a studio",
	Long:    `place has the parts of the running swellbox, all or those named, stand as on a stage in a hall, where the brass rule a tutti and a low flute vanishes behind trombones, or as in a studio, where they are recorded apart and each is as loud as its own mark. What sounds moves there gradually. Turn the monitors down first.`,
	Takes:   Arguments{Usage: "hall|studio [PART…]", Choice: []string{"hall", "studio"}, Parts: true},
	Said:    func(s *live.Status) string { return "standing " + InPlace(s.Place) },
}, func(args []string) (*PlaceRequest, error) {
	_, err := ParsePlace(args[0])
	return &PlaceRequest{Place: args[0], Parts: args[1:]}, err
}, func(d placer, req *PlaceRequest) error {
	place, err := ParsePlace(req.Place)
	if err != nil {
		return err
	}
	return d.SetPlace(place, req.Parts)
})

type placer interface {
	SetPlace(place expr.Place, parts []string) error
}

var _ placer = (*live.Daemon)(nil)

// SetPlace chooses how the named parts stand, or all if none is named.
func (c *Client) SetPlace(place expr.Place, parts []string) (live.Status, error) {
	return c.Ask(&placeCommand, PlaceRequest{Place: place.String(), Parts: parts})
}

// ParsePlace reads the name of a place.
func ParsePlace(name string) (expr.Place, error) {
	return named(name, "hall or studio", expr.Hall, expr.Studio)
}

// InPlace says where parts stand, of the place that a status tells.
func InPlace(place string) string {
	switch place {
	case expr.Hall.String():
		return "as in a hall"
	case expr.Studio.String():
		return "as in a studio"
	}
	return "some as in a hall, some as in a studio"
}
