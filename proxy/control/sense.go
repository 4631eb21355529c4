package control

import (
	"fmt"
	"net/http"

	"swellbox/expr"
	"swellbox/proxy/live"
)

// SenseRequest is the body of POST /sense.
type SenseRequest struct {
	Sense string   `json:"sense"` // "hall" or "studio"
	Parts []string `json:"parts"` // none: all
}

var senseCommand = steering("/sense", func(d Controlled, req *SenseRequest) error {
	sense, err := ParseSense(req.Sense)
	if err != nil {
		return err
	}
	return d.SetSense(sense, req.Parts)
})

// SetSense chooses how the named parts stand, or all if none is named.
func (c *Client) SetSense(sense expr.Sense, parts []string) (live.Status, error) {
	return c.do(http.MethodPost, "/sense", SenseRequest{Sense: sense.String(), Parts: parts})
}

// ParseSense reads the name of a sense.
func ParseSense(name string) (expr.Sense, error) {
	for _, s := range [...]expr.Sense{expr.Hall, expr.Studio} {
		if name == s.String() {
			return s, nil
		}
	}
	return 0, fmt.Errorf("expected hall or studio, found %q", name)
}
