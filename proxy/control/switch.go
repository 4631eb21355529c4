package control

import (
	"fmt"
	"net/http"

	"swellbox/expr"
	"swellbox/proxy/live"
)

// SwitchRequest is the body of POST /switch.
type SwitchRequest struct {
	Side  string   `json:"side"`  // "raw" or "shaped"
	Parts []string `json:"parts"` // none: all
}

var switchCommand = steering("/switch", func(d Controlled, req *SwitchRequest) error {
	side, err := ParseSide(req.Side)
	if err != nil {
		return err
	}
	return d.Switch(side, req.Parts)
})

// Switch chooses what the named parts play, or all if none is named.
func (c *Client) Switch(side expr.Side, parts []string) (live.Status, error) {
	return c.do(http.MethodPost, "/switch", SwitchRequest{Side: side.String(), Parts: parts})
}

// ParseSide reads the name of a side that a part can play.
func ParseSide(name string) (expr.Side, error) {
	for _, s := range [...]expr.Side{expr.Raw, expr.Shaped} {
		if name == s.String() {
			return s, nil
		}
	}
	return 0, fmt.Errorf("expected raw or shaped, found %q", name)
}
