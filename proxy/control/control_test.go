package control_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/proxy/control"
	"swellbox/proxy/live"
)

// puppet is what a control server steers in these tests.
type puppet struct {
	status    live.Status
	side      expr.Side
	place     expr.Place
	lookahead time.Duration
	loop      live.Loop
	parts     []string
	panics    int
	switches  int
	refusal   error
}

func (p *puppet) Status() live.Status { return p.status }

func (p *puppet) Switch(side expr.Side, parts []string) error {
	p.switches++
	p.side, p.parts = side, parts
	return p.refusal
}

func (p *puppet) SetPlace(place expr.Place, parts []string) error {
	p.place, p.parts = place, parts
	return p.refusal
}

func (p *puppet) SetLookahead(l time.Duration) error {
	p.lookahead = l
	return p.refusal
}

func (p *puppet) SetLoop(l live.Loop) error {
	p.loop = l
	return p.refusal
}

func (p *puppet) Panic() { p.panics++ }

func serve(t *testing.T, p *puppet) (path string) {
	t.Helper()
	path = filepath.Join(socketFolder(t), "run", "control.sock")
	c, err := control.Serve(path, p)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := c.Close(); err != nil {
			t.Errorf("Close: %v", err)
		}
		if _, err := os.Lstat(path); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("the socket is left behind: %v", err)
		}
	})
	return path
}

