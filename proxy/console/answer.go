package console

import (
	"cmp"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"time"
)

// requestTime bounds one request, and one piece of the stream.
const requestTime = 10 * time.Second

// decode reads one JSON value of known fields with nothing behind it.
func decode(r io.Reader, to any) error {
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
	json.NewEncoder(w).Encode(v) // an error here is a page that has gone
}

func refuse(w http.ResponseWriter, code int, err error) {
	answer(w, code, map[string]string{"error": err.Error()})
}
