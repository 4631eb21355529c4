package control

import (
	"context"
	"net/http"
	"time"
)

// Server serves the control API of a daemon until it is closed.
type Server struct {
	server *http.Server
	served chan struct{} // closed when nothing is served any more and the socket is gone
}

// Serve listens on a Unix socket, or on Windows on a named pipe, that nobody but the user can
// reach. One that somebody answers on already is an error.
func Serve(path string, d Controlled) (*Server, error) {
	l, err := listen(path)
	if err != nil {
		return nil, err
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

// Close stops serving, lets requests under way end, and removes the socket.
func (c *Server) Close() error {
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	err := c.server.Shutdown(ctx)
	<-c.served
	return err
}
