package console_test

import (
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swellbox/proxy/console"
)

// Whoever another site sends is refused, whatever they know; so is who knows no token. Nothing is
// done for any of them.
func TestRefuses(t *testing.T) {
	r := start(t, nil)
	header := func(name, value string) func(*http.Request) {
		return func(req *http.Request) { req.Header.Set(name, value) }
	}
	host := func(name string) func(*http.Request) { return func(req *http.Request) { req.Host = name } }
	port := r.base[strings.LastIndex(r.base, ":"):]
	const raw = `{"side":"raw","parts":[]}`
	for name, c := range map[string]struct {
		method, path, body string
		change             func(*http.Request)
		code               int
	}{
		"a name that points here":         {"POST", "/api/switch", raw, host("evil.example" + port), 421},
		"a name that begins as ours":      {"POST", "/api/switch", raw, host("127.0.0.1.evil.example" + port), 421},
		"another port":                    {"POST", "/api/switch", raw, host("127.0.0.1:1"), 421},
		"no port":                         {"POST", "/api/switch", raw, host("127.0.0.1"), 421},
		"the page by another name":        {"GET", "/", "", host("evil.example" + port), 421},
		"another site":                    {"POST", "/api/switch", raw, header("Origin", "https://evil.example"), 403},
		"no site at all":                  {"POST", "/api/switch", raw, header("Origin", "null"), 403},
		"another port's site":             {"POST", "/api/switch", raw, header("Origin", "http://127.0.0.1:1"), 403},
		"our address by another scheme":   {"POST", "/api/switch", raw, header("Origin", strings.Replace(r.base, "http:", "https:", 1)), 403},
		"a form on another site":          {"POST", "/api/switch", raw, header("Sec-Fetch-Site", "cross-site"), 403},
		"another program on this host":    {"POST", "/api/switch", raw, header("Sec-Fetch-Site", "same-site"), 403},
		"a stream from another site":      {"GET", "/api/stream", "", header("Origin", "https://evil.example"), 403},
		"a preflight":                     {"OPTIONS", "/api/switch", "", header("Origin", "https://evil.example"), 403},
		"a preflight of our own":          {"OPTIONS", "/api/switch", "", nil, 404},
		"no token":                        {"POST", "/api/switch", raw, header("Authorization", ""), 401},
		"a stream without a token":        {"GET", "/api/stream", "", header("Authorization", ""), 401},
		"the token in the address":        {"GET", "/api/stream?token=" + r.token, "", header("Authorization", ""), 401},
		"a wrong token":                   {"POST", "/api/enter", "{}", header("Authorization", "Bearer "+strings.Repeat("A", len(r.token))), 401},
		"an empty token":                  {"POST", "/api/enter", "{}", header("Authorization", "Bearer "), 401},
		"half of the token":               {"POST", "/api/enter", "{}", header("Authorization", "Bearer "+r.token[:10]), 401},
		"a form":                          {"POST", "/api/switch", "side=raw", header("Content-Type", "application/x-www-form-urlencoded"), 415},
		"a form's plain text":             {"POST", "/api/switch", raw, header("Content-Type", "text/plain"), 415},
		"nonsense":                        {"POST", "/api/switch", "nonsense", nil, 400},
		"nothing":                         {"POST", "/api/switch", "", nil, 400},
		"unknown keys":                    {"POST", "/api/switch", `{"side":"raw","part":"x"}`, nil, 400},
		"two requests":                    {"POST", "/api/switch", raw + raw, nil, 400},
		"too long":                        {"POST", "/api/switch", `{"side":"raw","parts":["` + strings.Repeat("a", 1<<16) + `"]}`, nil, 400},
		"too long behind its end":         {"POST", "/api/switch", raw + strings.Repeat(" ", 1<<16), nil, 400},
		"deep":                            {"POST", "/api/switch", strings.Repeat("[", 60000), nil, 400},
		"no side":                         {"POST", "/api/switch", `{"side":"loud"}`, nil, 409},
		"nobody's part":                   {"POST", "/api/switch", `{"side":"raw","parts":["Serpent"]}`, nil, 409},
		"a row that is not there":         {"POST", "/api/listener", `{"room":"large","row":51}`, nil, 409},
		"a seat off the stage":            {"POST", "/api/seat", `{"part":0,"x":99,"y":1}`, nil, 409},
		"a seat of nobody":                {"POST", "/api/seat", `{"part":-1,"x":1,"y":1}`, nil, 409},
		"a room that is not there":        {"POST", "/api/listener", `{"room":"x, row: 1} #","row":1}`, nil, 409},
		"a long delay":                    {"POST", "/api/lookahead", `{"ms":100000}`, nil, 409},
		"a blind test that has not begun": {"POST", "/api/blind", `{"do":"answer","what":"a"}`, nil, 409},
		"a GET of what acts":              {"GET", "/api/panic", "", nil, 404},
		"a folder up":                     {"GET", "/../console.go", "", nil, 404},
		"a folder up, written otherwise":  {"GET", "/%2e%2e/console.go", "", nil, 404},
		"two folders up":                  {"GET", "/..%2f..%2fgo.mod", "", nil, 404},
		"a file by its whole path":        {"GET", "//etc/passwd", "", nil, 404},
		"a backslash":                     {"GET", "/..%5cconsole.go", "", nil, 404},
		"a zero":                          {"GET", "/main.js%00.css", "", nil, 404},
		"the folder":                      {"GET", "/page/", "", nil, 404},
	} {
		code, answer := r.ask(c.method, c.path, c.body, c.change)
		if code == http.StatusMovedPermanently || code == http.StatusTemporaryRedirect { // of a path that is not clean, to one that is not there
			code = http.StatusNotFound
		}
		if code != c.code || strings.Contains(answer, "root:") || strings.Contains(answer, "package console") {
			t.Errorf("%s: %d %.200q, want %d", name, code, answer, c.code)
		}
	}
	if s := r.d.Status(); s.Side != "shaped" {
		t.Errorf("all of it was refused, and %s sounds", s.Side)
	}
	r.do("switch", raw)
	if s := r.d.Status(); s.Side != "raw" {
		t.Errorf("%s sounds, want raw", s.Side)
	}
}

