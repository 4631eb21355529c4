package main

import (
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The page of the built-in score takes what is adjusted, and saves it as a version of one's own,
// with a note; all without a device.
func TestConsole(t *testing.T) {
	d := atDesktop(t)
	home := filepath.Join(t.TempDir(), "home")
	r := d.start("console", "--console-port", "0", "--home", home)
	_, line, ok := strings.Cut(r.out.String(), "page:     ")
	address, token, _ := strings.Cut(strings.Fields(line)[0], "/#")
	if !ok || !strings.HasPrefix(address, "http://127.0.0.1:") || len(token) < 26 {
		t.Fatalf("printed %q", r.out.String())
	}
	ask := func(body string) (told struct{ Changes []string }) {
		t.Helper()
		req, err := http.NewRequestWithContext(t.Context(), "POST", address+"/api/adjust", strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		req.Header = http.Header{"Authorization": {"Bearer " + token}, "Content-Type": {"application/json"}}
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		if err := json.NewDecoder(resp.Body).Decode(&told); err != nil || resp.StatusCode != 200 {
			t.Fatalf("%s: %s, %v", body, resp.Status, err)
		}
		return told
	}
	if told := ask(`{"name":"cellos","do":"amount","key":"vibrato","amount":0.5}`); len(told.Changes) != 1 || !strings.Contains(told.Changes[0], "vibrato 1 → 0.5") {
		t.Errorf("%q", told.Changes)
	}
	if _, err := os.Stat(filepath.Join(home, "profiles", "cellos.yaml")); err == nil {
		t.Error("it is written before it is saved")
	}
	ask(`{"name":"cellos","do":"save","note":"for the quiet ending"}`)
	b, err := os.ReadFile(filepath.Join(home, "profiles", "cellos.yaml"))
	if err != nil || !strings.Contains(string(b), "amount: 0.5") {
		t.Errorf("%s, %v", b, err)
	}
	if out := d.must("profile", "history", "cellos", "--home", home); !strings.Contains(out, "for the quiet ending") {
		t.Errorf("the history is\n%s", out)
	}
	r.cancel()
	if status := r.end(); status != statusDone {
		t.Errorf("ended with %d: %s", status, r.errs)
	}
}
