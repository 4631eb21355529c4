package control

import (
	"fmt"
	"strconv"
	"time"

	"swellbox/proxy/live"
)

// LookaheadRequest is the body of POST /lookahead.
type LookaheadRequest struct {
	MS int `json:"ms"` // 0..3000
}

var lookaheadCommand = steering(Command{
	Name:  "lookahead",
	Short: "choose by how much later the running swellbox plays, to know what follows",
	Long: `lookahead has all that comes in sound later by so many milliseconds, 0 to 3000, raw
and shaped alike, so that the players know what follows: how long a note is, where a
phrase ends. What sounds glides there without a gap. Notes that are tried or typed one
by one while nothing plays sound at once all the same.`,
	Takes: Arguments{Usage: "MS", One: "one number of milliseconds"},
	Said:  func(s *live.Status) string { return fmt.Sprintf("lookahead %g ms", s.Foreknowledge.LookaheadMS) },
}, func(args []string) (*LookaheadRequest, error) {
	most := int(live.MaxLookahead.Milliseconds())
	n, err := strconv.Atoi(args[0])
	if err != nil || n < 0 || n > most {
		return nil, fmt.Errorf("expected 0 to %d milliseconds, found %q", most, args[0])
	}
	return &LookaheadRequest{MS: n}, nil
}, func(d delayer, req *LookaheadRequest) error {
	const beyond = 1 << 20 // any range, and far from where a Duration overflows
	return d.SetLookahead(time.Duration(min(max(req.MS, -beyond), beyond)) * time.Millisecond)
})

type delayer interface {
	SetLookahead(l time.Duration) error
}

var _ delayer = (*live.Daemon)(nil)

// SetLookahead chooses by how much later all sounds than it comes in, in whole milliseconds.
func (c *Client) SetLookahead(l time.Duration) (live.Status, error) {
	return c.Ask(&lookaheadCommand, LookaheadRequest{MS: int(l.Milliseconds())})
}
