package store

import (
	"crypto/sha256"
	"encoding/hex"
)

// Hash is the SHA-256 of a content in 64 lower-case hexadecimal digits; empty for
// a document that does not exist.
type Hash string

// HashOf is the hash of a content.
func HashOf(b []byte) Hash {
	sum := sha256.Sum256(b)
	return Hash(hex.EncodeToString(sum[:]))
}

// valid reports whether h can be the hash of a content.
func (h Hash) valid() bool {
	b, err := hex.DecodeString(string(h))
	return err == nil && len(b) == sha256.Size && hex.EncodeToString(b) == string(h)
}

// Author is the name of who makes a change, for people. It is kept as one line of
// at most [authorLimit] bytes; empty means that nobody knows.
type Author string

// Limits of what is read, in bytes, and of the changes of one document. A history
// of more changes can still be moved away; its document is then begun anew.
const (
	ContentLimit = 1 << 20 // as profiles.DocumentLimit
	changesLimit = 100_000
)

// called is how an author is named in a sentence.
func called(a Author) string {
	if a == "" {
		return "somebody unknown"
	}
	return string(a)
}
