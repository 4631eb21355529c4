package pack

import (
	"bytes"
	"encoding/base64"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"aead.dev/minisign"
)

func TestOpenSigned(t *testing.T) {
	k, p := newKey(t), newPackage(t, "small-hall", "1.2.0")
	s, err := ParseSignature(signed(t, p, k))
	if err != nil {
		t.Fatal(err)
	}
	if s.Name != "small-hall" || s.Version != "1.2.0" || s.Key != k.Public() || s.KeyID != k.Public().ID() {
		t.Errorf("the signature says %+v", s)
	}
	q, err := OpenSigned(p.Bytes(), s, k.Public())
	if err != nil {
		t.Fatal(err)
	}
	if q.SHA256() != p.SHA256() {
		t.Error("another package was opened")
	}
}

func TestManyChangedBytes(t *testing.T) {
	k, p := newKey(t), newPackage(t, "small-hall", "1.2.0")
	sig := signed(t, p, k)
	s, err := ParseSignature(sig)
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.Bytes() {
		b := slices.Clone(p.Bytes())
		b[i] ^= 1
		if _, err := OpenSigned(b, s, k.Public()); err == nil {
			t.Fatalf("byte %d of the package was changed, and it opens", i)
		}
	}
	var want, got minisign.Signature
	if err := want.UnmarshalText(sig); err != nil {
		t.Fatal(err)
	}
	first := bytes.IndexByte(sig, '\n') // before it stands what is not signed
	for i := first + 1; i < len(sig)-1; i++ {
		b := slices.Clone(sig)
		b[i] ^= 1
		s, err := ParseSignature(b)
		if err != nil || got.UnmarshalText(b) == nil && got.Equal(want) { // bits that base64 leaves unused
			continue
		}
		if _, err := OpenSigned(p.Bytes(), s, k.Public()); err == nil {
			t.Fatalf("byte %d of the signature was changed to %q, and it holds", i, b[i])
		}
	}
}

func TestParseSignatureRefuses(t *testing.T) {
	k, other, p := newKey(t), newKey(t), newPackage(t, "small-hall", "1.2.0")
	sig := string(signed(t, p, k))
	comment := func(trusted, untrusted string) string {
		return string(minisign.SignWithComments(k.key, p.Bytes(), trusted, untrusted))
	}
	for name, c := range map[string]struct{ text, want string }{
		"empty":           {"", "damaged"},
		"cut":             {sig[:len(sig)/2], "damaged"},
		"large":           {sig + strings.Repeat("a", keyFileLimit), "which none has"},
		"other comment":   {comment("timestamp:1", ""), `its trusted comment must be "swellbox package NAME VERSION"`},
		"no version":      {comment("swellbox package small-hall", ""), "its trusted comment must be"},
		"name of a path":  {comment("swellbox package ../x 1.0.0", ""), "its trusted comment must be"},
		"another's key":   {strings.Replace(sig, string(k.Public()), string(other.Public()), 1), "a key that it was not made with"},
		"damaged key":     {strings.Replace(sig, string(k.Public()), "RW", 1), "a key that it was not made with"},
		"package, no sig": {string(p.Bytes()[:2000]), "damaged"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := ParseSignature([]byte(c.text))
			wantError(t, err, c.want)
		})
	}
}

func TestParseKey(t *testing.T) {
	k := newKey(t).Public()
	for _, text := range []string{string(k), string(k) + "\n", string(k.Text()), "untrusted comment: x\r\n" + string(k) + "\r\n"} {
		if got, err := ParseKey(text); err != nil || got != k {
			t.Errorf("%q is read as %q, %v", text, got, err)
		}
	}
	raw, _ := base64.StdEncoding.DecodeString(string(k))
	for _, text := range []string{"", "RW", string(k)[:40], string(k) + "AAAA", base64.StdEncoding.EncodeToString(append([]byte("XX"), raw[2:]...))} {
		if got, err := ParseKey(text); err == nil {
			t.Errorf("%q is taken for the key %s", text, got)
		}
	}
}

// The password of a key costs a guess what minisign makes it cost: 1 GiB of memory.
func TestManyRoundsOfAPassword(t *testing.T) {
	if testing.Short() {
		t.Skip("takes 1 GiB of memory three times over")
	}
	k := newKey(t)
	if _, err := k.Seal(""); err == nil {
		t.Error("a key was kept under an empty password")
	}
	b, err := k.Seal("a long walk")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "k.key")
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(b, []byte("untrusted comment: minisign encrypted secret key\n")) || bytes.Contains(b, []byte("AAAAAAAAAAAAAAAA")) {
		t.Errorf("the key is not encrypted: %q", b)
	}
	back, err := ReadSecretKey(path, func() (string, error) { return "a long walk", nil })
	if err != nil || back.Public() != k.Public() || !back.key.Equal(k.key) {
		t.Errorf("the key came back as %v, %v", back.Public(), err)
	}
	_, err = ReadSecretKey(path, func() (string, error) { return "a short walk", nil })
	wantError(t, err, "the password does not open")

	needMinisign(t) // which opens our key with the password too
	dir := filepath.Dir(path)
	write(t, dir, "m", []byte("message"))
	c := exec.Command("minisign", "-S", "-s", path, "-m", "m")
	c.Dir, c.Stdin = dir, strings.NewReader("a long walk\n")
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("minisign does not open the key: %v\n%s", err, out)
	}
	write(t, dir, "k.pub", k.Public().Text())
	if out, err := run(t, dir, "minisign", "-V", "-p", "k.pub", "-m", "m"); err != nil {
		t.Errorf("what minisign signs with the key is not verified: %v\n%s", err, out)
	}
}

