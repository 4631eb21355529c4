package pack

import (
	"bytes"
	"testing"
)

// Whatever bytes are opened, they are refused with one sentence, or are exactly
// those that packing the same documents gives: a package says one thing only.
func FuzzOpen(f *testing.F) {
	seeds := hostile(f)
	if len(seeds) == 0 {
		f.Fatal("no seeds")
	}
	for _, c := range seeds {
		if len(c.pkg) < 1<<16 { // larger ones would only slow it down
			f.Add(c.pkg)
		}
	}
	f.Add(newPackage(f, "small-hall", "1.0.0").Bytes())
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := Open(b)
		if err != nil {
			if p != nil || err.Error() == "" {
				t.Errorf("refused with %v, and a package: %t", err, p != nil)
			}
			return
		}
		var again []Source
		for file, content := range p.documents {
			again = append(again, Source{file, content})
		}
		q, err := New(p.Manifest, again)
		if err != nil {
			t.Fatalf("what was opened cannot be packed: %v", err)
		}
		if !bytes.Equal(q.Bytes(), b) {
			t.Error("two files are one package")
		}
	})
}

// A manifest that is read is written as the same bytes.
func FuzzManifest(f *testing.F) {
	b, err := newPackage(f, "small-hall", "1.0.0").Manifest.encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	for _, old := range []string{`"name"`, `1`, `"documents"`, `"small-hall"`, `"1.0.0"`} {
		if !bytes.Contains(b, []byte(old)) {
			f.Fatalf("the seed has no %s", old)
		}
		f.Add(bytes.Replace(b, []byte(old), []byte(`"NAME"`), 1))
		f.Add(bytes.Replace(b, []byte(old), []byte(`[{}]`), 1))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := decodeManifest(b)
		if err != nil {
			return
		}
		again, err := m.encode()
		if err != nil || !bytes.Equal(again, b) {
			t.Errorf("%q is written as %q, %v", b, again, err)
		}
		if CheckName(m.Name) != nil || !printable(m.Author) || len(m.Documents) == 0 {
			t.Errorf("%+v was taken", m)
		}
	})
}

// A signature that nobody made is not one, whatever the bytes.
func FuzzSignature(f *testing.F) {
	p, k := newPackage(f, "small-hall", "1.0.0"), newKey(f)
	sig := signed(f, p, newKey(f)) // another key's
	f.Add(sig)
	f.Add(bytes.ReplaceAll(sig, []byte("\n"), []byte("\r\n")))
	f.Fuzz(func(t *testing.T, b []byte) {
		s, err := ParseSignature(b)
		if err != nil {
			return
		}
		if s.Verify(p.Bytes(), k.Public()) == nil {
			t.Errorf("%q verifies", b)
		}
		if CheckName(s.Name) != nil || s.Key != "" && s.Key.ID() != s.KeyID {
			t.Errorf("%+v was taken", s)
		}
	})
}
