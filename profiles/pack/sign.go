package pack

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"aead.dev/minisign"
)

// The two comments of a signature. The trusted one is signed, and says which
// package and version is meant. The other brings the public key along: it proves
// nothing, but a user can be asked about it.
const (
	trustedComment   = "swellbox package "
	untrustedComment = "swellbox package, public key "
)

// TrustedComment is what a signature made with another program has to have as its
// trusted comment.
func TrustedComment(name string, v Version) string { return trustedComment + name + " " + string(v) }

// Sign makes the signature of a package, the file beside it. It is Ed25519 over
// the BLAKE2b-512 hash of the package's file, minisign's default.
func Sign(p *Package, s SecretKey) ([]byte, error) {
	r := minisign.NewReader(bytes.NewReader(p.bytes))
	if _, err := io.Copy(io.Discard, r); err != nil {
		return nil, fmt.Errorf("cannot sign the package: %w", err)
	}
	return r.SignWithComments(s.key, TrustedComment(p.Name, p.Version), untrustedComment+string(s.Public())), nil
}

// Signature is what a signature file says. Until [Signature.Verify] has agreed,
// none of it is true.
type Signature struct {
	KeyID   string
	Key     Key // the key it brings along, "" for none
	Name    string
	Version Version
	text    []byte
}

// ParseSignature reads a signature file.
func ParseSignature(text []byte) (*Signature, error) {
	if len(text) > keyFileLimit {
		return nil, fmt.Errorf("the signature has over %d bytes, which none has", keyFileLimit)
	}
	var m minisign.Signature
	if err := m.UnmarshalText(text); err != nil {
		return nil, errors.New("the signature is damaged, or not of minisign's form")
	}
	s := &Signature{KeyID: formatID(m.KeyID), text: text}
	about, ok := strings.CutPrefix(m.TrustedComment, trustedComment)
	name, version, _ := strings.Cut(about, " ")
	v, err := ParseVersion(version)
	if !ok || CheckName(name) != nil || err != nil {
		return nil, fmt.Errorf("the signature does not say which package it is for; its trusted comment must be %q", TrustedComment("NAME", "VERSION"))
	}
	s.Name, s.Version = name, v
	if brought, ok := strings.CutPrefix(m.UntrustedComment, untrustedComment); ok {
		if s.Key, err = ParseKey(brought); err != nil || s.Key.ID() != s.KeyID {
			return nil, errors.New("the signature brings along a key that it was not made with; get it again from the author")
		}
	}
	return s, nil
}

// Verify checks that the signature was made with that key over those bytes of a
// package's file, and its name and version with it. Signatures over the bytes
// themselves, minisign's older form, count too.
func (s *Signature) Verify(pkg []byte, key Key) error {
	p, err := public(string(key))
	if err != nil {
		return fmt.Errorf("%q is not a public key", shortened(string(key)))
	}
	if key.ID() != s.KeyID {
		return fmt.Errorf("the package is signed with the key %s, not with %s", s.KeyID, key.ID())
	}
	if !minisign.Verify(p, pkg, s.text) {
		return fmt.Errorf("the signature is wrong: the package %s %s was changed after it was signed, or not signed with the key %s; do not use it", s.Name, s.Version, s.KeyID)
	}
	return nil
}

// matches checks that the signature speaks of that package.
func (s *Signature) matches(m *Manifest) error {
	if s.Name != m.Name || s.Version != m.Version {
		return fmt.Errorf("the signature is for the package %s %s, but this is %s %s; do not use it", s.Name, s.Version, m.Name, m.Version)
	}
	return nil
}

// OpenSigned is [Open] of a package that is verified first.
func OpenSigned(pkg []byte, s *Signature, key Key) (*Package, error) {
	if err := s.Verify(pkg, key); err != nil {
		return nil, err
	}
	p, err := Open(pkg)
	if err != nil {
		return nil, err
	}
	if err := s.matches(&p.Manifest); err != nil {
		return nil, err
	}
	return p, nil
}
