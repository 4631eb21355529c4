package smf

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"

	"swellbox/profiles/atomicfile"
)

// WriteFile writes f to path, whole or not at all (see [atomicfile.Write]).
func WriteFile(path string, f *File) error {
	b, err := f.Append(nil)
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return atomicfile.Write(path, func(w io.Writer) error {
		_, err := w.Write(b)
		return err
	})
}

// Append appends the bytes of f to dst. [Read] reads them back as f, but for its
// warnings. On an error dst is returned as it was; the error names the track and
// event that no file can hold.
func (f *File) Append(dst []byte) ([]byte, error) {
	if err := f.check(); err != nil {
		return dst, err
	}
	out := slices.Grow(dst, f.sizeBound())
	out = append(out, "MThd\x00\x00\x00\x06"...)
	out = binary.BigEndian.AppendUint16(out, uint16(f.Format))
	out = binary.BigEndian.AppendUint16(out, uint16(len(f.Tracks)))
	if d := f.Division; d.TicksPerQuarter > 0 {
		out = binary.BigEndian.AppendUint16(out, uint16(d.TicksPerQuarter))
	} else {
		out = append(out, byte(-d.FramesPerSecond), byte(d.TicksPerFrame))
	}
	foreign := f.Foreign
	for i := range f.Tracks {
		out, foreign = appendForeign(out, foreign, i)
		var err error
		if out, err = f.Tracks[i].append(out); err != nil {
			return dst, fmt.Errorf("track %d: %w", i+1, err)
		}
	}
	out, _ = appendForeign(out, foreign, len(f.Tracks))
	return out, nil
}

// check says what in f, outside of its tracks, no file can hold.
func (f *File) check() error {
	switch n := len(f.Tracks); {
	case f.Format < 0 || f.Format > 2:
		return fmt.Errorf("the format must be 0, 1 or 2, found %d", f.Format)
	case n == 0 || n > maxTracks:
		return fmt.Errorf("a file must have 1 to %d tracks, found %d", maxTracks, n)
	case f.Format == 0 && n > 1:
		return fmt.Errorf("format 0 has one track, found %d; use format 1", n)
	}
	if err := f.Division.check(); err != nil {
		return err
	}
	before := 0
	for i, c := range f.Foreign {
		switch {
		case !printable(c.Type) || string(c.Type[:]) == "MThd" || string(c.Type[:]) == "MTrk":
			return fmt.Errorf("foreign chunk %d: type %q is not that of a foreign chunk", i+1, c.Type[:])
		case uint64(len(c.Data)) > math.MaxUint32:
			return fmt.Errorf("foreign chunk %d: its %d bytes are over 4 GiB", i+1, len(c.Data))
		case c.Before < before || c.Before > len(f.Tracks):
			return fmt.Errorf("foreign chunk %d: it must come after %d to %d tracks, found %d", i+1, before, len(f.Tracks), c.Before)
		}
		before = c.Before
	}
	return nil
}

// sizeBound is at least what a sound file takes in bytes.
func (f *File) sizeBound() int {
	const (
		head    = 14
		chunk   = 8
		ending  = 4 + 3 // delta time and end of track
		perData = 4 + 4 // delta time and length
	)
	n := head
	for _, c := range f.Foreign {
		n += chunk + len(c.Data)
	}
	for _, t := range f.Tracks {
		n += chunk + ending
		for _, e := range t.Events {
			n += perData + len(e.Data)
		}
	}
	return n
}

// appendForeign appends the chunks that stand before a track, and returns the others.
func appendForeign(out []byte, foreign []Chunk, track int) ([]byte, []Chunk) {
	for len(foreign) > 0 && foreign[0].Before == track {
		c := foreign[0]
		out = append(out, c.Type[:]...)
		out = binary.BigEndian.AppendUint32(out, uint32(len(c.Data)))
		out = append(out, c.Data...)
		foreign = foreign[1:]
	}
	return out, foreign
}

func (t *Track) append(out []byte) ([]byte, error) {
	out = append(out, "MTrk\x00\x00\x00\x00"...)
	start := len(out)
	var tick int64
	var running byte
	var err error
	for i, e := range t.Events {
		if out, err = appendDelta(out, e.Tick, tick); err != nil {
			return nil, fmt.Errorf("event %d: %w", i+1, err)
		}
		tick = e.Tick
		if out, running, err = appendMessage(out, e.Data, running); err != nil {
			return nil, fmt.Errorf("event %d at tick %d: %w", i+1, tick, err)
		}
	}
	if out, err = appendDelta(out, t.End, tick); err != nil {
		return nil, fmt.Errorf("end of track: %w", err)
	}
	out = append(out, 0xFF, MetaEndOfTrack, 0)
	length := uint64(len(out) - start)
	if length > math.MaxUint32 {
		return nil, fmt.Errorf("its %d bytes are over 4 GiB", length)
	}
	binary.BigEndian.PutUint32(out[start-4:], uint32(length))
	return out, nil
}

// appendDelta appends the time from one tick to another.
func appendDelta(out []byte, to, from int64) ([]byte, error) {
	switch {
	case to < from:
		return nil, fmt.Errorf("tick %d comes after tick %d; sort the events", to, from)
	case to-from > maxVLQ:
		return nil, fmt.Errorf("tick %d is over %d ticks after tick %d; put a text event between", to, maxVLQ, from)
	}
	return appendVLQ(out, uint32(to-from)), nil
}

// appendMessage appends an event's message, in short if its status is the running one,
// and returns the running status after it.
func appendMessage(out, data []byte, running byte) ([]byte, byte, error) {
	if len(data) == 0 {
		return nil, 0, fmt.Errorf("the message is empty")
	}
	switch status := data[0]; {
	case status < 0x80:
		return nil, 0, fmt.Errorf("the message % X has no status byte", data[:min(len(data), 3)])
	case status < 0xF0:
		if len(data) != 1+dataBytes(status) {
			return nil, 0, fmt.Errorf("message %02X must have %d data bytes, found %d", status, dataBytes(status), len(data)-1)
		}
		for _, c := range data[1:] {
			if c >= 0x80 {
				return nil, 0, fmt.Errorf("data byte %02X of message %02X is over 7F", c, status)
			}
		}
		if status == running {
			return append(out, data[1:]...), running, nil
		}
		return append(out, data...), status, nil
	case status == 0xFF:
		if len(data) < 2 || data[1] >= 0x80 || data[1] == MetaEndOfTrack {
			return nil, 0, fmt.Errorf("the meta event % X must have a type from 00 to 7F other than 2F", data[:min(len(data), 2)])
		}
		out, err := appendCounted(append(out, status, data[1]), data[2:])
		return out, 0, err
	case status == 0xF0 || status == 0xF7:
		out, err := appendCounted(append(out, status), data[1:])
		return out, 0, err
	default:
		return nil, 0, fmt.Errorf("message %02X cannot stand in a track; put it into an F7 packet", status)
	}
}

// appendCounted appends b after its length.
func appendCounted(out, b []byte) ([]byte, error) {
	if len(b) > maxVLQ {
		return nil, fmt.Errorf("its %d bytes are over %d", len(b), maxVLQ)
	}
	return append(appendVLQ(out, uint32(len(b))), b...), nil
}
