package control

import (
	"net/http"
	"time"

	"swellbox/proxy/live"
)

// LookaheadRequest is the body of POST /lookahead.
type LookaheadRequest struct {
	MS int `json:"ms"` // 0..3000
}

var lookaheadCommand = steering("/lookahead", func(d Controlled, req *LookaheadRequest) error {
	const beyond = 1 << 20 // any range, and far from where a Duration overflows
	return d.SetLookahead(time.Duration(min(max(req.MS, -beyond), beyond)) * time.Millisecond)
})

// SetLookahead chooses by how much later all sounds than it comes in, in whole milliseconds.
func (c *Client) SetLookahead(l time.Duration) (live.Status, error) {
	return c.do(http.MethodPost, "/lookahead", LookaheadRequest{MS: int(l.Milliseconds())})
}
