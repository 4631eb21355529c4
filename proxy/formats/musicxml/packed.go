package musicxml

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"path"
	"strings"
)

const (
	// maxPacked is the largest .mxl file, in bytes.
	maxPacked = 32 << 20
	// maxEntries is how many files an .mxl file may hold: a score, its list of contents,
	// and pictures of pages.
	maxEntries = 1000
	// maxRatio is how many times larger than packed the score may be. Scores are about
	// twenty times larger (from memory), and Deflate can reach 1032 times (RFC 1951).
	maxRatio = 200
	// maxContents is the largest list of contents, in bytes.
	maxContents = 1 << 20
)

// contents is where the list of contents lies in an .mxl file.
const contents = "META-INF/container.xml"

func packed(b []byte) bool { return bytes.HasPrefix(b, []byte("PK\x03\x04")) }

// unpack is the score in an .mxl file.
func unpack(b []byte) ([]byte, error) {
	if len(b) > maxPacked {
		return nil, refused("the packed score is over %d bytes, too large for a score: take the pictures out", maxPacked)
	}
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return nil, refused("the file starts as a packed score and cannot be unpacked (%v): export it again", err)
	}
	if len(z.File) > maxEntries {
		return nil, refused("the packed score holds %d files, over %d: %s", len(z.File), maxEntries, damaged)
	}
	name, err := rootFile(z)
	if err != nil {
		return nil, err
	}
	for _, f := range z.File {
		if f.Name == name {
			return inflate(f, MaxSize)
		}
	}
	return nil, refused("the packed score names %.80q as its score and does not hold it: export it again", name)
}

// rootFile is the name of the score: what the list of contents names first, or the only
// file that can be one.
func rootFile(z *zip.Reader) (string, error) {
	var scores []string
	for _, f := range z.File {
		if f.Name == contents {
			return firstRoot(f)
		}
		switch strings.ToLower(path.Ext(f.Name)) {
		case ".musicxml", ".xml":
			if !strings.HasPrefix(f.Name, "META-INF/") {
				scores = append(scores, f.Name)
			}
		}
	}
	if len(scores) != 1 {
		return "", refused("the packed score has no %s and holds %d files that may be the score: export it again", contents, len(scores))
	}
	return scores[0], nil
}

func firstRoot(f *zip.File) (name string, err error) {
	b, err := inflate(f, maxContents)
	if err != nil {
		return "", err
	}
	text, err := decoded(b)
	if err != nil {
		return "", err
	}
	s := newSource(text)
	if _, err := s.root(); err != nil {
		return "", err
	}
	err = s.children(func(e *xml.StartElement) error {
		if e.Name.Local != "rootfiles" {
			return nil
		}
		return s.children(func(e *xml.StartElement) error {
			if e.Name.Local == "rootfile" && name == "" {
				name = attribute(e, "full-path")
			}
			return nil
		})
	})
	if err == nil && name == "" {
		err = refused("%s names no score: export it again", contents)
	}
	return name, err
}

// inflate unpacks a file of at most limit bytes.
func inflate(f *zip.File, limit int64) ([]byte, error) {
	limit = min(limit, int64(min(f.CompressedSize64, maxPacked))*maxRatio)
	r, err := f.Open()
	if err != nil {
		return nil, refused("%.80q cannot be unpacked (%v): export it again", f.Name, err)
	}
	defer r.Close()
	b, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err != nil {
		return nil, refused("%.80q cannot be unpacked (%v): export it again", f.Name, err)
	}
	if int64(len(b)) > limit {
		return nil, refused("%.80q unpacks to over %d bytes, too much for its packed size or for music: %s", f.Name, limit, damaged)
	}
	return b, nil
}
