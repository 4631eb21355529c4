package share

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"sync"
	"time"
)

// limits bound what one peer may cost a server. A package that takes longer than
// write is cut off and taken on by the next request, which asks for the rest.
type limits struct {
	header      time.Duration // until a request has been read
	write       time.Duration // until its answer has been taken
	idle        time.Duration // between two requests
	closing     time.Duration // for answers at work when the server is ended
	headerBytes int
	connections int
}

var serverLimits = limits{
	header: 5 * time.Second, write: 2 * time.Minute, idle: 30 * time.Second, closing: 2 * time.Second,
	headerBytes: 8 << 10, connections: 64,
}

// Serve gives away the packages of home until ctx ends, which is no error. listen
// is the address of this computer to listen on, with a port or without;
// "0.0.0.0" stands for all. ready is told where the server listens.
func Serve(ctx context.Context, home, listen string, ready func(net.Addr)) error {
	address, err := listenAddress(listen)
	if err != nil {
		return err
	}
	l, err := (&net.ListenConfig{}).Listen(ctx, "tcp", address)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w; name an address of this computer and a port that is free", listen, err)
	}
	ready(l.Addr())
	return serve(ctx, l, Handler(home), serverLimits)
}

func listenAddress(listen string) (string, error) {
	address := withPort(listen)
	host, _, err := net.SplitHostPort(address)
	if err != nil || host == "" {
		return "", fmt.Errorf("where to listen is %q; name one address of this computer and perhaps a port, such as 127.0.0.1:%s, or 0.0.0.0 for all", listen, DefaultPort)
	}
	return address, nil
}

// withPort is an address with the default port if it has none.
func withPort(address string) string {
	if _, _, err := net.SplitHostPort(address); err == nil {
		return address
	}
	if ip := net.ParseIP(address); ip != nil {
		return net.JoinHostPort(address, DefaultPort)
	}
	return address + ":" + DefaultPort
}

func serve(ctx context.Context, l net.Listener, h http.Handler, lim limits) error {
	s := &http.Server{
		Handler:           h,
		ReadHeaderTimeout: lim.header,
		ReadTimeout:       lim.header, // a GET has nothing after its header
		WriteTimeout:      lim.write,
		IdleTimeout:       lim.idle,
		MaxHeaderBytes:    lim.headerBytes,
		ErrorLog:          log.New(io.Discard, "", 0), // what peers do wrong is no news here
	}
	ended := make(chan error, 1)
	stop := context.AfterFunc(ctx, func() {
		late, cancel := context.WithTimeout(context.Background(), lim.closing)
		defer cancel()
		ended <- errors.Join(s.Shutdown(late), s.Close())
	})
	err := s.Serve(newLimitedListener(l, lim.connections))
	if !stop() {
		<-ended // what did not end in time was cut off, which is what the user wanted
		return nil
	}
	return fmt.Errorf("cannot go on listening: %w", err)
}

// limitedListener has so many connections open at once; the next ones wait in the
// system's queue.
type limitedListener struct {
	net.Listener
	slots  chan struct{}
	closed chan struct{}
	once   sync.Once
}

func newLimitedListener(l net.Listener, n int) *limitedListener {
	return &limitedListener{Listener: l, slots: make(chan struct{}, n), closed: make(chan struct{})}
}

func (l *limitedListener) Accept() (net.Conn, error) {
	select {
	case l.slots <- struct{}{}:
	case <-l.closed:
		return nil, net.ErrClosed
	}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.slots
		return nil, err
	}
	return &limitedConn{Conn: c, free: sync.OnceFunc(func() { <-l.slots })}, nil
}

func (l *limitedListener) Close() error {
	l.once.Do(func() { close(l.closed) })
	return l.Listener.Close()
}

type limitedConn struct {
	net.Conn
	free func()
}

func (c *limitedConn) Close() error {
	defer c.free()
	return c.Conn.Close()
}
