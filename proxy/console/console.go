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

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/live"
)

// Played is what a console watches and steers.
type Played interface {
	Status() live.Status
	Switch(side expr.Side, parts []string) error
	SetPlace(place expr.Place, parts []string) error
	SetLookahead(l time.Duration) error
	Panic()
}

// Config is what a console is made with.
type Config struct {
	Played    Played
	Gauges    *live.Gauges      // of the same daemon; the console's alone from then on
	Match     func(on bool)     // lowers the raw side by as much as it is louder
	Ensemble  profiles.Ensemble // in whose hall the parts stand
	Simulated bool              // no sampler is there: nothing is heard
	Port      int               // to listen on; if it is taken, or 0, any
	PassFile  string            // keeps the pass over restarts, in a folder that only its owner may enter; empty: it is not kept
}

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
		Handler:           c.guard.around(routes(c)),
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

// requestTime bounds one request, and one piece of the stream.
const requestTime = 10 * time.Second

// Address is where the page is, with the token of this start.
func (c *Console) Address() string { return c.address }

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