func TestReadSecretKeyRefusesWhatIsNone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "k.key")
	if err := os.WriteFile(path, newKey(t).Public().Text(), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := ReadSecretKey(path, nil)
	wantError(t, err, "is not a secret key")
}

// needMinisign looks for the independent implementation, which CI must have.
func needMinisign(t *testing.T) {
	t.Helper()
	_, err := exec.LookPath("minisign")
	if err != nil && os.Getenv("CI") != "" {
		t.Fatal("minisign is missing, and CI is set: .ci/deps test installs it")
	}
	if err != nil {
		t.Skip("MINISIGN IS MISSING: nothing was checked against another implementation; .ci/deps test installs it")
	}
}

func run(t *testing.T, dir, name string, args ...string) (string, error) {
	t.Helper()
	c := exec.Command(name, args...)
	c.Dir = dir
	out, err := c.CombinedOutput()
	return string(out), err
}

func write(t *testing.T, dir, name string, b []byte) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), b, 0o600); err != nil {
		t.Fatal(err)
	}
}

// Debian's minisign verifies what we sign, and what it signs we verify, in its
// default form and in the older one.
func TestMinisignBothWays(t *testing.T) {
	needMinisign(t)
	dir := t.TempDir()
	k, p := newKey(t), newPackage(t, "small-hall", "1.2.0")
	write(t, dir, "ours.pub", k.Public().Text())
	write(t, dir, "p.tar", p.Bytes())
	write(t, dir, "p.tar.minisig", signed(t, p, k))
	out, err := run(t, dir, "minisign", "-V", "-p", "ours.pub", "-m", "p.tar")
	if err != nil || !strings.Contains(out, "Trusted comment: swellbox package small-hall 1.2.0") {
		t.Errorf("minisign does not verify our signature: %v\n%s", err, out)
	}
	write(t, dir, "changed.tar", append(slices.Clone(p.Bytes()), 0))
	write(t, dir, "changed.tar.minisig", signed(t, p, k))
	if out, err := run(t, dir, "minisign", "-V", "-p", "ours.pub", "-m", "changed.tar"); err == nil {
		t.Errorf("minisign verifies a changed package: %s", out)
	}

	if out, err := run(t, dir, "minisign", "-G", "-W", "-p", "theirs.pub", "-s", "theirs.key"); err != nil {
		t.Fatalf("minisign makes no key: %v\n%s", err, out)
	}
	theirs, err := ReadKeyFile(filepath.Join(dir, "theirs.pub"))
	if err != nil {
		t.Fatal(err)
	}
	secret, err := ReadSecretKey(filepath.Join(dir, "theirs.key"), nil)
	if err != nil || secret.Public() != theirs {
		t.Fatalf("their secret key is read as %s, want %s; %v", secret.Public(), theirs, err)
	}
	for name, form := range map[string][]string{"hashed": nil, "legacy": {"-l"}} {
		t.Run(name, func(t *testing.T) {
			args := append(form, "-S", "-s", "theirs.key", "-m", "p.tar", "-x", name, "-t", TrustedComment("small-hall", "1.2.0"))
			if out, err := run(t, dir, "minisign", args...); err != nil {
				t.Fatalf("minisign does not sign: %v\n%s", err, out)
			}
			sig, err := os.ReadFile(filepath.Join(dir, name))
			if err != nil {
				t.Fatal(err)
			}
			s, err := ParseSignature(sig)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := OpenSigned(p.Bytes(), s, theirs); err != nil {
				t.Error(err)
			}
			wantError(t, s.Verify(p.Bytes()[1:], theirs), "the signature is wrong")
			wantError(t, s.Verify(p.Bytes(), k.Public()), "not with "+k.Public().ID())
		})
	}
}

// signify's form is minisign's older one without the second comment, so its
// program verifies the first half of such a signature, and we need not trust one
// library and its author alone.
func TestSignifyVerifies(t *testing.T) {
	if _, err := exec.LookPath("signify-openbsd"); err != nil {
		t.Skip("signify-openbsd is missing; minisign checks more")
	}
	dir := t.TempDir()
	k, p := newKey(t), newPackage(t, "small-hall", "1.2.0")
	write(t, dir, "ours.pub", k.Public().Text())
	lines := strings.SplitAfter(string(signBytes(p.Bytes(), "small-hall", "1.2.0", k)), "\n")
	write(t, dir, "p.sig", []byte(lines[0]+lines[1]))
	write(t, dir, "p.tar", p.Bytes())
	if out, err := run(t, dir, "signify-openbsd", "-V", "-p", "ours.pub", "-x", "p.sig", "-m", "p.tar"); err != nil {
		t.Errorf("signify does not verify our signature: %v\n%s", err, out)
	}
	write(t, dir, "p.tar", append(slices.Clone(p.Bytes()), 0))
	if out, err := run(t, dir, "signify-openbsd", "-V", "-p", "ours.pub", "-x", "p.sig", "-m", "p.tar"); err == nil {
		t.Errorf("signify verifies a changed package: %s", out)
	}
}
