package smf

import "errors"

// errCut tells that the bytes ended within an event.
var errCut = errors.New("the event is cut off")

// message is one event as it stands in the file.
type message struct {
	at     int    // offset of its first byte after the delta time
	status byte   // 80..F0, F7 or FF, running status resolved
	meta   byte   // the type, when status is FF
	body   []byte // what follows status and type in Event.Data; lies in the file
	lax    bool   // running status was used though it had been cancelled
}

// scanner walks through the events of one track.
type scanner struct {
	b         []byte // the file, up to where the track ends at the latest
	pos       int
	tick      int64 // of the event scanned last
	running   byte  // status of the last channel message; 0 before the first
	cancelled bool  // a meta or sysex event stood after it
}

// next scans one event into m. It returns errCut, with pos and tick still at the
// end of the event before, if the bytes end first.
func (s *scanner) next(m *message) error {
	pos := s.pos
	delta, err := s.vlq(&pos)
	if err != nil {
		return err
	}
	if pos == len(s.b) {
		return errCut
	}
	m.at, m.status, m.lax = pos, s.b[pos], false
	if m.status < 0x80 {
		if s.running == 0 {
			return syntax(pos, "byte %02X stands where the first event of a track needs a status byte: %s", m.status, damaged)
		}
		m.status, m.lax = s.running, s.cancelled
	} else {
		pos++
	}
	switch {
	case m.status < 0xF0:
		err = s.channel(m, &pos)
	case m.status == 0xFF:
		err = s.metaEvent(m, &pos)
	case m.status == 0xF0 || m.status == 0xF7:
		m.body, err = s.counted(&pos)
		s.cancelled = true
	default:
		return syntax(m.at, "status %02X belongs on a wire, not in a track: %s", m.status, damaged)
	}
	if err != nil {
		return err
	}
	s.pos = pos
	s.tick += int64(delta)
	return nil
}

func (s *scanner) channel(m *message, pos *int) error {
	n := dataBytes(m.status)
	if len(s.b)-*pos < n {
		return errCut
	}
	m.body = s.b[*pos : *pos+n]
	for i, c := range m.body {
		if c >= 0x80 {
			return syntax(*pos+i, "byte %02X stands where a data byte of message %02X is due: %s", c, m.status, damaged)
		}
	}
	*pos += n
	s.running, s.cancelled = m.status, false
	return nil
}

func (s *scanner) metaEvent(m *message, pos *int) (err error) {
	if *pos == len(s.b) {
		return errCut
	}
	m.meta = s.b[*pos]
	if m.meta >= 0x80 {
		return syntax(*pos, "meta event of type %02X, but types end at 7F: %s", m.meta, damaged)
	}
	*pos++
	m.body, err = s.counted(pos)
	s.cancelled = true
	return err
}

// counted reads a length and as many bytes.
func (s *scanner) counted(pos *int) ([]byte, error) {
	n, err := s.vlq(pos)
	if err != nil {
		return nil, err
	}
	if uint64(n) > uint64(len(s.b)-*pos) {
		return nil, errCut
	}
	body := s.b[*pos : *pos+int(n)]
	*pos += int(n)
	return body, nil
}

func (s *scanner) vlq(pos *int) (uint32, error) {
	v, n := readVLQ(s.b[*pos:])
	switch {
	case n == 0:
		return 0, errCut
	case n < 0:
		return 0, syntax(*pos, "a number is over four bytes long: %s", damaged)
	}
	*pos += n
	return v, nil
}

// dataBytes is how many data bytes follow the status byte of a channel message.
func dataBytes(status byte) int {
	if kind := status & 0xF0; kind == 0xC0 || kind == 0xD0 {
		return 1
	}
	return 2
}

// extent is what a first walk through a track finds: how much it holds, and
// where it ends.
type extent struct {
	events, bytes int   // events, and the bytes of their Data
	tick          int64 // of the end
	stop          int   // offset after the end of track, or after the last whole event
	closed        bool  // an end of track was there
	lax           int   // offset of the first event with a cancelled running status, or 0
}

// measure walks through the track in b from offset start to its end of track,
// or to the end of b.
func measure(b []byte, start int) (extent, error) {
	var x extent
	var m message
	s := scanner{b: b, pos: start}
	for !x.closed {
		err := s.next(&m)
		if err == errCut {
			break
		}
		if err != nil {
			return x, err
		}
		if m.lax && x.lax == 0 {
			x.lax = m.at
		}
		if m.status == 0xFF && m.meta == MetaEndOfTrack {
			x.closed = true
			break
		}
		x.events++
		x.bytes += m.size()
	}
	x.tick, x.stop = s.tick, s.pos
	return x, nil
}

// size is the length of the message's Data.
func (m *message) size() int {
	if m.status == 0xFF {
		return 2 + len(m.body)
	}
	return 1 + len(m.body)
}

// fill makes the events of a measured track. Their Data share one piece of memory
// of exactly the size they need, so that neither many small allocations nor the
// bytes of the file are kept. visit sees each meta event with its offset.
func fill(b []byte, start int, x extent, visit func(at int, e Event)) (Track, error) {
	t := Track{End: x.tick}
	if x.events == 0 {
		return t, nil
	}
	t.Events = make([]Event, x.events)
	arena := make([]byte, 0, x.bytes)
	var m message
	s := scanner{b: b[:x.stop], pos: start}
	for i := range t.Events {
		if err := s.next(&m); err != nil {
			return Track{}, err
		}
		from := len(arena)
		arena = append(arena, m.status)
		if m.status == 0xFF {
			arena = append(arena, m.meta)
		}
		arena = append(arena, m.body...)
		t.Events[i] = Event{Tick: s.tick, Data: arena[from:len(arena):len(arena)]}
		if m.status == 0xFF {
			visit(m.at, t.Events[i])
		}
	}
	return t, nil
}