// socketFolder is a folder with a short name, as that of a socket has 104 bytes at most.
func socketFolder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "control")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// ask sends a request as it stands.
func ask(t *testing.T, path, method, url, body string) (code int, answer string) {
	t.Helper()
	transport := &http.Transport{DisableKeepAlives: true, DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
		var d net.Dialer
		return d.DialContext(ctx, "unix", path)
	}}
	req, err := http.NewRequestWithContext(t.Context(), method, "http://swellbox"+url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	resp, err := transport.RoundTrip(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(b)
}

func TestControl(t *testing.T) {
	p := &puppet{status: live.Status{NotesIn: 7, Side: "mixed", Parts: []live.PartStatus{{Side: "raw", Sounding: 3}}}}
	client := control.NewClient(serve(t, p))
	s, err := client.Status()
	if err != nil || s.NotesIn != 7 || s.Side != "mixed" || len(s.Parts) != 1 || s.Parts[0].Sounding != 3 {
		t.Errorf("Status: %+v, %v", s, err)
	}
	if s, err = client.Switch(expr.Raw, []string{"Flute", "Oboe"}); err != nil || s.NotesIn != 7 || p.side != expr.Raw || !slices.Equal(p.parts, []string{"Flute", "Oboe"}) {
		t.Errorf("Switch: %+v, %v; got %v of %q", s, err, p.side, p.parts)
	}
	if _, err = client.Switch(expr.Shaped, nil); err != nil || p.side != expr.Shaped || len(p.parts) != 0 {
		t.Errorf("Switch: %v; got %v of %q", err, p.side, p.parts)
	}
	if s, err = client.SetPlace(expr.Studio, []string{"Flute"}); err != nil || s.NotesIn != 7 || p.place != expr.Studio || !slices.Equal(p.parts, []string{"Flute"}) {
		t.Errorf("SetPlace: %+v, %v; got %v of %q", s, err, p.place, p.parts)
	}
	if s, err = client.SetLookahead(750 * time.Millisecond); err != nil || s.NotesIn != 7 || p.lookahead != 750*time.Millisecond {
		t.Errorf("SetLookahead: %+v, %v; got %v", s, err, p.lookahead)
	}
	if s, err = client.SetLoop(live.Loop{First: 5, Last: 8}); err != nil || s.NotesIn != 7 || p.loop != (live.Loop{First: 5, Last: 8}) {
		t.Errorf("SetLoop: %+v, %v; got %v", s, err, p.loop)
	}
	if s, err = client.Panic(); err != nil || s.NotesIn != 7 || p.panics != 1 {
		t.Errorf("Panic: %+v, %v; %d panics", s, err, p.panics)
	}
	p.refusal = errors.New("there is no such part")
	if _, err = client.Switch(expr.Raw, []string{"Flute"}); err == nil || err.Error() != "there is no such part" {
		t.Errorf("Switch: %v", err)
	}
}

// In process it is the same without the socket; what cannot do a thing says so.
func TestDoInProcess(t *testing.T) {
	p := &puppet{status: live.Status{NotesIn: 7}}
	asked := map[string]string{
		"status": "", "switch": `{"side":"raw","parts":["Flute"]}`, "place": `{"place":"studio"}`, "lookahead": `{"ms":750}`, "loop": `{"first":5,"last":8}`, "panic": "",
	}
	for _, c := range control.Commands() {
		request, ok := asked[c.Name]
		if !ok {
			t.Errorf("%s is not asked for here", c.Name)
		}
		if s, err := c.Do(p, strings.NewReader(request)); err != nil || s.NotesIn != 7 {
			t.Errorf("%s: %+v, %v", c.Name, s, err)
		}
		_, err := c.Do(silent{}, strings.NewReader(request))
		if c.Name == "status" && err != nil || c.Name != "status" && (err == nil || !strings.Contains(err.Error(), "cannot "+c.Name)) {
			t.Errorf("%s of what only has a status: %v", c.Name, err)
		}
	}
	if p.side != expr.Raw || p.place != expr.Studio || p.lookahead != 750*time.Millisecond || p.loop != (live.Loop{First: 5, Last: 8}) || p.panics != 1 {
		t.Errorf("done is %+v", p)
	}
}

// silent can be asked for its status, and nothing else.
type silent struct{}

func (silent) Status() live.Status { return live.Status{} }

// What is not understood is refused with a reason, in JSON, and does nothing.
func TestControlRefuses(t *testing.T) {
	p := &puppet{}
	path := serve(t, p)
	for _, c := range []struct {
		method, url, body string
		code              int
		why               string
	}{
		{"POST", "/switch", `nonsense`, 400, "cannot be read"},
		{"POST", "/switch", ``, 400, "cannot be read"},
		{"POST", "/switch", `{"side":"raw","part":["Flute"]}`, 400, `unknown field \"part\"`},
		{"POST", "/switch", `{"side":"loud"}`, 400, `\"loud\"`},
		{"POST", "/switch", `{}`, 400, "raw or shaped"},
		{"POST", "/place", `{"place":"church"}`, 400, "hall or studio"},
		{"POST", "/lookahead", `{"ms":"long"}`, 400, "cannot be read"},
		{"POST", "/lookahead", `{"ms":0.5}`, 400, "cannot be read"},
		{"POST", "/switch", `{"side":3}`, 400, "cannot be read"},
		{"POST", "/switch", `{"side":"raw"} {"side":"shaped"}`, 400, "cannot be read"},
		{"POST", "/switch", `{"side":"raw","parts":["` + strings.Repeat("a", 1<<16) + `"]}`, 400, "too large"},
		{"POST", "/switch", `{"side":"raw"}` + strings.Repeat(" ", 1<<16), 400, "too large"},
		{"GET", "/switch", ``, 404, "GET /switch"},
		{"POST", "/status", ``, 404, "POST /status"},
		{"GET", "/panic", ``, 404, "GET /panic"},
		{"GET", "/", ``, 404, "GET /"},
	} {
		code, answer := ask(t, path, c.method, c.url, c.body)
		var refusal struct{ Error string }
		if err := json.Unmarshal([]byte(answer), &refusal); err != nil || code != c.code || refusal.Error == "" || !strings.Contains(answer, c.why) {
			t.Errorf("%s %s %.40q: %d %q", c.method, c.url, c.body, code, answer)
		}
	}
	if p.switches+p.panics != 0 {
		t.Errorf("%d switches and %d panics came through", p.switches, p.panics)
	}
}

// The socket's folder is made, closed to others; one that is open to others is refused.
func TestControlFolder(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a folder has no such mode on Windows")
	}
	path := serve(t, &puppet{})
	info, err := os.Stat(filepath.Dir(path))
	if err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("the folder has mode %v, %v", info.Mode(), err)
	}
	for _, mode := range []os.FileMode{0o755, 0o710, 0o701, 0o770} {
		dir := filepath.Join(socketFolder(t), "open")
		if err := os.Mkdir(dir, 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(dir, mode); err != nil { // Mkdir's is subject to the umask
			t.Fatal(err)
		}
		c, err := control.Serve(filepath.Join(dir, "control.sock"), &puppet{})
		if err == nil {
			c.Close()
			t.Errorf("mode %o is taken", mode)
			continue
		}
		wantContains(t, "error", err.Error(), dir, "chmod 700", "--control")
		if left, _ := os.ReadDir(dir); len(left) != 0 {
			t.Errorf("mode %o: %v was made", mode, left)
		}
	}
}

