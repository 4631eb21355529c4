package control

import (
	"fmt"
	"net/http"

	"swellbox/expr"
	"swellbox/proxy/live"
)

// PlaceRequest is the body of POST /place.
type PlaceRequest struct {
	Place string   `json:"place"` // "hall" or "studio"
	Parts []string `json:"parts"` // none: all
}

var placeCommand = steering("/place", func(d Controlled, req *PlaceRequest) error {
	place, err := ParsePlace(req.Place)
	if err != nil {
		return err
	}
	return d.SetPlace(place, req.Parts)
})

// SetPlace chooses how the named parts stand, or all if none is named.
func (c *Client) SetPlace(place expr.Place, parts []string) (live.Status, error) {
	return c.do(http.MethodPost, "/place", PlaceRequest{Place: place.String(), Parts: parts})
}

// ParsePlace reads the name of a place.
func ParsePlace(name string) (expr.Place, error) {
	for _, s := range [...]expr.Place{expr.Hall, expr.Studio} {
		if name == s.String() {
			return s, nil
		}
	}
	return 0, fmt.Errorf("expected hall or studio, found %q", name)
}
