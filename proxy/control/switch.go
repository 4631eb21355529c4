package control

import (
	"swellbox/expr"
	"swellbox/proxy/live"
)

// SwitchRequest is the body of POST /switch.
type SwitchRequest struct {
	Side  string   `json:"side"`  // "raw" or "shaped"
	Parts []string `json:"parts"` // none: all
}

var switchCommand = steering(Command{
	Name:  "switch",
	Short: "choose what the running swellbox plays, for all parts or those named",
	Takes: Arguments{Usage: "raw|shaped [PART…]", Choice: []string{"raw", "shaped"}, Parts: true},
	Said:  func(s *live.Status) string { return "playing " + s.Side },
}, func(args []string) (*SwitchRequest, error) {
	_, err := ParseSide(args[0])
	return &SwitchRequest{Side: args[0], Parts: args[1:]}, err
}, func(d switcher, req *SwitchRequest) error {
	side, err := ParseSide(req.Side)
	if err != nil {
		return err
	}
	return d.Switch(side, req.Parts)
})

type switcher interface {
	Switch(side expr.Side, parts []string) error
}

var _ switcher = (*live.Daemon)(nil)

// Switch chooses what the named parts play, or all if none is named.
func (c *Client) Switch(side expr.Side, parts []string) (live.Status, error) {
	return c.Ask(&switchCommand, SwitchRequest{Side: side.String(), Parts: parts})
}

// ParseSide reads the name of a side that a part can play.
func ParseSide(name string) (expr.Side, error) {
	return named(name, "raw or shaped", expr.Raw, expr.Shaped)
}
