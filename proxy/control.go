package proxy

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"swellbox/expr"
)

// The control API is HTTP with JSON over a Unix socket in a folder that only its
// owner may enter:
//
//	GET  /status                                   Status
//	POST /switch {"side":"raw","parts":["Flute"]}  Status
//	POST /sense {"sense":"studio","parts":[]}      Status
//	POST /lookahead {"ms":500}                     Status
//	POST /panic                                    Status
//
// An error is {"error":"…"} with a status of 400 or more.

// maxRequest bounds the body of a request, in bytes.
const maxRequest = 1 << 16

// controlTimeout bounds one request.
const controlTimeout = 5 * time.Second

// Controlled is what a control server steers.
type Controlled interface {
	Status() Status
	Switch(side expr.Side, parts []string) error
	SetSense(sense expr.Sense, parts []string) error
	SetLookahead(l time.Duration) error
	Panic()
}

// SwitchRequest is the body of POST /switch.
type SwitchRequest struct {
	Side  string   `json:"side"`  // "raw" or "shaped"
	Parts []string `json:"parts"` // none: all
}

// SenseRequest is the body of POST /sense.
type SenseRequest struct {
	Sense string   `json:"sense"` // "hall" or "studio"
	Parts []string `json:"parts"` // none: all
}

// LookaheadRequest is the body of POST /lookahead.
type LookaheadRequest struct {
	MS int `json:"ms"` // 0..3000
}

// Control serves the control API of a daemon until it is closed.
type Control struct {
	server *http.Server
	served chan struct{} // closed when nothing is served any more and the socket is gone
}

// ServeControl listens on a Unix socket and makes its folder, closed to others, if
// it is not there. A socket that nobody answers on is left over and is replaced; one
// that somebody answers on is an error.
func ServeControl(path string, d Controlled) (*Control, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("the folder of the control socket cannot be made: %w", err)
	}
	if err := private(filepath.Dir(path)); err != nil {
		return nil, err
	}
	if err := clearStale(path); err != nil {
		return nil, err
	}
	l, err := net.Listen("unix", path)
	if err != nil {
		return nil, fmt.Errorf("the control socket cannot be made: %w; name another with --control", err)
	}
	c := &Control{served: make(chan struct{}), server: &http.Server{
		Handler: controlHandler(d), ReadTimeout: controlTimeout, WriteTimeout: controlTimeout,
	}}
	go func() {
		defer close(c.served)
		c.server.Serve(l) // ends with Close; the socket goes with its listener
	}()
	return c, nil
}

// clearStale removes a socket that nobody answers on.
func clearStale(path string) error {
	info, err := os.Lstat(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("the control socket cannot be looked at: %w", err)
	}
	if info.Mode().Type() != os.ModeSocket {
		return fmt.Errorf("%s is not a socket; remove it, or name another control socket with --control", path)
	}
	if conn, err := net.DialTimeout("unix", path, time.Second); err == nil {
		conn.Close()
		return fmt.Errorf("another swellbox is running and answers on %s; stop it, or name another control socket with --control", path)
	}
	if err := os.Remove(path); err != nil {
		return fmt.Errorf("a left-over control socket cannot be removed: %w", err)
	}
	return nil
}

// Close stops serving, lets requests under way end, and removes the socket.
func (c *Control) Close() error {
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	err := c.server.Shutdown(ctx)
	<-c.served
	return err
}

func controlHandler(d Controlled) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /status", func(w http.ResponseWriter, _ *http.Request) {
		answer(w, http.StatusOK, d.Status())
	})
	mux.HandleFunc("POST /switch", func(w http.ResponseWriter, r *http.Request) {
		var req SwitchRequest
		steer(w, r, d, &req, func() error {
			side, err := ParseSide(req.Side)
			if err != nil {
				return err
			}
			return d.Switch(side, req.Parts)
		})
	})
	mux.HandleFunc("POST /sense", func(w http.ResponseWriter, r *http.Request) {
		var req SenseRequest
		steer(w, r, d, &req, func() error {
			sense, err := ParseSense(req.Sense)
			if err != nil {
				return err
			}
			return d.SetSense(sense, req.Parts)
		})
	})
	mux.HandleFunc("POST /lookahead", func(w http.ResponseWriter, r *http.Request) {
		var req LookaheadRequest
		steer(w, r, d, &req, func() error {
			const beyond = 1 << 20 // any range, and far from where a Duration overflows
			return d.SetLookahead(time.Duration(min(max(req.MS, -beyond), beyond)) * time.Millisecond)
		})
	})
	mux.HandleFunc("POST /panic", func(w http.ResponseWriter, _ *http.Request) {
		d.Panic()
		answer(w, http.StatusOK, d.Status())
	})
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusNotFound, fmt.Errorf("there is no %s %s", r.Method, r.URL.Path))
	})
	return mux
}

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

