package share

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"swellbox/profiles/pack"
)

// Limits of a handler.
const (
	requestsAtOnce = 8               // more are told to come back: a daemon has music to play
	catalogueAge   = 5 * time.Second // for so long what is given away is not looked up again
)

// handler gives away the packages installed in home.
type handler struct {
	home string
	now  func() time.Time
	busy chan struct{} // one slot for each request at work

	mu     sync.Mutex
	offers []pack.Offer
	read   time.Time
}

// Handler gives away the packages that are installed in home and signed with a
// key trusted there; see the package's doc for its paths. It reads only.
func Handler(home string) http.Handler { return newHandler(home, time.Now) }

func newHandler(home string, now func() time.Time) http.Handler {
	h := &handler{home: home, now: now, busy: make(chan struct{}, requestsAtOnce)}
	mux := http.NewServeMux()
	mux.HandleFunc("GET "+indexPath, h.index)
	mux.HandleFunc("GET "+packagesPath+"{file}", h.file)
	return h.limited(mux)
}

// limited answers a few requests at once.
func (h *handler) limited(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		select {
		case h.busy <- struct{}{}:
			defer func() { <-h.busy }()
			w.Header().Set("X-Content-Type-Options", "nosniff")
			next.ServeHTTP(w, r)
		default:
			w.Header().Set("Retry-After", "1")
			http.Error(w, "too many requests at once, come back in a second", http.StatusServiceUnavailable)
		}
	})
}

// catalogue is what is given away.
func (h *handler) catalogue() ([]pack.Offer, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if now := h.now(); h.read.IsZero() || now.Sub(h.read) >= catalogueAge || now.Before(h.read) {
		offers, err := pack.Offers(h.home)
		if err != nil {
			return nil, err
		}
		h.offers, h.read = offers[:min(len(offers), offersLimit)], now
	}
	return h.offers, nil
}

func (h *handler) index(w http.ResponseWriter, r *http.Request) {
	offers, err := h.catalogue()
	if err != nil {
		failed(w)
		return
	}
	b, err := json.Marshal(Index{form, append([]pack.Offer{}, offers...)})
	if err != nil {
		failed(w)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(append(b, '\n')))
}

// failed tells a stranger nothing about this computer.
func failed(w http.ResponseWriter) {
	http.Error(w, "the packages cannot be read", http.StatusInternalServerError)
}

func (h *handler) file(w http.ResponseWriter, r *http.Request) {
	offers, err := h.catalogue()
	if err != nil {
		failed(w)
		return
	}
	file, isSignature := strings.CutSuffix(r.PathValue("file"), pack.SignatureExt)
	i := slices.IndexFunc(offers, func(o pack.Offer) bool { return o.File() == file })
	if i < 0 {
		http.NotFound(w, r)
		return
	}
	o := offers[i]
	pkg, sig, err := pack.Kept(h.home, o.Name, o.Version)
	if err != nil || hash(pkg) != o.SHA256 {
		failed(w)
		return
	}
	content := sig
	if !isSignature {
		content = pkg
		w.Header().Set("ETag", etag(o.SHA256))
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(content))
}

// etag is the strong validator of a package: its hash.
func etag(sha256 string) string { return `"` + sha256 + `"` }

func hash(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
