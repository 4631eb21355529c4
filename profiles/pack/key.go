package pack

import (
	"errors"
	"fmt"
	"strings"

	"aead.dev/minisign"
)

// keyFileLimit is the longest file of a key or a signature, in bytes.
const keyFileLimit = 4 << 10

// Key is a public key as minisign writes it: base64 of an algorithm, a key id and
// an Ed25519 public key. Two keys are the same if their strings are.
type Key string

// ParseKey reads a public key, either the string alone or the whole text of a
// public key file.
func ParseKey(text string) (Key, error) {
	k, err := public(strings.TrimSpace(text))
	if err != nil {
		return "", fmt.Errorf("%q is not a public key of minisign's form, which is 56 characters long and begins with RW", shortened(strings.TrimSpace(text)))
	}
	return Key(k.String()), nil
}

// ReadKeyFile reads a public key file.
func ReadKeyFile(path string) (Key, error) {
	b, err := readLimited(path, keyFileLimit)
	if err != nil {
		return "", err
	}
	k, err := ParseKey(string(b))
	if err != nil {
		return "", fmt.Errorf("%s: %w", path, err)
	}
	return k, nil
}

func public(text string) (minisign.PublicKey, error) {
	var k minisign.PublicKey
	err := k.UnmarshalText([]byte(text))
	return k, err
}

// ID is the short name of a key: 16 hexadecimal digits. It tells keys apart only
// among those that are trusted, since anyone can make a key with any ID. The ID of
// what is no key is empty.
func (k Key) ID() string {
	p, err := public(string(k))
	if err != nil {
		return ""
	}
	return formatID(p.ID())
}

func formatID(id uint64) string { return fmt.Sprintf("%016X", id) }

// Text is the public key file.
func (k Key) Text() []byte {
	return []byte("untrusted comment: minisign public key " + k.ID() + "\n" + string(k) + "\n")
}

// SecretKey is the half of a key that signs.
type SecretKey struct{ key minisign.PrivateKey }

// NewSecretKey makes a key at random.
func NewSecretKey() (SecretKey, error) {
	_, k, err := minisign.GenerateKey(nil)
	if err != nil {
		return SecretKey{}, fmt.Errorf("cannot make a key: %w", err)
	}
	return SecretKey{k}, nil
}

// Public is the half that others may have.
func (s SecretKey) Public() Key { return Key(s.key.Public().(minisign.PublicKey).String()) }

// Seal is the secret key's file, encrypted with a password. It takes a few
// seconds and 1 GiB of memory, which is what a guess at the password will cost.
func (s SecretKey) Seal(password string) ([]byte, error) {
	if password == "" {
		return nil, errors.New("the password is empty; a secret key is kept under one")
	}
	b, err := minisign.EncryptKey(password, s.key)
	if err != nil {
		return nil, fmt.Errorf("cannot encrypt the key: %w", err)
	}
	return append(b, '\n'), nil
}

// ReadSecretKey reads a secret key file. password is called if the file is
// encrypted with one; files of minisign that are not are read too.
func ReadSecretKey(path string, password func() (string, error)) (SecretKey, error) {
	b, err := readLimited(path, keyFileLimit)
	if err != nil {
		return SecretKey{}, err
	}
	text := []byte(strings.TrimSpace(string(b)))
	if !minisign.IsEncrypted(text) {
		var k minisign.PrivateKey
		if err := k.UnmarshalText(text); err != nil {
			return SecretKey{}, fmt.Errorf("%s is not a secret key of minisign's form", path)
		}
		return SecretKey{k}, nil
	}
	word, err := password()
	if err != nil {
		return SecretKey{}, err
	}
	k, err := minisign.DecryptKey(word, text)
	if err != nil {
		return SecretKey{}, fmt.Errorf("the password does not open %s, or the file is damaged", path)
	}
	return SecretKey{k}, nil
}
