package seqtest

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"strings"
	"testing"
)

// packed is what init.sh would send for one file.
func packed(t *testing.T, name string, data []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	a := tar.NewWriter(z)
	if err := a.WriteHeader(&tar.Header{Name: name, Mode: 0o644, Size: int64(len(data))}); err != nil {
		t.Fatal(err)
	}
	for _, f := range []func() error{
		func() error { _, err := a.Write(data); return err }, a.Close, z.Close,
	} {
		if err := f(); err != nil {
			t.Fatal(err)
		}
	}
	return b.Bytes()
}

// limit is one that these tests can meet in no time, and noise keeps.
const limit = 200_000

func sent(body []byte) []byte {
	return append(fmt.Appendf(nil, "seqtest %d %x\n", len(body), sha256.Sum256(body)), body...)
}

func TestUnpack(t *testing.T) {
	data := noise()
	files, err := unpack(sent(packed(t, "./a/out/b", data)), limit)
	if err != nil || len(files) != 1 || !bytes.Equal(files["a/out/b"], data) {
		t.Errorf("%d files, error %v", len(files), err)
	}
}

func TestUnpackRefuses(t *testing.T) {
	whole := sent(packed(t, "a", noise()))
	flipped := bytes.Clone(whole)
	flipped[len(flipped)/2] ^= 1
	huge := packed(t, "a", make([]byte, limit+1))
	for name, c := range map[string]struct {
		sent []byte
		want string
	}{
		"nothing":       {nil, "instead of their length"},
		"no line":       {[]byte("seqtest 0 e3b0"), "instead of their length"},
		"other line":    {[]byte("Kernel panic\n"), `begin with "Kernel panic"`},
		"cut":           {whole[:len(whole)-1], "bytes of results arrived"},
		"too long":      {append(bytes.Clone(whole), 0), "bytes of results arrived"},
		"flipped bit":   {flipped, "damaged"},
		"not packed":    {sent([]byte("plain text")), "results: gzip"},
		"cut when sent": {sent(packed(t, "a", noise())[:1000]), "unexpected EOF"},
		"past limit":    {sent(huge), "more than"},
	} {
		if _, err := unpack(c.sent, limit); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", name, err, c.want)
		}
	}
}

func TestUnpackAtLimit(t *testing.T) {
	files, err := unpack(sent(packed(t, "a", make([]byte, limit))), limit)
	if err != nil || len(files["a"]) != limit {
		t.Errorf("%d bytes, error %v; want the limit itself to pass", len(files["a"]), err)
	}
}
