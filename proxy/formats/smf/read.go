package smf

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"os"
)

const (
	// MaxSize is the largest file that ReadFrom and ReadFile accept, in bytes.
	// An event of two bytes takes 34 in memory, so the worst file takes about 1 GiB.
	MaxSize = 64 << 20
	// maxTracks is what the header's two bytes can count.
	maxTracks = 1<<16 - 1
	// maxWarnings is how many warnings are kept of one file.
	maxWarnings = 100
)

// damaged ends the reasons for which there is nothing to do but to get a better file.
const damaged = "the file is damaged here; export it again"

// A SyntaxError tells where a file stops making sense.
type SyntaxError struct {
	Offset int64  // of the byte, from the start of the file
	Track  int    // the track it lies in, from 1; 0 outside of tracks
	Reason string // what is wrong, and what to do
}

func (e *SyntaxError) Error() string {
	if e.Track > 0 {
		return fmt.Sprintf("byte %d, track %d: %s", e.Offset, e.Track, e.Reason)
	}
	return fmt.Sprintf("byte %d: %s", e.Offset, e.Reason)
}

func syntax(at int, format string, args ...any) *SyntaxError {
	return &SyntaxError{Offset: int64(at), Reason: fmt.Sprintf(format, args...)}
}

// ReadFile reads the file at path, of at most [MaxSize] bytes. Its errors name the path.
func ReadFile(path string) (*File, error) {
	r, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	f, err := ReadFrom(r)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return f, nil
}

// ReadFrom reads a file of at most [MaxSize] bytes from r.
func ReadFrom(r io.Reader) (*File, error) { return readUpTo(r, MaxSize) }

func readUpTo(r io.Reader, limit int) (*File, error) {
	b, err := io.ReadAll(io.LimitReader(r, int64(limit)+1))
	if err != nil {
		return nil, err
	}
	if len(b) > limit {
		return nil, syntax(limit, "the file is over %d bytes, too large for music; split it", limit)
	}
	return Read(b)
}

// Read reads a file of format 0, 1 or 2. The result keeps nothing of b. The error
// is a [*SyntaxError].
//
// What a damaged file still says for certain is read, with a warning:
//   - a track without an end of track, or cut off, ends with its last whole event;
//   - a wrong chunk length, where the end of track shows the right one;
//   - more or fewer tracks than the header says; format 0 with several
//     tracks becomes format 1;
//   - running status kept over a meta or sysex event, which old programs write;
//   - bytes after an end of track or after the last chunk are left out.
//
// A header of over 6 bytes is in order; what is beyond is skipped.
func Read(b []byte) (*File, error) {
	r := reader{b: b, file: &File{}}
	pos, err := r.header()
	if err != nil {
		return nil, err
	}
	for pos < len(b) {
		if pos, err = r.chunk(pos); err != nil {
			return nil, err
		}
	}
	return r.finish()
}

type reader struct {
	b        []byte
	file     *File
	declared int // tracks, by the header
}

// warn notes what was wrong at an offset but could be read over.
func (r *reader) warn(at int, format string, args ...any) {
	switch n := len(r.file.Warnings); {
	case n < maxWarnings:
		r.file.Warnings = append(r.file.Warnings, fmt.Sprintf("byte %d: ", at)+fmt.Sprintf(format, args...))
	case n == maxWarnings:
		r.file.Warnings = append(r.file.Warnings, fmt.Sprintf("byte %d: further warnings are left out", at))
	}
}

func (r *reader) header() (next int, err error) {
	b := r.b
	if !bytes.HasPrefix(b, []byte("MThd")) {
		return 0, syntax(0, "a Standard MIDI File starts with MThd and this one does not; export the score as MIDI")
	}
	if len(b) < 14 {
		return 0, syntax(len(b), "the file ends within its header; export it again")
	}
	length := binary.BigEndian.Uint32(b[4:])
	if length < 6 {
		return 0, syntax(4, "the header must be 6 bytes or more, found %d: %s", length, damaged)
	}
	r.file.Format = int(binary.BigEndian.Uint16(b[8:]))
	if r.file.Format > 2 {
		return 0, syntax(8, "format %d is not defined; export the file in format 0 or 1", r.file.Format)
	}
	r.declared = int(binary.BigEndian.Uint16(b[10:]))
	if b[12] < 0x80 {
		r.file.Division = Division{TicksPerQuarter: int(binary.BigEndian.Uint16(b[12:]))}
	} else {
		r.file.Division = Division{FramesPerSecond: -int(int8(b[12])), TicksPerFrame: int(b[13])}
	}
	if err := r.file.Division.check(); err != nil {
		return 0, syntax(12, "%v", err)
	}
	if uint64(length) > uint64(len(b)-8) {
		return 0, syntax(4, "the header says %d bytes and the file ends before: %s", length, damaged)
	}
	return 8 + int(length), nil
}

// chunk reads the chunk at pos and returns where the next one is due.
func (r *reader) chunk(pos int) (next int, err error) {
	if !r.typeAt(pos) {
		return r.rest(pos)
	}
	length := uint64(binary.BigEndian.Uint32(r.b[pos+4:]))
	switch string(r.b[pos : pos+4]) {
	case "MTrk":
		return r.track(pos, length)
	case "MThd":
		return 0, syntax(pos, "a second header: two files were joined; cut them apart here")
	}
	body := r.b[pos+8:]
	if length > uint64(len(body)) {
		if bytes.Contains(body, []byte("MTrk")) {
			return 0, syntax(pos+4, "chunk %q says %d bytes, more than the file has: %s", r.b[pos:pos+4], length, damaged)
		}
		r.warn(pos, "chunk %q is cut off and was left out", r.b[pos:pos+4])
		return len(r.b), nil
	}
	r.file.Foreign = append(r.file.Foreign, Chunk{
		Type:   [4]byte(r.b[pos:]),
		Data:   bytes.Clone(body[:length]),
		Before: len(r.file.Tracks),
	})
	return pos + 8 + int(length), nil
}

