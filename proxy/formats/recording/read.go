package recording

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"time"
)

// maxBlock bounds a block, compressed or not: a writer's room, and the largest order, a whole score.
const maxBlock = 64 << 20

// maxSize bounds a file: over ten hours of the densest music.
const maxSize = 1 << 30

// maxTime is the latest time of a record: a daemon that has run for ten years.
const maxTime = 10 * 366 * 24 * time.Hour

var errFormat = errors.New("it is not a recording of swellbox live --record")

// ReadFile reads the recording in a file.
func ReadFile(path string) (*Recording, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot read the recording: %w", err)
	}
	defer f.Close()
	r, err := Read(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return r, nil
}

// Read reads a recording, as far as it goes: one that was cut off is no error.
func Read(from io.Reader) (*Recording, error) {
	from = io.LimitReader(from, maxSize)
	start := make([]byte, len(header))
	if _, err := io.ReadFull(from, start); err != nil || string(start) != header {
		return nil, errFormat
	}
	r := &Recording{}
	for {
		records, err := block(from)
		if errors.Is(err, io.EOF) {
			return r, nil
		}
		if err != nil || r.take(records) != nil {
			r.Cut = true
			return r, nil
		}
	}
}

var errCut = errors.New("a block is cut off or damaged")

// block reads the records of the next block; [io.EOF] where there is none.
func block(from io.Reader) ([]byte, error) {
	var head [8]byte
	if _, err := io.ReadFull(from, head[:]); err != nil {
		return nil, err
	}
	length := binary.LittleEndian.Uint32(head[:])
	if length > maxBlock {
		return nil, errCut
	}
	packed, err := io.ReadAll(io.LimitReader(from, int64(length)))
	if err != nil || len(packed) < int(length) || crc32.ChecksumIEEE(packed) != binary.LittleEndian.Uint32(head[4:]) {
		return nil, errCut
	}
	records, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(packed)), maxBlock+1))
	if err != nil || len(records) > maxBlock {
		return nil, errCut
	}
	return records, nil
}

// take adds the records of a block.
func (r *Recording) take(b []byte) error {
	s := scanner{rest: b}
	for at := uint64(0); len(s.rest) > 0; {
		rec := Record{Kind: Kind(s.rest[0])}
		s.rest = s.rest[1:]
		at += min(s.number(), uint64(maxTime))
		rec.At = time.Duration(at)
		switch rec.Kind {
		case Message:
			port := s.number()
			rec.Port = uint16(port)
			s.bad = s.bad || port > uint64(^uint16(0))
			rec.Bytes = s.text()
		case Order:
			rec.Bytes = s.text()
		case Gap:
			rec.Missing = s.number()
		default:
			return errCut
		}
		if n := len(r.Records); s.bad || at > uint64(maxTime) || n > 0 && rec.At < r.Records[n-1].At {
			return errCut
		}
		r.Records = append(r.Records, rec)
	}
	return nil
}

// scanner reads numbers and texts; bad once there is none where one should be.
type scanner struct {
	rest []byte
	bad  bool
}

func (s *scanner) number() uint64 {
	v, n := binary.Uvarint(s.rest)
	if n <= 0 {
		s.bad, s.rest = true, nil
		return 0
	}
	s.rest = s.rest[n:]
	return v
}

func (s *scanner) text() []byte {
	n := s.number()
	if n > uint64(len(s.rest)) {
		s.bad, s.rest = true, nil
		return nil
	}
	b := s.rest[:n:n]
	s.rest = s.rest[n:]
	return b
}
