package control

import (
	"net/http"

	"swellbox/proxy/live"
)

// GET /status answers with the Status.
var statusCommand = command{"GET /status", func(d Controlled, w http.ResponseWriter, _ *http.Request) {
	answer(w, http.StatusOK, d.Status())
}}

// Status asks for the status.
func (c *Client) Status() (live.Status, error) { return c.do(http.MethodGet, "/status", nil) }
