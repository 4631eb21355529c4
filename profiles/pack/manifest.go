package pack

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// manifestFile is the name of the manifest in a package.
const manifestFile = "manifest.json"

// form is the one form of packages there is.
const form = 1

// Limits of a manifest, in bytes.
const (
	manifestLimit = 256 << 10
	lineLimit     = 100 // of the author's name and of the licence
	notesLimit    = 4000
)

// Manifest says what a package is and what it holds.
type Manifest struct {
	Form      int      `json:"swellbox_package"` // 1
	Name      string   `json:"name"`             // lower-case words joined by hyphens
	Version   Version  `json:"version"`
	Author    string   `json:"author"`  // one line
	Licence   string   `json:"licence"` // one line
	Notes     string   `json:"notes"`   // may be empty, may have several lines
	Documents []Member `json:"documents"`
}

// Member is one document of a package.
type Member struct {
	File   string `json:"file"`   // PROFILE.yaml
	Size   int64  `json:"size"`   // bytes
	SHA256 string `json:"sha256"` // hexadecimal
}

// File is the name of the package's file.
func (m *Manifest) File() string { return FileName(m.Name, m.Version) }

// FileName is the name of the file of a package.
func FileName(name string, v Version) string { return name + "-" + string(v) + Ext }

// Ext ends the name of a package's file, and SignatureExt, after it, that of its
// signature.
const (
	Ext          = ".swellbox.tar"
	SignatureExt = ".minisig"
)

// encode writes the manifest, always in the same bytes.
func (m *Manifest) encode() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(m); err != nil {
		return nil, fmt.Errorf("cannot write the manifest: %w", err)
	}
	return b.Bytes(), nil
}

// decodeManifest reads a manifest. Only the bytes that encode writes are taken,
// so there is no key given twice, in capitals or unknown.
func decodeManifest(b []byte) (*Manifest, error) {
	var m Manifest
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(&m); err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", manifestFile, jsonError(err))
	}
	if err := m.check(); err != nil {
		return nil, fmt.Errorf("%s: %w", manifestFile, err)
	}
	again, err := m.encode()
	if err != nil {
		return nil, err
	}
	if !bytes.Equal(b, again) {
		return nil, fmt.Errorf("%s is not written as swellbox writes it; make the package with swellbox profile pack", manifestFile)
	}
	return &m, nil
}

// jsonError says where a document ends that ends too early.
func jsonError(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return errors.New("it is cut short")
	}
	return err
}

// check refuses a manifest that says something it may not say. Whether it is true
// of the documents is for [Open] to see.
func (m *Manifest) check() error {
	if m.Form != form {
		return fmt.Errorf("the package is of form %d, this program reads form %d; a newer swellbox may read it", m.Form, form)
	}
	if err := CheckName(m.Name); err != nil {
		return err
	}
	if _, err := ParseVersion(string(m.Version)); err != nil {
		return err
	}
	if err := checkLine("author", m.Author); err != nil {
		return err
	}
	if err := checkLine("licence", m.Licence); err != nil {
		return err
	}
	if len(m.Notes) > notesLimit || !printable(strings.ReplaceAll(m.Notes, "\n", "")) {
		return fmt.Errorf("the notes have over %d bytes or characters that cannot be printed", notesLimit)
	}
	if len(m.Documents) == 0 || len(m.Documents) > documentsLimit {
		return fmt.Errorf("the package has %d documents; allowed are 1 to %d", len(m.Documents), documentsLimit)
	}
	return nil
}

// checkLine refuses what is not one short line that can be printed.
func checkLine(what, s string) error {
	if s == "" || len(s) > lineLimit || s != strings.TrimSpace(s) || !printable(s) {
		return fmt.Errorf("the %s is %q; allowed is one line of 1 to %d bytes", what, shortened(s), lineLimit)
	}
	return nil
}

// printable reports whether s can be shown on a terminal and leaves it as it was:
// there is nothing in it that steers, or turns the direction of writing.
func printable(s string) bool {
	return utf8.ValidString(s) && !strings.ContainsFunc(s, func(c rune) bool { return !unicode.IsPrint(c) })
}