// steer reads a request, does what it asks, and answers with the status.
func steer(w http.ResponseWriter, r *http.Request, d Controlled, req any, do func() error) {
	if err := decodeRequest(http.MaxBytesReader(w, r.Body, maxRequest), req); err != nil {
		refuse(w, http.StatusBadRequest, fmt.Errorf("the request cannot be read: %w", err))
		return
	}
	if err := do(); err != nil {
		refuse(w, http.StatusBadRequest, err)
		return
	}
	answer(w, http.StatusOK, d.Status())
}

// ParseSense reads the name of a sense.
func ParseSense(name string) (expr.Sense, error) {
	for _, s := range [...]expr.Sense{expr.Hall, expr.Studio} {
		if name == s.String() {
			return s, nil
		}
	}
	return 0, fmt.Errorf("expected hall or studio, found %q", name)
}

// ParseSide reads the name of a side that a part can play.
func ParseSide(name string) (expr.Side, error) {
	for _, s := range [...]expr.Side{expr.Raw, expr.Shaped} {
		if name == s.String() {
			return s, nil
		}
	}
	return 0, fmt.Errorf("expected raw or shaped, found %q", name)
}

func answer(w http.ResponseWriter, code int, v any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	json.NewEncoder(w).Encode(v) // an error here is a caller that has hung up
}

func refuse(w http.ResponseWriter, code int, err error) {
	answer(w, code, map[string]string{"error": err.Error()})
}

// Client speaks to a running daemon.
type Client struct {
	path string
	http http.Client
}

// NewClient makes a client of the daemon behind a control socket.
func NewClient(path string) *Client {
	return &Client{path: path, http: http.Client{
		Timeout: controlTimeout,
		Transport: &http.Transport{
			DisableKeepAlives: true,
			DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
				var d net.Dialer
				return d.DialContext(ctx, "unix", path)
			},
		},
	}}
}

// Status asks for the status.
func (c *Client) Status() (Status, error) { return c.do(http.MethodGet, "/status", nil) }

// Switch chooses what the named parts play, or all if none is named.
func (c *Client) Switch(side expr.Side, parts []string) (Status, error) {
	return c.do(http.MethodPost, "/switch", SwitchRequest{Side: side.String(), Parts: parts})
}

// SetSense chooses how the named parts stand, or all if none is named.
func (c *Client) SetSense(sense expr.Sense, parts []string) (Status, error) {
	return c.do(http.MethodPost, "/sense", SenseRequest{Sense: sense.String(), Parts: parts})
}

// SetLookahead chooses by how much later all sounds than it comes in, in whole milliseconds.
func (c *Client) SetLookahead(l time.Duration) (Status, error) {
	return c.do(http.MethodPost, "/lookahead", LookaheadRequest{MS: int(l.Milliseconds())})
}

// Panic silences every output.
func (c *Client) Panic() (Status, error) { return c.do(http.MethodPost, "/panic", nil) }

func (c *Client) do(method, path string, body any) (s Status, err error) {
	var r io.Reader
	if body != nil {
		b, err := json.Marshal(body)
		if err != nil {
			return s, err
		}
		r = bytes.NewReader(b)
	}
	req, err := http.NewRequest(method, "http://swellbox"+path, r)
	if err != nil {
		return s, err
	}
	resp, err := c.http.Do(req)
	if err != nil {
		var op *net.OpError
		switch {
		case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ECONNREFUSED):
			return s, fmt.Errorf("no swellbox is running on %s; start swellbox live or play first", c.path)
		case errors.As(err, &op) && op.Op == "dial":
			return s, fmt.Errorf("the control socket cannot be used: %w", &fs.PathError{Op: op.Op, Path: c.path, Err: op.Err})
		}
		return s, fmt.Errorf("the running swellbox does not answer: %w", err)
	}
	defer resp.Body.Close()
	dec := json.NewDecoder(io.LimitReader(resp.Body, 1<<26))
	if resp.StatusCode != http.StatusOK {
		var refusal struct {
			Error string `json:"error"`
		}
		if err := dec.Decode(&refusal); err != nil || refusal.Error == "" {
			return s, fmt.Errorf("the running swellbox answers %s", resp.Status)
		}
		return s, errors.New(refusal.Error)
	}
	if err := dec.Decode(&s); err != nil {
		return s, fmt.Errorf("the running swellbox's answer cannot be read: %w", err)
	}
	return s, nil
}