// A socket that is left over is replaced; one that is answered on, and a file that
// is none, are not.
func TestControlSocketInUse(t *testing.T) {
	path := serve(t, &puppet{status: live.Status{NotesIn: 5}})
	if c, err := control.Serve(path, &puppet{}); err == nil {
		c.Close()
		t.Fatal("took over a live socket")
	} else {
		wantContains(t, "error", err.Error(), "another swellbox is running", path, "--control")
	}
	if s, err := control.NewClient(path).Status(); err != nil || s.NotesIn != 5 {
		t.Errorf("the first no longer answers: %v", err)
	}

	dir := socketFolder(t)
	stale := filepath.Join(dir, "stale.sock")
	l, err := net.Listen("unix", stale)
	if err != nil {
		t.Fatal(err)
	}
	l.(*net.UnixListener).SetUnlinkOnClose(false)
	l.Close()
	if _, err := os.Lstat(stale); err != nil {
		t.Fatalf("no socket is left over: %v", err)
	}
	c, err := control.Serve(stale, &puppet{status: live.Status{NotesIn: 6}})
	if err != nil {
		t.Fatalf("a left-over socket: %v", err)
	}
	if s, err := control.NewClient(stale).Status(); err != nil || s.NotesIn != 6 {
		t.Errorf("Status: %+v, %v", s, err)
	}
	if err := c.Close(); err != nil {
		t.Error(err)
	}

	file := filepath.Join(dir, "notes.txt")
	if err := os.WriteFile(file, []byte("keep me"), 0o600); err != nil {
		t.Fatal(err)
	}
	if c, err := control.Serve(file, &puppet{}); err == nil {
		c.Close()
		t.Error("a file was taken for a socket")
	} else {
		wantContains(t, "error", err.Error(), file, "not a socket")
	}
	if b, err := os.ReadFile(file); err != nil || string(b) != "keep me" {
		t.Errorf("the file holds %q now, %v", b, err)
	}
}

// The client says in one sentence what is wrong and what to do.
func TestClientFails(t *testing.T) {
	dir := socketFolder(t)
	for _, name := range []string{"none.sock", "stale.sock"} {
		path := filepath.Join(dir, name)
		if name == "stale.sock" {
			l, err := net.Listen("unix", path)
			if err != nil {
				t.Fatal(err)
			}
			l.(*net.UnixListener).SetUnlinkOnClose(false)
			l.Close()
		}
		_, err := control.NewClient(path).Status()
		if err == nil {
			t.Fatal("nothing answered")
		}
		wantContains(t, "error", err.Error(), "no swellbox is running on "+path, "start swellbox live or play")
		if strings.Contains(err.Error(), "\n") || strings.Contains(err.Error(), "http://") {
			t.Errorf("error %q", err)
		}
	}

	for name, answer := range map[string]string{
		"not JSON": "HTTP/1.1 200 OK\r\nContent-Length: 5\r\n\r\nhello",
		"no error": "HTTP/1.1 500 Internal Server Error\r\nContent-Length: 2\r\n\r\n{}",
		"nothing":  "",
	} {
		path := filepath.Join(dir, "other.sock")
		l, err := net.Listen("unix", path)
		if err != nil {
			t.Fatal(err)
		}
		go func() {
			conn, err := l.Accept()
			if err != nil {
				return
			}
			defer conn.Close()
			io.ReadAtLeast(conn, make([]byte, 4096), 10)
			fmt.Fprint(conn, answer)
		}()
		if _, err := control.NewClient(path).Status(); err == nil {
			t.Errorf("%s: no error", name)
		} else {
			wantContains(t, name, err.Error(), "the running swellbox")
		}
		l.Close()
	}
}

func wantContains(t testing.TB, what, got string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(got, p) {
			t.Errorf("%s: %q is not in it:\n%s", what, p, got)
		}
	}
}
