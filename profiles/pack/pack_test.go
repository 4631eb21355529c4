package pack

import (
	"archive/tar"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"aead.dev/minisign"
)

// document is a small valid profile.
func document(name string) []byte {
	return fmt.Appendf(nil, "swellbox: 1\nname: %s\nextends: violins\nplayers: 4 # of our hall\n", name)
}

func sources(names ...string) []Source {
	var s []Source
	for _, n := range names {
		s = append(s, Source{n + ".yaml", document(n)})
	}
	return s
}

func about(name, version, author string) Manifest {
	return Manifest{Name: name, Version: Version(version), Author: author, Licence: "CC0-1.0", Notes: "For the small hall.\nTuned in May."}
}

func newPackage(t testing.TB, name, version string) *Package {
	t.Helper()
	p, err := New(about(name, version, "Anna Example"), sources("firsts", "seconds"))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func newKey(t testing.TB) SecretKey {
	t.Helper()
	k, err := NewSecretKey()
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func signed(t testing.TB, p *Package, k SecretKey) []byte {
	t.Helper()
	sig, err := Sign(p, k)
	if err != nil {
		t.Fatal(err)
	}
	return sig
}

// signBytes signs what no package is.
func signBytes(b []byte, name, version string, k SecretKey) []byte {
	return minisign.SignWithComments(k.key, b, TrustedComment(name, Version(version)), untrustedComment+string(k.Public()))
}

// entry is one file of a tar file that need not be a package.
type entry struct {
	header  tar.Header
	content []byte
}

func file(name string, content []byte) entry {
	return entry{tar.Header{Typeflag: tar.TypeReg, Name: name, Mode: 0o644, Size: int64(len(content)), ModTime: time.Unix(0, 0)}, content}
}

func tarOf(t testing.TB, entries ...entry) []byte {
	t.Helper()
	var b bytes.Buffer
	w := tar.NewWriter(&b)
	for _, e := range entries {
		if err := w.WriteHeader(&e.header); err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(e.content); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// manifestOf is a manifest that is true of the entries.
func manifestOf(t testing.TB, name, version string, entries ...entry) entry {
	t.Helper()
	m := about(name, version, "Anna Example")
	m.Form = form
	for _, e := range entries {
		m.Documents = append(m.Documents, Member{e.header.Name, int64(len(e.content)), hash(e.content)})
	}
	b, err := m.encode()
	if err != nil {
		t.Fatal(err)
	}
	return file(manifestFile, b)
}

// wantError checks that err is one sentence that says want.
func wantError(t *testing.T, err error, want string) {
	t.Helper()
	switch {
	case err == nil:
		t.Errorf("no error, want one with %q", want)
	case !strings.Contains(err.Error(), want):
		t.Errorf("the error is %q, want one with %q", err, want)
	case strings.ContainsAny(err.Error(), "\n\r\x1b") || strings.HasSuffix(err.Error(), "."):
		t.Errorf("the error %q is not one plain sentence", err)
	}
}

// tree lists all files under a folder.
func tree(t *testing.T, dir string) []string {
	t.Helper()
	var found []string
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			rel, _ := filepath.Rel(dir, path)
			found = append(found, filepath.ToSlash(rel))
		}
		return err
	})
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	return found
}
