package console_test

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"swellbox/proxy/console"
)

// patience is how long npm may take to fetch, and a browser to do, what the test asks of it.
const patience = 5 * time.Minute

// modules is the folder in which npm has installed what the lock file pins, kept from one run to the next.
func modules(t *testing.T) string {
	t.Helper()
	lock, err := os.ReadFile("testdata/browser/package-lock.json")
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "console")
	if cache, err := os.UserCacheDir(); err == nil {
		dir = filepath.Join(cache, "swellbox-test", fmt.Sprintf("console-%x", sha256.Sum256(lock))[:24])
	}
	whole := filepath.Join(dir, "whole") // written when all is there
	if _, err := os.Stat(whole); err == nil {
		return dir
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"package.json", "package-lock.json"} {
		b, err := os.ReadFile(filepath.Join("testdata/browser", name))
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name), b, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	ctx, cancel := context.WithTimeout(t.Context(), patience) // only a hang meets it
	defer cancel()
	if out, err := exec.CommandContext(ctx, "npm", "ci", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", dir).CombinedOutput(); err != nil {
		missing(t, fmt.Sprintf("npm cannot install what drives the browser: %v: %s", err, out))
	}
	if err := os.WriteFile(whole, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// missing skips the test, but where CI is set nothing unchecked passes.
func missing(t *testing.T, complaint string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatal(complaint)
	}
	t.Skip("NOT CHECKED: " + complaint)
}

// A person uses the page in a browser while the built-in score plays: by keys alone, on a wide screen
// and on a phone, in light and in dark, over a restart of the daemon; a checker of what is fit for
// everybody has nothing against it; and another site gets nowhere. SWELLBOX_PICTURES names a
// folder for pictures of what was seen.
func TestInTheBrowser(t *testing.T) {
	browser, err := exec.LookPath("chromium")
	if err != nil {
		missing(t, "there is no chromium here; apt-get install chromium, and the page is opened in it")
	}
	for _, tool := range []string{"node", "npm"} {
		if _, err := exec.LookPath(tool); err != nil { // node, npm
			missing(t, "there is no "+tool+" here; apt-get install nodejs npm")
		}
	}
	dir := modules(t)
	pass := filepath.Join(t.TempDir(), "console.pass")
	var stop func()
	var port int
	var shops []*workshop
	begin := func() (address string) {
		t.Helper()
		r := start(t, func(c *console.Config) { c.PassFile, c.Port = pass, port })
		end := r.play()
		shops = append(shops, r.shop)
		stop = func() { end(); r.end() }
		u, err := url.Parse(r.base)
		if err == nil {
			port, err = strconv.Atoi(u.Port())
		}
		if err != nil {
			t.Fatal(err)
		}
		return r.c.Address()
	}
	ctx, cancel := context.WithTimeout(t.Context(), patience) // only a hang meets it
	defer cancel()
	c := exec.CommandContext(ctx, "node", "testdata/browser/page.mjs", dir, browser, begin(), os.Getenv("SWELLBOX_PICTURES"))
	in, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	c.Stderr = os.Stderr
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	done := false
	for lines := bufio.NewScanner(out); lines.Scan(); {
		var said struct{ Kind, Text string }
		if err := json.Unmarshal(lines.Bytes(), &said); err != nil {
			t.Fatalf("%s: %v", lines.Bytes(), err)
		}
		switch said.Kind {
		case "wrong":
			t.Error(said.Text)
		case "restart":
			stop()
		case "down":
			io.WriteString(in, begin()+"\n") // an error here is a script that has failed, and says so
		case "done":
			done = true
		}
	}
	if err := c.Wait(); err != nil || !done {
		t.Errorf("the script in the browser ended early: %v", err)
	}
	if notes := shops[0].notes; !slices.Equal(notes, []string{"softer in the middle"}) {
		t.Errorf("saved with the notes %q", notes)
	}
}
