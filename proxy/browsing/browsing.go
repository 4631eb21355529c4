// Package browsing drives a real browser in tests, by a script for Node.js that uses a page as a person would.
package browsing

import (
	"bufio"
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

var (
	//go:embed package.json
	list []byte
	//go:embed package-lock.json
	lock []byte
)

// patience is how long npm may take to fetch, and a browser to do, what a test asks of it: only a hang meets it.
const patience = 5 * time.Minute

// Run runs a script with the folder of its modules, the browser's path and further arguments. What it prints is a line of
// JSON each, with a kind and a text: "wrong" is an error of the test, "done" says that it came to its end, and anything else
// is told, with the input of the script to answer by. The test is skipped where a tool is missing, but where CI is set
// nothing unchecked passes.
func Run(t *testing.T, script string, told func(kind, text string, in io.Writer), args ...string) {
	t.Helper()
	browser := found(t, "chromium")
	found(t, "node")
	found(t, "npm")
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	c := exec.CommandContext(ctx, "node", append([]string{script, modules(t), browser}, args...)...)
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
		case "done":
			done = true
		default:
			told(said.Kind, said.Text, in)
		}
	}
	if err := c.Wait(); err != nil || !done {
		t.Errorf("the script in the browser ended early: %v", err)
	}
}

// found is where a tool is.
func found(t *testing.T, tool string) string {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		missing(t, fmt.Sprintf("there is no %s here; apt-get install chromium nodejs npm, and the page is opened in a browser", tool))
	}
	return path
}

func missing(t *testing.T, complaint string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatal(complaint)
	}
	t.Skip("NOT CHECKED: " + complaint)
}

// modules is the folder in which npm has installed what the lock file pins, kept from one run to the next. Packages are tested
// at the same time: who is ready first puts it in its place whole.
func modules(t *testing.T) string {
	t.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		cache = t.TempDir()
	}
	cache = filepath.Join(cache, "swellbox-test")
	dir := filepath.Join(cache, fmt.Sprintf("browsing-%x", sha256.Sum256(lock))[:25])
	if _, err := os.Stat(dir); err == nil {
		return dir
	}
	if err := os.MkdirAll(cache, 0o755); err != nil {
		t.Fatal(err)
	}
	fresh, err := os.MkdirTemp(cache, "fresh-")
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(fresh)
	for name, b := range map[string][]byte{"package.json": list, "package-lock.json": lock} {
		if err := os.WriteFile(filepath.Join(fresh, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	if out, err := exec.CommandContext(ctx, "npm", "ci", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", fresh).CombinedOutput(); err != nil {
		missing(t, fmt.Sprintf("npm cannot install what drives the browser: %v: %s", err, out))
	}
	if err := os.Rename(fresh, dir); err != nil && !errors.Is(err, os.ErrExist) {
		t.Fatal(err)
	}
	return dir
}