// rest deals with bytes that stand where a chunk is due and are none.
func (r *reader) rest(pos int) (next int, err error) {
	if n := len(r.b) - pos; n < 8 || len(r.file.Tracks) >= r.declared {
		r.warn(pos, "%d bytes after the last chunk were left out", n)
		return len(r.b), nil
	}
	return 0, syntax(pos, "no chunk stands where track %d of %d is due: %s", len(r.file.Tracks)+1, r.declared, damaged)
}

// typeAt reports whether the head of a chunk can stand at pos: a type of four
// ASCII characters and a length.
func (r *reader) typeAt(pos int) bool {
	return len(r.b)-pos >= 8 && printable([4]byte(r.b[pos:]))
}

// printable reports whether a chunk type is of printable ASCII.
func printable(t [4]byte) bool {
	for _, c := range t {
		if c < 0x20 || c > 0x7E {
			return false
		}
	}
	return true
}

// endAt reports whether a track may well end at pos: the file does, or a track
// or a whole foreign chunk follows.
func (r *reader) endAt(pos int) bool {
	if pos >= len(r.b) {
		return true
	}
	if !r.typeAt(pos) {
		return false
	}
	return string(r.b[pos:pos+4]) == "MTrk" ||
		uint64(binary.BigEndian.Uint32(r.b[pos+4:])) <= uint64(len(r.b)-pos-8)
}

// track reads the track chunk at pos, whose head says that it is length bytes long.
func (r *reader) track(pos int, length uint64) (next int, err error) {
	number := len(r.file.Tracks) + 1
	if number > maxTracks {
		return 0, syntax(pos, "more than %d tracks, which no header can count: %s", maxTracks, damaged)
	}
	start := pos + 8
	x, next, err := r.bounds(number, start, length)
	var t Track
	if err == nil {
		t, err = fill(r.b, start, x, r.checkMeta)
	}
	if err != nil {
		if se, ok := err.(*SyntaxError); ok {
			se.Track = number
		}
		return 0, err
	}
	if x.lax > 0 {
		r.warn(x.lax, "track %d goes on with running status after a meta or sysex event, which cancels it", number)
	}
	r.file.Tracks = append(r.file.Tracks, t)
	return next, nil
}

// bounds measures the track whose events start at an offset and whose chunk says
// length bytes, and decides where it really ends and where the next chunk is due.
func (r *reader) bounds(number, start int, length uint64) (x extent, next int, err error) {
	end := len(r.b)
	if length < uint64(end-start) {
		end = start + int(length)
	}
	x, err = measure(r.b[:end], start)
	if err == nil && !x.closed && !r.endAt(end) {
		x, end, err = r.beyond(number, start, end)
	}
	switch {
	case err != nil:
		return x, 0, err
	case !x.closed && x.stop < end:
		r.warn(x.stop, "track %d is cut off: its last %d bytes are no whole event and were left out", number, end-x.stop)
	case !x.closed:
		r.warn(x.stop, "track %d has no end of track; it ends with its last event", number)
	case uint64(x.stop-start) < length && (length > uint64(end-start) || r.trackAt(x.stop)):
		r.warn(start-4, "track %d is %d bytes long, not %d as its chunk says", number, x.stop-start, length)
		return x, x.stop, nil
	case x.stop < end:
		r.warn(x.stop, "%d bytes after the end of track %d were left out", end-x.stop, number)
	}
	return x, end, nil
}

// beyond measures a track whose chunk ends at an offset where it cannot: the
// length may be too short, or 0 because it was never filled in. The
// track then goes on to an end of track with a chunk after it, or, with a length of 0,
// to the next track or the end of the file.
func (r *reader) beyond(number, start, end int) (extent, int, error) {
	limit := len(r.b)
	if i := bytes.Index(r.b[end:], []byte("MTrk")); i >= 0 {
		limit = end + i
	}
	x, err := measure(r.b[:limit], start)
	if err != nil {
		return x, 0, err
	}
	if end > start && !(x.closed && r.endAt(x.stop)) {
		return x, 0, syntax(end, "the track's chunk ends here, without an end of track and with no chunk after it: %s", damaged)
	}
	r.warn(start-4, "track %d is %d bytes long, not %d as its chunk says", number, x.stop-start, end-start)
	if x.closed {
		limit = x.stop
	}
	return x, limit, nil
}

func (r *reader) trackAt(pos int) bool { return bytes.HasPrefix(r.b[pos:], []byte("MTrk")) }

// checkMeta warns of tempos and time signatures that mean nothing.
func (r *reader) checkMeta(at int, e Event) {
	switch e.Data[1] {
	case MetaTempo:
		if _, ok := tempo(e); !ok {
			r.warn(at, "a tempo must be over 0 microseconds a quarter note; this one is ignored")
		}
	case MetaTimeSignature:
		if _, ok := signature(e, r.file.Division); !ok {
			r.warn(at, "a time signature without beats, or with bars under a tick, is ignored")
		}
	}
}

// finish compares the tracks with what the header said.
func (r *reader) finish() (*File, error) {
	f, n := r.file, len(r.file.Tracks)
	if n == 0 {
		return nil, syntax(len(r.b), "the file ends without a track; export it again")
	}
	if n != r.declared {
		r.warn(10, "the header says %d tracks, the file has %d", r.declared, n)
	}
	if f.Format == 0 && n > 1 {
		r.warn(8, "format 0 has one track, this file has %d; read as format 1", n)
		f.Format = 1
	}
	return f, nil
}
