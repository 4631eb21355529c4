package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"cmp"
	"compress/gzip"
	"io/fs"
	"path"
	"slices"
	"time"
)

// entry is a file of an archive.
type entry struct {
	name string // with slashes
	data []byte
	mode fs.FileMode
}

func sorted(all []entry) []entry {
	return slices.SortedFunc(slices.Values(all), func(a, b entry) int { return cmp.Compare(a.name, b.name) })
}

// tarred packs files below a folder. The bytes depend on nothing else.
func tarred(folder string, all []entry, at time.Time) ([]byte, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	t := tar.NewWriter(z)
	for _, e := range sorted(all) {
		h := &tar.Header{Name: path.Join(folder, e.name), Mode: int64(e.mode), Size: int64(len(e.data)), ModTime: at, Format: tar.FormatUSTAR}
		if err := t.WriteHeader(h); err != nil {
			return nil, err
		}
		if _, err := t.Write(e.data); err != nil {
			return nil, err
		}
	}
	if err := t.Close(); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// zipped is the same for systems that unpack no tar by a click.
func zipped(folder string, all []entry, at time.Time) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, e := range sorted(all) {
		h := &zip.FileHeader{Name: path.Join(folder, e.name), Method: zip.Deflate, Modified: at}
		h.SetMode(e.mode)
		w, err := z.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(e.data); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
