package proxy

import (
	"net/http"
)

// POST /panic has no request, and answers with the Status.
var panicCommand = command{"POST /panic", func(d Controlled, w http.ResponseWriter, _ *http.Request) {
	d.Panic()
	answer(w, http.StatusOK, d.Status())
}}

// Panic silences every output.
func (c *Client) Panic() (Status, error) { return c.do(http.MethodPost, "/panic", nil) }
