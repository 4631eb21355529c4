package pack

import (
	"archive/tar"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"swellbox/profiles"
)

// Limits of a package. One document has at most [profiles.DocumentLimit] bytes.
const (
	PackageLimit   = 16 << 20 // bytes of the whole file
	documentsLimit = 500
)

// Package is a manifest and the documents that it speaks of, which fit together.
// It is read-only.
type Package struct {
	Manifest
	documents map[string][]byte // by file name
	bytes     []byte
}

// Source is one document to pack.
type Source struct {
	File    string // what errors call it
	Content []byte
}

// Bytes is the package's file. The caller must not change it.
func (p *Package) Bytes() []byte { return p.bytes }

// SHA256 is the hash of the package's file, in hexadecimal.
func (p *Package) SHA256() string { return hash(p.bytes) }

// New makes a package of documents. about says what it is; its list of documents
// is made here. Each document must be a valid profile or controller map, and must rest
// on nothing but profiles that are built in or in the package too.
func New(about Manifest, documents []Source) (*Package, error) {
	m := about
	m.Form = form
	m.Documents = nil
	p := &Package{documents: map[string][]byte{}}
	sources := map[string]string{}
	for _, s := range documents {
		d, err := parse(s.File, s.Content)
		if err != nil {
			return nil, err
		}
		file := fileOf(d)
		if other, twice := sources[folded(file)]; twice {
			return nil, fmt.Errorf("%s: what it describes is in %s too; pack one of them", s.File, other)
		}
		if err := checkFile(file); err != nil {
			return nil, err
		}
		sources[folded(file)] = s.File
		p.documents[file] = s.Content
		m.Documents = append(m.Documents, Member{file, int64(len(s.Content)), hash(s.Content)})
	}
	slices.SortFunc(m.Documents, func(a, b Member) int { return strings.Compare(a.File, b.File) })
	p.Manifest = m
	if err := p.check(); err != nil {
		return nil, err
	}
	b, err := p.encode()
	if err != nil {
		return nil, err
	}
	if len(b) > PackageLimit {
		return nil, fmt.Errorf("the package has %d bytes, at most %d are allowed; make several of it", len(b), PackageLimit)
	}
	p.bytes = b
	return p, nil
}

// ReadFile reads the file of a package, or as much of it as shows that it is too
// large, for [Install] or [Open].
func ReadFile(path string) ([]byte, error) { return readLimited(path, PackageLimit) }

func readLimited(path string, limit int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read %s: %w", path, err)
	}
	if int64(len(b)) > limit {
		return nil, fmt.Errorf("%s has over %d bytes, which no such file has", path, limit)
	}
	return b, nil
}

// Open reads a package and checks all of it but who made it, which only a
// signature tells. It writes nothing. The package keeps b.
func Open(b []byte) (*Package, error) {
	files, err := readFiles(b)
	if err != nil {
		return nil, err
	}
	text, ok := files[manifestFile]
	if !ok {
		return nil, fmt.Errorf("the package has no %s; it was not made by swellbox", manifestFile)
	}
	m, err := decodeManifest(text)
	if err != nil {
		return nil, err
	}
	delete(files, manifestFile)
	p := &Package{Manifest: *m, documents: files, bytes: b}
	if err := p.checkMembers(); err != nil {
		return nil, err
	}
	if err := p.check(); err != nil {
		return nil, err
	}
	if err := p.checkBytes(); err != nil {
		return nil, err
	}
	return p, nil
}

// readFiles reads the files of a tar file. Sizes are counted while reading, not believed.
func readFiles(b []byte) (map[string][]byte, error) {
	if len(b) > PackageLimit {
		return nil, fmt.Errorf("the package has over %d bytes, which none has", PackageLimit)
	}
	files := map[string][]byte{}
	names := map[string]string{}
	t := tar.NewReader(bytes.NewReader(b))
	for {
		h, err := t.Next()
		if errors.Is(err, io.EOF) {
			return files, nil
		}
		if err != nil {
			return nil, fmt.Errorf("the package is damaged, cut short or no package: %w", err)
		}
		if err := checkHeader(h); err != nil {
			return nil, err
		}
		if other, twice := names[folded(h.Name)]; twice && other == h.Name {
			return nil, fmt.Errorf("the package holds %s twice; it was not made by swellbox, do not use it", h.Name)
		} else if twice {
			return nil, fmt.Errorf("the package holds %s and %s, which are one file on some systems; do not use it", other, h.Name)
		}
		names[folded(h.Name)] = h.Name
		if len(names) > documentsLimit+1 {
			return nil, fmt.Errorf("the package holds more than %d documents", documentsLimit)
		}
		limit := int64(profiles.DocumentLimit)
		if h.Name == manifestFile {
			limit = manifestLimit
		}
		content, err := io.ReadAll(io.LimitReader(t, limit+1))
		if err != nil {
			return nil, fmt.Errorf("the package is damaged or cut short in %s: %w", h.Name, err)
		}
		if int64(len(content)) > limit {
			return nil, fmt.Errorf("%s in the package has over %d bytes, at most that many are allowed", h.Name, limit)
		}
		files[h.Name] = content
	}
}

