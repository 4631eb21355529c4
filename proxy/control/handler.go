package control

import (
	"encoding/json"
	"fmt"
	"net/http"
)

// maxRequest bounds the body of a request, in bytes.
const maxRequest = 1 << 16

// Handler answers the API of a daemon: by a [Server] on its socket, or by any other server that
// lets in only whom it trusts. An error is {"error":"…"} with a status of 400 or more.
func Handler(d Controlled) http.Handler {
	mux := http.NewServeMux()
	for _, c := range commands {
		mux.HandleFunc(c.method+" /"+c.Name, func(w http.ResponseWriter, r *http.Request) {
			s, err := c.Do(d, http.MaxBytesReader(w, r.Body, maxRequest))
			if err != nil {
				refuse(w, http.StatusBadRequest, err)
				return
			}
			answer(w, http.StatusOK, s)
		})
	}
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusNotFound, fmt.Errorf("there is no %s %s", r.Method, r.URL.Path))
	})
	return mux
}

func answer(w http.ResponseWriter, code int, v any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	json.NewEncoder(w).Encode(v) // an error here is a caller that has hung up
}

func refuse(w http.ResponseWriter, code int, err error) {
	answer(w, code, map[string]string{"error": err.Error()})
}