// Who has sent half a request, or reads nothing, or opens too many streams, delays nobody else; and
// closing waits for none of them.
func TestSlowPages(t *testing.T) {
	r := start(t, nil)
	r.play()
	addr := strings.TrimPrefix(r.base, "http://")
	for range 20 {
		for _, begun := range []string{"GET / HT", "POST /api/switch HTTP/1.1\r\nHost: " + addr + "\r\nAuthorization: Bearer " + r.token + "\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{"} {
			conn, err := net.Dial("tcp", addr)
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { conn.Close() })
			if _, err := io.WriteString(conn, begun); err != nil {
				t.Fatal(err)
			}
		}
	}
	for range 50 {
		r.read() // and reads no more
	}
	p := r.read()
	seen := until(p, "now", func(n *console.Now) bool { return n.Bar > 0 && len(n.Parts) > 10 })
	until(p, "now", func(n *console.Now) bool { return n.AtS > seen.AtS+0.5 })
	for range 64 - 51 {
		r.read()
	}
	if code, answer := r.ask("GET", "/api/stream", "", nil); code != http.StatusServiceUnavailable || !strings.Contains(answer, "too many pages") {
		t.Errorf("one more page: %d %s", code, answer)
	}
	r.do("switch", `{"side":"raw","parts":[]}`)
	p.body.Close()
}

// What a page was given for the token lets it in after a restart, when there is another
// token; it lies where only its owner can read it.
func TestPassOutlivesRestart(t *testing.T) {
	file := filepath.Join(t.TempDir(), "run", "console.pass")
	keep := func(c *console.Config) { c.PassFile = file }
	first := start(t, keep)
	code, said := first.ask("POST", "/api/enter", "{}", nil)
	pass := strings.Split(said, `"`)
	if code != http.StatusOK || len(pass) != 5 || len(pass[3]) < 26 {
		t.Fatalf("%d %s", code, said)
	}
	if info, err := os.Stat(file); err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	second := start(t, keep)
	if second.token == first.token {
		t.Error("both starts have one token")
	}
	if code, _ := second.ask("POST", "/api/panic", "{}", func(r *http.Request) { r.Header.Set("Authorization", "Bearer "+first.token) }); code != http.StatusUnauthorized {
		t.Errorf("the token of another start: %d", code)
	}
	if code, _ := second.ask("POST", "/api/panic", "{}", func(r *http.Request) { r.Header.Set("Authorization", "Bearer "+pass[3]) }); code != http.StatusOK {
		t.Errorf("the pass after a restart: %d", code)
	}
}

// The page answers on the loopback alone.
func TestLoopbackOnly(t *testing.T) {
	r := start(t, nil)
	if !strings.HasPrefix(r.base, "http://127.0.0.1:") {
		t.Errorf("the page is at %s", r.base)
	}
	all, err := net.InterfaceAddrs()
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range all {
		ip, _, _ := net.ParseCIDR(a.String())
		if ip == nil || ip.IsLoopback() || ip.To4() == nil {
			continue
		}
		if conn, err := net.Dial("tcp", ip.String()+r.base[strings.LastIndex(r.base, ":"):]); err == nil {
			conn.Close()
			t.Errorf("it answers on %s", ip)
		}
	}
}
