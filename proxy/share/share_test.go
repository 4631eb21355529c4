package share

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"aead.dev/minisign"

	"swellbox/profiles/pack"
)

// house is one user: a folder, and a key.
type house struct {
	home string
	key  pack.SecretKey
	raw  minisign.PrivateKey // the same, to sign what pack does not
}

func newHouse(t *testing.T) *house {
	t.Helper()
	_, raw, err := minisign.GenerateKey(nil)
	if err != nil {
		t.Fatal(err)
	}
	text, err := raw.MarshalText()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "secret.key")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	k, err := pack.ReadSecretKey(file, nil)
	if err != nil {
		t.Fatal(err)
	}
	return &house{filepath.Join(dir, "home"), k, raw}
}

// newPackage has one document of about size bytes.
func newPackage(t *testing.T, name, version, author string, size int) *pack.Package {
	t.Helper()
	doc := fmt.Sprintf("swellbox: 1\nname: firsts\nextends: violins\nplayers: 4\n%s", strings.Repeat("# what was tried, and how it sounded\n", size/36))
	p, err := pack.New(
		pack.Manifest{Name: name, Version: pack.Version(version), Author: author, Licence: "CC0-1.0"},
		[]pack.Source{{File: "firsts.yaml", Content: []byte(doc)}},
	)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func (h *house) sign(t *testing.T, p *pack.Package) []byte {
	t.Helper()
	sig, err := pack.Sign(p, h.key)
	if err != nil {
		t.Fatal(err)
	}
	return sig
}

// install signs a package and installs it, so that it is given away.
func (h *house) install(t *testing.T, p *pack.Package) {
	t.Helper()
	if _, err := pack.Install(h.home, p.Bytes(), h.sign(t, p), pack.Options{Trust: h.key.Public()}); err != nil {
		t.Fatal(err)
	}
}

// serve gives away what the house has, on an address of its own, and returns it.
func (h *house) serve(t *testing.T, ip string) string {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	address, done := make(chan string, 1), make(chan error, 1)
	go func() {
		done <- Serve(ctx, h.home, ip+":0", func(a net.Addr) { address <- a.String() })
	}()
	t.Cleanup(func() {
		cancel()
		if err := <-done; err != nil {
			t.Error(err)
		}
	})
	select {
	case a := <-address:
		return a
	case err := <-done:
		done <- nil
		if runtime.GOOS != "linux" && ip != "127.0.0.1" {
			t.Skipf("this system has no address %s: %v", ip, err)
		}
		t.Fatal(err)
	}
	return ""
}

func yes(pack.Question) (bool, error) { return true, nil }

func wantError(t *testing.T, err error, want string) {
	t.Helper()
	switch {
	case err == nil:
		t.Errorf("no error, want one with %q", want)
	case !strings.Contains(err.Error(), want):
		t.Errorf("the error is %q, want one with %q", err, want)
	case strings.ContainsAny(err.Error(), "\n\r\x1b"):
		t.Errorf("the error %q is not one line", err)
	}
}

// wantNothing checks that nothing is installed, trusted or kept.
func wantNothing(t *testing.T, home string) {
	t.Helper()
	err := filepath.WalkDir(home, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			t.Errorf("there is %s", path)
		}
		return err
	})
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
}

func wantInstalled(t *testing.T, home string, p *pack.Package) {
	t.Helper()
	got, _, err := pack.Kept(home, p.Name, p.Version)
	if err != nil || !bytes.Equal(got, p.Bytes()) {
		t.Errorf("%s %s is not installed: %v", p.Name, p.Version, err)
	}
}
