package profiles

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
)

// Origin is where a document comes from. The zero value is of a document that was
// parsed and not yet said to come from anywhere.
type Origin struct {
	Kind  OriginKind `json:"kind"`
	Label string     `json:"label,omitempty"` // for people: the folder, or the package with its version
}

// OriginKind is one of the layers of a library.
type OriginKind string

// The layers of a library.
const (
	BuiltIn   OriginKind = "built-in"
	Installed OriginKind = "installed"
	Studio    OriginKind = "studio"
	Own       OriginKind = "own"
)

// String is the kind with the label, if there is one.
func (o Origin) String() string {
	if o.Label == "" {
		return string(o.Kind)
	}
	return string(o.Kind) + ", " + o.Label
}

// Source is the file of a document, and what else is known of where it comes from.
type Source struct {
	File   string // as it was named to the reader
	Origin Origin
	sum    [sha256.Size]byte
	text   []byte
}

// Hash is the SHA-256 of the document's bytes as they were read, in hexadecimal digits.
func (s *Source) Hash() string { return hex.EncodeToString(s.sum[:]) }

func sourceOf(file string, b []byte) Source {
	return Source{File: file, sum: sha256.Sum256(b), text: bytes.Clone(b)}
}
