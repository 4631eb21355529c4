package profile

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"aead.dev/minisign"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/profiles/pack"
)

func TestReadPassword(t *testing.T) {
	for text, want := range map[string]string{"a long walk\nmore": "a long walk", "a\r\n": "a", " a ": " a ", "": ""} {
		if got, err := readPassword(strings.NewReader(text), "-"); err != nil || got != want {
			t.Errorf("%q is read as %q, %v", text, got, err)
		}
	}
	if _, err := readPassword(strings.NewReader(strings.Repeat("a", passwordLimit+1)), "-"); err == nil {
		t.Error("an endless password was read")
	}
}

func TestOwnKeyIsClosedToOthers(t *testing.T) {
	_, secret, err := minisign.GenerateKey(nil)
	if err != nil {
		t.Fatal(err)
	}
	text, err := secret.MarshalText()
	if err != nil {
		t.Fatal(err)
	}
	home := filepath.Join(t.TempDir(), "swellbox")
	p := &program.Program{Output: tell.Output{Out: io.Discard}, Settings: settings.Settings{Home: home}}
	if err := keepKey(p, pack.Key(secret.Public().(minisign.PublicKey).String()), text); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(filepath.Join(home, "swellbox.key"))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the secret key is %v, %v", info.Mode(), err)
	}
}
