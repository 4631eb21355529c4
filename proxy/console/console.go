package console

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strconv"
	"time"

	"swellbox/proxy/perform"
)

// Console serves the page until it is closed.
type Console struct {
	server  *http.Server
	feed    *feed
	guard   *guard
	served  chan struct{}
	address string
}

// Serve begins to serve the page on the loopback.
func Serve(cfg Config) (*Console, error) {
	pass, err := readPass(cfg.PassFile)
	if err != nil {
		return nil, err
	}
	l, err := net.Listen("tcp4", net.JoinHostPort(loopback, strconv.Itoa(cfg.Port)))
	if err != nil {
		l, err = net.Listen("tcp4", net.JoinHostPort(loopback, "0"))
	}
	if err != nil {
		return nil, fmt.Errorf("the page cannot be served: %w; start without --console", err)
	}
	port := l.Addr().(*net.TCPAddr).Port
	c := &Console{
		feed: newFeed(cfg), served: make(chan struct{}),
		guard: &guard{port: strconv.Itoa(port), token: rand.Text(), pass: pass},
	}
	c.address = fmt.Sprintf("http://%s:%d/#%s", loopback, port, c.guard.token)
	c.server = &http.Server{
		Handler:           c.guard.around(routes(c.feed, c.guard)),
		ReadHeaderTimeout: requestTime, ReadTimeout: requestTime, WriteTimeout: requestTime, IdleTimeout: time.Minute,
		MaxHeaderBytes: 1 << 14,
	}
	go func() {
		defer close(c.served)
		c.server.Serve(l) // ends with Close
	}()
	return c, nil
}

// loopback is where the page is served: on this machine alone.
const loopback = "127.0.0.1"

// Address is where the page is, with the token of this start.
func (c *Console) Address() string { return c.address }

// Over lays what is being adjusted on the page, and not saved yet, over a cast that was read anew.
func (c *Console) Over(cast *perform.Cast) error { return c.feed.bench.over(cast) }

// Close ends all streams and stops serving.
func (c *Console) Close() error {
	c.feed.close()
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	err := c.server.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		err = c.server.Close() // of who still sends a request, nobody waits for the answer
	}
	<-c.served
	return err
}
