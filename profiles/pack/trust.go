package pack

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
)

// Limits of what is trusted.
const (
	pinLimit     = 64 << 10 // bytes of the file of one pin
	packageLimit = 500      // packages of one pin
	pinsLimit    = 1000
)

// trustDir is the folder of the pins in home, and pinExt ends their files.
const (
	trustDir = "trust"
	pinExt   = ".json"
)

// Pin is a key that the user trusts, for whom, and for what. An author has one
// key, and a package has the key it was first installed with.
type Pin struct {
	Key      Key      `json:"key"`
	Author   string   `json:"author"`   // as in the manifests; "" until the first package says it
	Packages []string `json:"packages"` // sorted names of what was installed with it
}

// ChangedKeyError says that what was always signed with one key is now signed
// with another, or not at all.
type ChangedKeyError struct {
	What   string // "the package NAME" or "the author NAME"
	Pinned Key
	Found  string // ID of the key found, "" for no signature
}

func (e *ChangedKeyError) Error() string {
	now := "is not signed at all"
	if e.Found != "" {
		now = "comes with the key " + e.Found
	}
	return fmt.Sprintf("THE KEY HAS CHANGED: you trust the key %s for %s, and this %s; somebody may be posing as the author, so ask them in another way, and only if they say so run: swellbox profile trust remove %s",
		e.Pinned.ID(), e.What, now, e.Pinned.ID())
}

// Pins are the keys that the user trusts, sorted by ID. A damaged file is an
// error: left out, it would let a changed key pass for a new one.
func Pins(home string) ([]Pin, error) {
	if !exists(home) {
		return nil, nil
	}
	r, pins, err := openPins(home)
	if err != nil {
		return nil, err
	}
	return pins, r.Close()
}

// openPins opens the user's folder and reads the keys that the user trusts.
func openPins(home string) (*os.Root, []Pin, error) {
	r, err := openHome(home)
	if err != nil {
		return nil, nil, err
	}
	pins, err := readPins(r)
	if err != nil {
		r.Close()
		return nil, nil, err
	}
	return r, pins, nil
}

func readPins(r *os.Root) ([]Pin, error) {
	entries, err := list(r, trustDir)
	if err != nil {
		return nil, fmt.Errorf("cannot read the trusted keys: %w", err)
	}
	if len(entries) > pinsLimit {
		return nil, fmt.Errorf("more than %d keys are trusted; remove those of the past", pinsLimit)
	}
	var pins []Pin
	for _, e := range entries {
		name := path.Join(trustDir, e.Name())
		p, err := readPin(r, name)
		if err != nil {
			return nil, fmt.Errorf("the trusted key %s is damaged: %w; mend it or remove the file", name, err)
		}
		pins = append(pins, p)
	}
	return pins, nil
}

func readPin(r *os.Root, name string) (Pin, error) {
	b, err := read(r, name, pinLimit)
	if err != nil {
		return Pin{}, err
	}
	var p Pin
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(&p); err != nil {
		return p, jsonError(err)
	}
	if id := p.Key.ID(); id == "" || pinFile(p.Key) != name {
		return p, fmt.Errorf("it holds the key %q", id)
	}
	return p, nil
}

func pinFile(k Key) string { return path.Join(trustDir, k.ID()+pinExt) }

func writePin(r *os.Root, p Pin) error {
	if len(p.Packages) > packageLimit {
		return fmt.Errorf("the key %s would be trusted for more than %d packages", p.Key.ID(), packageLimit)
	}
	b, err := json.MarshalIndent(p, "", "  ")
	if err != nil {
		return err
	}
	if err := r.Mkdir(trustDir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("cannot keep the trusted key: %w", err)
	}
	if err := replace(r, pinFile(p.Key), append(b, '\n'), 0o600); err != nil {
		return fmt.Errorf("cannot keep the trusted key: %w", err)
	}
	return nil
}

// AddPin makes the user trust a key. author may be "", for whoever the first
// package with that key is from. An author who has another key already is a
// [ChangedKeyError].
func AddPin(home string, k Key, author string) error {
	if k.ID() == "" {
		return fmt.Errorf("%q is not a public key", shortened(string(k)))
	}
	if author != "" {
		if err := checkLine("author", author); err != nil {
			return err
		}
	}
	r, pins, err := openPins(home)
	if err != nil {
		return err
	}
	defer r.Close()
	p, known, err := judge(pins, k, author, "")
	if err != nil || known && (author == "" || p.Author == author) {
		return err
	}
	p.Author = author
	return writePin(r, p)
}

// RemovePin ends the trust in a key, given by its ID, the key itself or its
// author, and returns what was removed.
func RemovePin(home, which string) (Pin, error) {
	r, pins, err := openPins(home)
	if err != nil {
		return Pin{}, err
	}
	defer r.Close()
	for _, p := range pins {
		if strings.EqualFold(p.Key.ID(), which) || string(p.Key) == which || p.Author != "" && sameAuthor(p.Author, which) {
			if err := r.Remove(pinFile(p.Key)); err != nil {
				return Pin{}, fmt.Errorf("cannot remove the trusted key: %w", err)
			}
			return p, nil
		}
	}
	return Pin{}, fmt.Errorf("no key that you trust is %q; swellbox profile trust lists them", shortened(which))
}

// judge compares a key with what is trusted already, for the author and the name
// of a package; either may be "" while it is not known. It returns the key's pin,
// a fresh one if it has none, and whether it had one.
func judge(pins []Pin, k Key, author, name string) (pin Pin, known bool, err error) {
	pin = Pin{Key: k, Packages: []string{}}
	for _, p := range pins {
		switch {
		case p.Key == k:
			if author != "" && p.Author != "" && !sameAuthor(p.Author, author) {
				return pin, true, fmt.Errorf("the key %s is trusted for %s, not for %s; do not use the package before you know why", k.ID(), p.Author, author)
			}
			pin, known = p, true
		case name != "" && slices.Contains(p.Packages, name):
			return pin, false, &ChangedKeyError{"the package " + name, p.Key, k.ID()}
		case author != "" && p.Author != "" && sameAuthor(p.Author, author):
			return pin, false, &ChangedKeyError{"the author " + p.Author, p.Key, k.ID()}
		case p.Key.ID() == k.ID() && k != "":
			return pin, false, &ChangedKeyError{"the ID " + p.Key.ID(), p.Key, k.ID()}
		}
	}
	return pin, known, nil
}

// sameAuthor takes names for one that differ in capitals or spaces only.
func sameAuthor(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

// with is the pin after it has been used for that package.
func (p Pin) with(author, name string) Pin {
	if p.Author == "" {
		p.Author = author
	}
	if !slices.Contains(p.Packages, name) {
		p.Packages = append(slices.Clone(p.Packages), name)
		slices.Sort(p.Packages)
	}
	return p
}
