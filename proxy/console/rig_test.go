package console_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/rs/zerolog"

	"swellbox/profiles"
	"swellbox/profiles/change"
	"swellbox/proxy/console"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports/silent"
	"swellbox/proxy/study/demo"
)

// rig is a console of a daemon with simulated ports.
type rig struct {
	t     *testing.T
	d     *live.Daemon
	c     *console.Console
	base  string // http://127.0.0.1:port
	token string
	end   func() // closes both, as the test's end does
	shop  *workshop
}

// workshop keeps profiles in memory.
type workshop struct {
	mu    sync.Mutex
	saved map[string][]byte
	notes []string
}

func (w *workshop) cast() (*perform.Cast, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	lib, err := profiles.NewLibrary()
	for name, b := range w.saved {
		if err == nil {
			lib, err = with(lib, name, b)
		}
	}
	return &perform.Cast{Library: lib}, err
}

// with is a library with a document over it.
func with(lib *profiles.Library, name string, b []byte) (*profiles.Library, error) {
	d, err := profiles.Parse(name+".yaml", b)
	if err != nil {
		return nil, err
	}
	var docs []*profiles.Document
	for _, n := range lib.Names() {
		for _, layer := range slices.Backward(lib.Layers(n)) {
			if layer.File != d.File {
				docs = append(docs, layer)
			}
		}
	}
	return profiles.LibraryOf(append(docs, d), nil)
}

func (w *workshop) Draft(lib *profiles.Library, name string) ([]byte, string, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if b := w.saved[name]; b != nil {
		return b, name + ".yaml", nil
	}
	if _, err := lib.Chain(name); err != nil {
		return nil, "", err
	}
	return fmt.Appendf(nil, "swellbox: 1\nname: %s\nextends: %[1]s\n", name), name + ".yaml", nil
}

func (w *workshop) Try(lib *profiles.Library, name string, b []byte) (*profiles.Library, []change.Line, error) {
	after, err := with(lib, name, b)
	if err != nil {
		return nil, nil, err
	}
	was, err := lib.Resolve(name)
	if err != nil {
		return nil, nil, err
	}
	now, err := after.Resolve(name)
	if err != nil {
		return nil, nil, err
	}
	return after, change.Diff(was, now), nil
}

func (w *workshop) Save(_ *profiles.Library, name string, b []byte, note string) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.saved[name], w.notes = b, append(w.notes, note)
	return nil
}

func start(t *testing.T, change func(*console.Config)) *rig {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	cast := &perform.Cast{Library: lib}
	shop := &workshop{saved: map[string][]byte{}}
	d, err := live.NewDaemon(live.Config{
		System: silent.System{}, Cast: cast, Log: zerolog.Nop(), Manner: demo.Manner(),
		Outputs: []live.PortSpec{{Name: "out 1", Virtual: true}, {Name: "out 2", Virtual: true}}, ScoreName: demo.Title,
	})
	if err != nil {
		t.Fatal(err)
	}
	cfg := console.Config{
		Played: d, Gauges: live.NewGauges(d), Ensemble: cast.Ensemble(),
		Workshop: shop, Cast: shop.cast, Simulated: true, PassFile: filepath.Join(t.TempDir(), "run", "console.pass"),
	}
	if change != nil {
		change(&cfg)
	}
	c, err := console.Serve(cfg)
	if err != nil {
		t.Fatal(err)
	}
	end := sync.OnceFunc(func() {
		if err := c.Close(); err != nil {
			t.Errorf("closing the page: %v", err)
		}
		if err := d.Close(); err != nil {
			t.Errorf("closing the daemon: %v", err)
		}
	})
	t.Cleanup(end)
	base, token, _ := strings.Cut(c.Address(), "/#")
	return &rig{t, d, c, base, token, end, shop}
}

// play plays the built-in score over and over until the test ends, or end is called.
func (r *rig) play() (end func()) {
	r.t.Helper()
	timeline, err := offline.NewTimeline(demo.Score(), 0)
	if err != nil {
		r.t.Fatal(err)
	}
	bars, _ := demo.Bars()
	player, err := live.NewPlayer(r.d, timeline, live.Loop{First: 1, Last: len(bars)})
	if err != nil {
		r.t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() { defer close(done); player.Play(ctx) }()
	end = sync.OnceFunc(func() { cancel(); <-done })
	r.t.Cleanup(end)
	return end
}

// ask makes a request as the page does, but for what change alters.
func (r *rig) ask(method, path, body string, change func(*http.Request)) (code int, answer string) {
	r.t.Helper()
	req, err := http.NewRequestWithContext(r.t.Context(), method, r.base+path, strings.NewReader(body))
	if err != nil {
		r.t.Fatal(err)
	}
	req.Header.Set("Authorization", "Bearer "+r.token)
	if method == http.MethodPost {
		req.Header.Set("Content-Type", "application/json")
		req.Header.Set("Origin", r.base)
		req.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	if change != nil {
		change(req)
	}
	resp, err := (&http.Transport{DisableKeepAlives: true}).RoundTrip(req)
	if err != nil {
		r.t.Fatal(err)
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		r.t.Fatal(err)
	}
	if got := resp.Header; !strings.Contains(got.Get("Content-Security-Policy"), "script-src 'self';") || got.Get("Access-Control-Allow-Origin") != "" || got.Get("X-Content-Type-Options") != "nosniff" {
		r.t.Errorf("%s %s: headers %v", method, path, got)
	}
	return resp.StatusCode, string(b)
}

// do steers, and must not be refused.
func (r *rig) do(path, body string) {
	r.t.Helper()
	if code, answer := r.ask("POST", "/api/"+path, body, nil); code != http.StatusOK {
		r.t.Fatalf("%s %s: %d %s", path, body, code, answer)
	}
}

// reading is a page that reads.
type reading struct {
	t    *testing.T
	body io.Closer
	in   *bufio.Reader
}

func (r *rig) read() *reading {
	r.t.Helper()
	u, err := url.Parse(r.base + "/api/stream")
	if err != nil {
		r.t.Fatal(err)
	}
	req := &http.Request{Method: "GET", URL: u, Header: http.Header{"Authorization": {"Bearer " + r.token}}}
	resp, err := (&http.Transport{DisableKeepAlives: true}).RoundTrip(req)
	if err != nil {
		r.t.Fatal(err)
	}
	r.t.Cleanup(func() { resp.Body.Close() })
	if resp.StatusCode != http.StatusOK {
		r.t.Fatalf("the stream answers %s", resp.Status)
	}
	return &reading{r.t, resp.Body, bufio.NewReader(resp.Body)}
}

// next reads the next message of a kind.
func next[T any](p *reading, kind string) (v T) {
	p.t.Helper()
	for {
		line, err := p.in.ReadString('\n')
		if err != nil {
			p.t.Fatalf("the stream: %v", err)
		}
		if line != "event: "+kind+"\n" {
			continue
		}
		data, err := p.in.ReadString('\n')
		if err != nil {
			p.t.Fatalf("the stream: %v", err)
		}
		if err := json.Unmarshal([]byte(strings.TrimPrefix(data, "data: ")), &v); err != nil {
			p.t.Fatalf("%s: %v", data, err)
		}
		return v
	}
}

// until reads messages of a kind until one is as wanted.
func until[T any](p *reading, kind string, is func(*T) bool) T {
	p.t.Helper()
	for {
		if v := next[T](p, kind); is(&v) {
			return v
		}
	}
}
