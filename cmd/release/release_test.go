package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

var packed = []entry{
	{"swellbox", []byte("program"), 0o755},
	{"README.md", []byte("text"), 0o644},
	{"licences/a.b/c/LICENSE", []byte("may be passed on"), 0o644},
}

var then = time.Date(2026, 1, 2, 3, 4, 6, 0, time.UTC)

// However the files come, the archives are the same bytes, and hold them with their modes.
func TestArchivesAreTheSame(t *testing.T) {
	turned := slices.Clone(packed)
	slices.Reverse(turned)
	for name, pack := range map[string]func(string, []entry, time.Time) ([]byte, error){"tar": tarred, "zip": zipped} {
		one, err := pack("folder", packed, then)
		if err != nil {
			t.Fatal(err)
		}
		other, err := pack("folder", turned, then)
		if err != nil || !bytes.Equal(one, other) {
			t.Errorf("%s: the same files in another order make other bytes (%v)", name, err)
		}
	}
	b, _ := tarred("folder", packed, then)
	z, err := gzip.NewReader(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]int64{}
	for r := tar.NewReader(z); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil || !h.ModTime.Equal(then) || h.Uname != "" {
			t.Fatalf("%+v, %v", h, err)
		}
		found[h.Name] = h.Mode
	}
	if len(found) != 3 || found["folder/swellbox"] != 0o755 || found["folder/licences/a.b/c/LICENSE"] != 0o644 {
		t.Errorf("the tar holds %v", found)
	}
	b, _ = zipped("folder", packed, then)
	zr, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil || len(zr.File) != 3 || zr.File[2].Name != "folder/swellbox" || zr.File[2].Mode() != 0o755 {
		t.Errorf("the zip holds %+v, %v", zr.File, err)
	}
}

// What has no licence is not passed on.
func TestLicences(t *testing.T) {
	with, without := t.TempDir(), t.TempDir()
	for path, text := range map[string]string{
		filepath.Join(with, "LICENSE"):       "free",
		filepath.Join(with, "NOTICE.txt"):    "thanks",
		filepath.Join(with, "licensing.go"):  "package with",
		filepath.Join(without, "README.md"):  "nothing said",
		filepath.Join(without, "license.go"): "package without",
	} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, err := licencesOf([]module{{"a.b/c", "v1", with}})
	if err != nil || len(out) != 2 || out[0].name != "licences/a.b/c/LICENSE" || string(out[0].data) != "free" {
		t.Errorf("%v, %v", out, err)
	}
	if _, err := licencesOf([]module{{"a.b/c", "v1", with}, {"a.b/d", "v2", without}}); err == nil || !strings.Contains(err.Error(), "a.b/d v2 has no licence") {
		t.Errorf("a module without a licence: %v", err)
	}
}

// All modules that the program is built from have their licence in the module cache.
func TestEachModuleHasALicence(t *testing.T) {
	t.Chdir("../..")
	all, err := licences()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"licences/gitlab.com/gomidi/midi/v2/LICENSE", "licences/go/LICENSE"} {
		if !slices.ContainsFunc(all, func(e entry) bool { return e.name == want }) {
			t.Errorf("%s is not among the licences", want)
		}
	}
}

// The places are those of Debian's policy and of the shells' own pages.
func TestPlaced(t *testing.T) {
	for name, want := range map[string]string{
		"swellbox":                  "usr/bin/swellbox",
		"man/swellbox-render.1":     "usr/share/man/man1/swellbox-render.1.gz",
		"completions/swellbox.bash": "usr/share/bash-completion/completions/swellbox",
		"LICENSE":                   "usr/share/doc/swellbox/copyright",
		"demo/raw.mid":              "usr/share/doc/swellbox/demo/raw.mid",
	} {
		if got := placed(name); got != want {
			t.Errorf("%s goes to %s, want %s", name, got, want)
		}
	}
	if got := debianVersion("1.2.0-3-gabc"); got != "1.2.0+3+gabc" {
		t.Errorf("Debian's version is %s", got)
	}
}

// The bill of this very test lists what it was built from; checked by the words that SPDX 2.3 requires
// of a document (its clauses 6 and 7).
func TestBill(t *testing.T) {
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	program, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	v := version{"1.0", "abc", then}
	b, err := v.bill(targets[0], program)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`"spdxVersion": "SPDX-2.3"`, `"dataLicense": "CC0-1.0"`, `"SPDXID": "SPDXRef-DOCUMENT"`, `"documentNamespace": "urn:`, `"created": "2026-01-02T03:04:06Z"`,
		`"relationshipType": "DESCRIBES"`, `pkg:golang/aead.dev/minisign@v`, `"downloadLocation": "NOASSERTION"`,
	} {
		if !strings.Contains(string(b), want) {
			t.Errorf("the bill lacks %s", want)
		}
	}
	if again, _ := v.bill(targets[0], program); !bytes.Equal(b, again) {
		t.Error("a second bill of the same program differs")
	}
	if _, err := v.bill(targets[0], []byte("no program")); err == nil {
		t.Error("a bill of what is no program was written")
	}
}
