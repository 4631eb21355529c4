package console

import (
	"encoding/json"
	"net/http"
	"time"
)

// requestTime bounds one request, and one piece of the stream.
const requestTime = 10 * time.Second

func answer(w http.ResponseWriter, code int, v any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	json.NewEncoder(w).Encode(v) // an error here is a page that has gone
}

func refuse(w http.ResponseWriter, code int, err error) {
	answer(w, code, map[string]string{"error": err.Error()})
}
