package control

import (
	"net/http"

	"swellbox/proxy/live"
)

// POST /panic has no request, and answers with the Status.
var panicCommand = command{"POST /panic", func(d Controlled, w http.ResponseWriter, _ *http.Request) {
	d.Panic()
	answer(w, http.StatusOK, d.Status())
}}

// Panic silences every output.
func (c *Client) Panic() (live.Status, error) { return c.do(http.MethodPost, "/panic", nil) }
