package control

import (
	"fmt"
	"net/http"
)

// commands are all there are, each in a file of its own: its request, what it has the daemon do,
// and the client's words for it. An error is {"error":"…"} with a status of 400 or more.
var commands = [...]command{statusCommand, switchCommand, placeCommand, lookaheadCommand, panicCommand}

func controlHandler(d Controlled) http.Handler {
	mux := http.NewServeMux()
	for _, c := range commands {
		mux.HandleFunc(c.route, func(w http.ResponseWriter, r *http.Request) { c.serve(d, w, r) })
	}
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusNotFound, fmt.Errorf("there is no %s %s", r.Method, r.URL.Path))
	})
	return mux
}
