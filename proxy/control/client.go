package control

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"syscall"
	"time"

	"swellbox/proxy/live"
)

// requestTime bounds one request.
const requestTime = 5 * time.Second

// Client speaks to a running daemon.
type Client struct {
	path string
	http http.Client
}

// NewClient makes a client of the daemon behind a control socket.
func NewClient(path string) *Client {
	return &Client{path: path, http: http.Client{
		Timeout: requestTime,
		Transport: &http.Transport{
			DisableKeepAlives: true,
			DialContext:       func(ctx context.Context, _, _ string) (net.Conn, error) { return dial(ctx, path) },
		},
	}}
}

// Ask has the daemon do what a command is for. request is what it asks for, or nil if the command
// has no request.
func (c *Client) Ask(what *Command, request any) (s live.Status, err error) {
	var r io.Reader
	if request != nil {
		b, err := json.Marshal(request)
		if err != nil {
			return s, err
		}
		r = bytes.NewReader(b)
	}
	req, err := http.NewRequest(what.method, "http://swellbox/"+what.Name, r)
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
