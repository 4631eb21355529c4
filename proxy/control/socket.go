package control

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"time"
)

// Server serves the control API of a daemon until it is closed.
type Server struct {
	server *http.Server
	served chan struct{} // closed when nothing is served any more and the socket is gone
}

// Serve listens on a Unix socket and makes its folder, closed to others, if
// it is not there. A socket that nobody answers on is left over and is replaced; one
// that somebody answers on is an error.
func Serve(path string, d Controlled) (*Server, error) {
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
	c := &Server{served: make(chan struct{}), server: &http.Server{
		Handler: Handler(d), ReadTimeout: requestTime, WriteTimeout: requestTime,
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
func (c *Server) Close() error {
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	err := c.server.Shutdown(ctx)
	<-c.served
	return err
}
