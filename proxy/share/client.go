package share

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"
)

// patience bounds what one server may cost a client.
type patience struct {
	stall time.Duration // without a byte
	whole time.Duration // for one answer, however its bytes drip
}

var clientPatience = patience{stall: 15 * time.Second, whole: 10 * time.Minute}

// headerLimit is the largest header of an answer, in bytes.
const headerLimit = 16 << 10

var (
	errStalled = errors.New("it sends nothing any more")
	errSlow    = errors.New("it is too slow")
)

// client speaks with one server.
type client struct {
	host     string // as the user wrote it
	base     string
	http     *http.Client
	patience patience
}

type dialer func(ctx context.Context, network, address string) (net.Conn, error)

func newClient(host string, dial dialer, p patience) *client {
	return &client{
		host: host,
		base: (&url.URL{Scheme: "http", Host: withPort(host)}).String(),
		http: &http.Client{
			// No proxy: the server is in this network. No compression: it could
			// make much of little.
			Transport: &http.Transport{
				DialContext: dial, DisableCompression: true, DisableKeepAlives: true,
				MaxResponseHeaderBytes: headerLimit,
			},
			CheckRedirect: func(*http.Request, []*http.Request) error {
				return errors.New("it points to another place, which no such server does")
			},
		},
		patience: p,
	}
}

// failed is an error of this server, by its name.
func (c *client) failed(err error) error { return fmt.Errorf("%s: %w", c.host, err) }

// ask sends a request and hands its answer to read, with both of the client's
// patiences at work. read gets the body as one that ends them.
func (c *client) ask(ctx context.Context, path string, header http.Header, read func(*http.Response) error) error {
	if strings.ContainsAny(c.host, "/?#@ ") {
		return fmt.Errorf("this is no HOST or HOST:PORT: %q", c.host)
	}
	ctx, stop := context.WithTimeoutCause(ctx, c.patience.whole, errSlow)
	defer stop()
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	alarm := time.AfterFunc(c.patience.stall, func() { cancel(errStalled) })
	defer alarm.Stop()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, c.base+path, nil)
	if err != nil {
		return plainly(err)
	}
	for key, values := range header {
		req.Header[key] = values
	}
	res, err := c.http.Do(req)
	if err != nil {
		return because(ctx, plainly(err))
	}
	defer res.Body.Close()
	res.Body = &heard{res.Body, ctx, func() { alarm.Reset(c.patience.stall) }}
	return because(ctx, read(res))
}

// because is why ctx ended, if it did, in place of what came of that.
func because(ctx context.Context, err error) error {
	if err != nil && ctx.Err() != nil {
		return context.Cause(ctx)
	}
	return err
}

// plainly is the error of a request without its method and address.
func plainly(err error) error {
	if inner := errors.Unwrap(err); inner != nil {
		return inner
	}
	return err
}

// heard is a body that calls again when bytes come, and ends with ctx even if
// there are more at hand.
type heard struct {
	io.ReadCloser
	ctx   context.Context
	again func()
}

func (h *heard) Read(p []byte) (int, error) {
	if err := h.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := h.ReadCloser.Read(p)
	if n > 0 {
		h.again()
	}
	return n, err
}

// get is the whole of a small answer.
func (c *client) get(ctx context.Context, path string, limit int64) ([]byte, error) {
	var b []byte
	err := c.ask(ctx, path, nil, func(res *http.Response) error {
		if res.StatusCode != http.StatusOK {
			return unexpected(res)
		}
		var err error
		b, err = io.ReadAll(io.LimitReader(res.Body, limit+1))
		if err == nil && int64(len(b)) > limit {
			err = fmt.Errorf("it sends over %d bytes where fewer are due", limit)
		}
		return err
	})
	return b, err
}

// unexpected says what an answer is that has not what was asked for.
func unexpected(res *http.Response) error {
	switch res.StatusCode {
	case http.StatusServiceUnavailable:
		return errors.New("it is busy; try again in a moment")
	case http.StatusNotFound:
		return errors.New("it does not have that any more, or is no server of swellbox")
	}
	return fmt.Errorf("it answers with the status %d, which no server of swellbox should; try again", res.StatusCode)
}
