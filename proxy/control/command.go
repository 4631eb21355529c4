package control

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"time"

	"swellbox/expr"
	"swellbox/proxy/live"
)

// requestTime bounds one request.
const requestTime = 5 * time.Second

// command is one command of the API.
type command struct {
	route string // the method and the path
	serve func(d Controlled, w http.ResponseWriter, r *http.Request)
}

// Controlled is what a control server steers.
type Controlled interface {
	Status() live.Status
	Switch(side expr.Side, parts []string) error
	SetPlace(place expr.Place, parts []string) error
	SetLookahead(l time.Duration) error
	Panic()
}

// steering is a command with a request: it reads it, does what it asks, and answers with the
// status.
func steering[R any](path string, do func(d Controlled, req *R) error) command {
	return command{"POST " + path, func(d Controlled, w http.ResponseWriter, r *http.Request) {
		var req R
		if err := decodeRequest(http.MaxBytesReader(w, r.Body, maxRequest), &req); err != nil {
			refuse(w, http.StatusBadRequest, fmt.Errorf("the request cannot be read: %w", err))
			return
		}
		if err := do(d, &req); err != nil {
			refuse(w, http.StatusBadRequest, err)
			return
		}
		answer(w, http.StatusOK, d.Status())
	}}
}

// maxRequest bounds the body of a request, in bytes.
const maxRequest = 1 << 16

// decodeRequest reads one JSON value of known fields with nothing behind it.
func decodeRequest(r io.Reader, to any) error {
	dec := json.NewDecoder(r)
	dec.DisallowUnknownFields()
	if err := dec.Decode(to); err != nil {
		return err
	}
	if _, err := dec.Token(); err != io.EOF {
		return cmp.Or(err, errors.New("something follows its end"))
	}
	return nil
}

func answer(w http.ResponseWriter, code int, v any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	json.NewEncoder(w).Encode(v) // an error here is a caller that has hung up
}

func refuse(w http.ResponseWriter, code int, err error) {
	answer(w, code, map[string]string{"error": err.Error()})
}