func checkHeader(h *tar.Header) error {
	kind := ""
	switch h.Typeflag {
	case tar.TypeReg:
		return checkFile(h.Name)
	case tar.TypeSymlink, tar.TypeLink:
		kind = "a link"
	case tar.TypeDir:
		kind = "a folder"
	case tar.TypeChar, tar.TypeBlock, tar.TypeFifo:
		kind = "a device"
	default:
		kind = fmt.Sprintf("of the kind %q", h.Typeflag)
	}
	return fmt.Errorf("%q in the package is %s, allowed are plain files; it was not made by swellbox, do not use it", shortened(h.Name), kind)
}

// checkMembers compares the files with what the manifest says of them.
func (p *Package) checkMembers() error {
	listed := map[string]bool{}
	for i, m := range p.Documents {
		content, ok := p.documents[m.File]
		switch {
		case !ok:
			return fmt.Errorf("the manifest names %q, which is not in the package", shortened(m.File))
		case i > 0 && m.File <= p.Documents[i-1].File:
			return fmt.Errorf("the manifest names %s twice or not in the order of the names", m.File)
		case m.Size != int64(len(content)):
			return fmt.Errorf("%s has %d bytes, the manifest says %d; the package was changed after it was made", m.File, len(content), m.Size)
		case m.SHA256 != hash(content):
			return fmt.Errorf("%s has not the hash that the manifest says; the package was changed after it was made", m.File)
		}
		listed[m.File] = true
	}
	for file := range p.documents {
		if !listed[file] {
			return fmt.Errorf("the package holds %s, which its manifest does not name", file)
		}
	}
	return nil
}

// check refuses a package whose documents are not sound.
func (p *Package) check() error {
	if err := p.Manifest.check(); err != nil {
		return err
	}
	lib, err := profiles.NewLibrary()
	if err != nil {
		return err
	}
	var names []string
	var maps []*profiles.ControllerMap
	for _, m := range p.Documents {
		d, err := parse(m.File, p.documents[m.File])
		if err != nil {
			return err
		}
		if file := fileOf(d); file != m.File {
			return fmt.Errorf("%s must be named %s, after what it describes", m.File, file)
		}
		if d.ControllerMap != nil {
			maps = append(maps, d.ControllerMap)
			err = lib.AddControllerMap(d.ControllerMap)
		} else {
			names = append(names, d.Profile.Name)
			err = lib.Add(d.Profile)
		}
		if err != nil {
			return err
		}
	}
	for _, name := range names {
		if _, err := lib.Resolve(name); err != nil {
			return foreign(err)
		}
	}
	for _, m := range maps {
		if err := m.Check(lib); err != nil {
			return foreign(err)
		}
	}
	return nil
}

// foreign adds to an error what a package may rest on.
func foreign(err error) error {
	return fmt.Errorf("%w (a package may be based on what is built in and on itself)", err)
}

// parse reads a document that may be in a package.
func parse(file string, b []byte) (profiles.File, error) {
	d, err := profiles.ParseAny(file, b)
	if err == nil && d.Seating != nil {
		err = fmt.Errorf("%s is a seating, which belongs to a piece; a package holds profiles and controller maps", file)
	}
	return d, err
}

// fileOf is the name that a document has in a package.
func fileOf(d profiles.File) string {
	if d.ControllerMap != nil {
		return d.ControllerMap.Name + mapExt
	}
	return d.Profile.Name + documentExt
}

// encode writes the tar file: no times, no owners, sorted by name.
func (p *Package) encode() ([]byte, error) {
	manifest, err := p.Manifest.encode()
	if err != nil {
		return nil, err
	}
	if len(manifest) > manifestLimit {
		return nil, fmt.Errorf("the manifest has %d bytes, at most %d are allowed; make several packages of it", len(manifest), manifestLimit)
	}
	files := []Source{{manifestFile, manifest}}
	for _, m := range p.Documents {
		files = append(files, Source{m.File, p.documents[m.File]})
	}
	slices.SortFunc(files, func(a, b Source) int { return strings.Compare(a.File, b.File) })
	var b bytes.Buffer
	w := tar.NewWriter(&b)
	for _, f := range files {
		h := &tar.Header{
			Typeflag: tar.TypeReg, Name: f.File, Size: int64(len(f.Content)),
			Mode: 0o644, ModTime: time.Unix(0, 0),
		}
		if err := w.WriteHeader(h); err != nil {
			return nil, fmt.Errorf("cannot pack %s: %w", f.File, err)
		}
		if _, err := w.Write(f.Content); err != nil {
			return nil, fmt.Errorf("cannot pack %s: %w", f.File, err)
		}
	}
	if err := w.Close(); err != nil {
		return nil, fmt.Errorf("cannot pack: %w", err)
	}
	return b.Bytes(), nil
}

// checkBytes refuses a file that says more than its manifest and its documents.
func (p *Package) checkBytes() error {
	want, err := p.encode()
	switch {
	case err != nil:
		return err
	case bytes.Equal(p.bytes, want):
		return nil
	case bytes.HasPrefix(p.bytes, want):
		return fmt.Errorf("%d bytes were appended to the package; do not use it", len(p.bytes)-len(want))
	case bytes.HasPrefix(want, p.bytes):
		return fmt.Errorf("the package is cut short: %d bytes of %d", len(p.bytes), len(want))
	}
	return errors.New("the package was packed by another program, and may say more than it shows; make it with swellbox profile pack")
}

func hash(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
