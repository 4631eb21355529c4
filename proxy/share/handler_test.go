package share

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"swellbox/profiles/pack"
)

func ask(h http.Handler, method, path string, header ...string) *http.Response {
	r := httptest.NewRequest(method, path, nil)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

func body(t *testing.T, r *http.Response) []byte {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Only what is signed by somebody trusted is given away.
func TestWhatIsGivenAway(t *testing.T) {
	anna, stranger := newHouse(t), newHouse(t)
	winds := newPackage(t, "winds", "1.0.0", "Anna Example", 100)
	anna.install(t, winds)
	unsigned := newPackage(t, "drafts", "1.0.0", "Bert Example", 100)
	if _, err := pack.Install(anna.home, unsigned.Bytes(), nil, pack.Options{Unsigned: true}); err != nil {
		t.Fatal(err)
	}
	brass := newPackage(t, "brass", "1.0.0", "Carl Example", 100)
	if _, err := pack.Install(anna.home, brass.Bytes(), stranger.sign(t, brass), pack.Options{Ask: yes}); err != nil {
		t.Fatal(err)
	}
	now := time.Unix(1000, 0)
	h := newHandler(anna.home, func() time.Time { return now })
	names := func() string {
		var x Index
		if err := json.Unmarshal(body(t, ask(h, "GET", indexPath)), &x); err != nil {
			t.Fatal(err)
		}
		var all []string
		for _, o := range x.Packages {
			all = append(all, o.Name)
		}
		return strings.Join(all, " ")
	}
	if got := names(); got != "brass winds" {
		t.Errorf("given away are %q", got)
	}
	if _, err := pack.RemovePin(anna.home, stranger.key.Public().ID()); err != nil {
		t.Fatal(err)
	}
	now = now.Add(catalogueAge)
	if got := names(); got != "winds" {
		t.Errorf("after the trust has ended, given away are %q", got)
	}
	file := filepath.Join(anna.home, "installed", "winds", "1.0.0", "package.swellbox.tar")
	if err := os.WriteFile(file, []byte("changed"), 0o600); err != nil {
		t.Fatal(err)
	}
	if r := ask(h, "GET", packagesPath+winds.File()); r.StatusCode != http.StatusInternalServerError {
		t.Errorf("a package that was changed meanwhile is given away with the status %d", r.StatusCode)
	}
	now = now.Add(-time.Hour) // a clock that is set back does not keep an old list alive
	if got := names(); got != "" {
		t.Errorf("after the package was changed, given away are %q", got)
	}
}

func TestHandlerAnswers(t *testing.T) {
	anna := newHouse(t)
	p := newPackage(t, "winds", "1.0.0", "Anna Example", 5000)
	anna.install(t, p)
	h := Handler(anna.home)
	file, all := packagesPath+p.File(), p.Bytes()
	tag := etag(p.SHA256())
	for name, c := range map[string]struct {
		method, path string
		header       []string
		status       int
		want         []byte // nil: whatever
	}{
		"package":            {"GET", file, nil, 200, all},
		"its head":           {"HEAD", file, nil, 200, []byte{}},
		"the rest":           {"GET", file, []string{"Range", "bytes=1000-", "If-Range", tag}, 206, all[1000:]},
		"a piece":            {"GET", file, []string{"Range", "bytes=10-19"}, 206, all[10:20]},
		"rest of another":    {"GET", file, []string{"Range", "bytes=1000-", "If-Range", `"other"`}, 200, all},
		"beyond the end":     {"GET", file, []string{"Range", "bytes=1000000-"}, 416, nil},
		"had already":        {"GET", file, []string{"If-None-Match", tag}, 304, []byte{}},
		"other version":      {"GET", packagesPath + "winds-2.0.0.swellbox.tar", nil, 404, nil},
		"written":            {"PUT", file, nil, 405, nil},
		"posted":             {"POST", indexPath, nil, 405, nil},
		"removed":            {"DELETE", file, nil, 405, nil},
		"listing":            {"GET", packagesPath, nil, 404, nil},
		"root":               {"GET", "/", nil, 404, nil},
		"a pin":              {"GET", "/trust/" + anna.key.Public().ID() + ".json", nil, 404, nil},
		"way out":            {"GET", packagesPath + "..%2f..%2ftrust%2f" + anna.key.Public().ID() + ".json", nil, 404, nil},
		"way out of the way": {"GET", packagesPath + "%2e%2e%5c%2e%2e", nil, 404, nil},
	} {
		t.Run(name, func(t *testing.T) {
			r := ask(h, c.method, c.path, c.header...)
			got := body(t, r)
			if r.StatusCode != c.status || c.want != nil && !bytes.Equal(got, c.want) {
				t.Errorf("the status is %d, want %d, with %d bytes, want %d", r.StatusCode, c.status, len(got), len(c.want))
			}
			if c.status < 300 && r.Header.Get("ETag") != tag {
				t.Errorf("the hash is given as %s", r.Header.Get("ETag"))
			}
			if r.Header.Get("Access-Control-Allow-Origin") != "" || strings.Contains(string(got), anna.home) {
				t.Error("it tells more than it should")
			}
		})
	}
}

func TestBusyHandler(t *testing.T) {
	h := &handler{home: t.TempDir(), now: time.Now, busy: make(chan struct{}, 1)}
	entered, leave, left := make(chan bool), make(chan bool), make(chan bool)
	slow := h.limited(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { entered <- true; <-leave }))
	go func() { ask(slow, "GET", "/"); left <- true }()
	<-entered
	if r := ask(slow, "GET", "/"); r.StatusCode != http.StatusServiceUnavailable || r.Header.Get("Retry-After") == "" {
		t.Errorf("the status is %d", r.StatusCode)
	}
	leave <- true
	<-left
	go func() { <-entered; leave <- true }()
	if r := ask(slow, "GET", "/"); r.StatusCode != http.StatusOK {
		t.Errorf("afterwards the status is %d", r.StatusCode)
	}
}

func TestListenAddress(t *testing.T) {
	for listen, want := range map[string]string{
		"127.0.0.1": "127.0.0.1:7717", "127.0.0.1:80": "127.0.0.1:80", "::1": "[::1]:7717", "[::1]:80": "[::1]:80", "studio": "studio:7717", "0.0.0.0": "0.0.0.0:7717",
	} {
		if got, err := listenAddress(listen); err != nil || got != want {
			t.Errorf("%q is %q, want %q; %v", listen, got, want, err)
		}
	}
	for _, listen := range []string{"", ":7717", ":", "1:2:3:x"} {
		if got, err := listenAddress(listen); err == nil {
			t.Errorf("%q is taken for %q", listen, got)
		}
	}
	wantError(t, Serve(t.Context(), t.TempDir(), "", nil), "name one address of this computer")
	wantError(t, Serve(t.Context(), t.TempDir(), "192.0.2.1", nil), "cannot listen on 192.0.2.1") // RFC 5737: nobody's
}

// Peers that are slow to ask, or never do, are left, and do not keep others out
// for longer than that.
func TestSilentPeers(t *testing.T) {
	anna := newHouse(t)
	anna.install(t, newPackage(t, "winds", "1.0.0", "Anna Example", 100))
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	lim := serverLimits
	lim.header, lim.connections = 50*time.Millisecond, 2
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- serve(ctx, l, Handler(anna.home), lim) }()
	var silent []net.Conn
	for range lim.connections {
		c, err := net.Dial("tcp", l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		io.WriteString(c, "GET /v1/packages HTTP/1.1\r\nHost:")
		silent = append(silent, c)
	}
	if offers, err := List(t.Context(), l.Addr().String()); err != nil || len(offers) != 1 {
		t.Errorf("behind silent peers the list is %+v, %v", offers, err)
	}
	for _, c := range silent {
		if _, err := io.ReadAll(c); err != nil {
			t.Logf("the server closed with %v", err)
		}
	}
	cancel()
	if err := <-done; err != nil {
		t.Errorf("ended with %v", err)
	}
}

// Ending the server is no error, even while somebody is being served.
func TestServeEnds(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	lim := serverLimits
	lim.closing = time.Millisecond
	ctx, cancel := context.WithCancel(t.Context())
	entered, leave := make(chan bool), make(chan bool)
	stuck := http.HandlerFunc(func(http.ResponseWriter, *http.Request) { entered <- true; <-leave })
	done := make(chan error, 1)
	go func() { done <- serve(ctx, l, stuck, lim) }()
	go http.Get("http://" + l.Addr().String())
	<-entered
	cancel()
	if err := <-done; err != nil {
		t.Errorf("ended with %v", err)
	}
	close(leave)
	if _, err := net.Dial("tcp", l.Addr().String()); err == nil {
		t.Error("it still listens")
	}
}

func TestListenerFailure(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l.Close()
	wantError(t, serve(t.Context(), l, http.NotFoundHandler(), serverLimits), "cannot go on listening")
}
