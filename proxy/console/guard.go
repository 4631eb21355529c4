package console

import (
	"crypto/rand"
	"crypto/subtle"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
)

// guard lets in who speaks to this machine by its own name, from this page, and knows the token
// or the pass.
type guard struct {
	port        string
	token, pass string
}

// around refuses, before anything else is done, a request that another site had a browser make:
// by another name of this machine (a name of its own that it lets point here), or with
// another origin. What answers carries what browsers are told to keep apart.
func (g *guard) around(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if !g.named(r.Host) {
			refuse(w, http.StatusMisdirectedRequest, fmt.Errorf("this page is at %s:%s; open it by that name", loopback, g.port))
			return
		}
		if origin := r.Header.Get("Origin"); origin != "" && origin != "http://"+r.Host {
			refuse(w, http.StatusForbidden, errors.New("another site asks; only this page may"))
			return
		}
		if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
			refuse(w, http.StatusForbidden, errors.New("another site asks; only this page may"))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// policy is what the page may do: its own scripts, styles and requests, and nothing inline.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// named reports whether a request calls this machine by its own name.
func (g *guard) named(host string) bool {
	return host == loopback+":"+g.port || host == "localhost:"+g.port
}

// known serves who knows the token or the pass.
func (g *guard) known(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		said, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
		if !ok || !same(said, g.token) && !same(said, g.pass) {
			w.Header().Set("WWW-Authenticate", "Bearer")
			refuse(w, http.StatusUnauthorized, errors.New("the page does not know the token of this start; open the address that swellbox printed"))
			return
		}
		next(w, r)
	}
}

// same compares in a time that tells nothing.
func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// passLimit is the longest pass that is read, in bytes.
const passLimit = 200

// readPass is the pass in a file, which is made if need be.
func readPass(file string) (string, error) {
	pass := rand.Text()
	if file == "" {
		return pass, nil
	}
	b, err := os.ReadFile(file)
	if err == nil && len(b) >= len(pass) && len(b) < passLimit {
		return string(b), nil
	}
	if err == nil || errors.Is(err, fs.ErrNotExist) {
		err = os.MkdirAll(filepath.Dir(file), 0o700)
	}
	if err == nil {
		err = os.WriteFile(file, []byte(pass), 0o600)
	}
	if err != nil {
		return "", fmt.Errorf("what lets an open page in again after a restart cannot be kept: %w", err)
	}
	return pass, nil
}
