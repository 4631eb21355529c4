package smf

import (
	"bytes"
	"unicode/utf8"
)

// Types of meta events. Those of SMF 1.0 (RP-001), but for the program and
// device name (RP-019) and the port (common practice, no published source; all from memory).
const (
	MetaText          = 0x01
	MetaTrackName     = 0x03 // of the sequence, in format 0 and in the first track of format 1
	MetaInstrument    = 0x04
	MetaDevice        = 0x09
	MetaPort          = 0x21
	MetaEndOfTrack    = 0x2F // never an Event: it is Track.End
	MetaTempo         = 0x51 // µs a quarter note, three bytes
	MetaTimeSignature = 0x58 // beats, power of two of the beat's unit, clocks a click, 32nds a quarter
)

// Meta returns the type and payload of a meta event; ok is false for other events.
func (e Event) Meta() (kind byte, payload []byte, ok bool) {
	if len(e.Data) < 2 || e.Data[0] != 0xFF {
		return 0, nil, false
	}
	return e.Data[1], e.Data[2:], true
}

// Text decodes the payload of a text event. The standard asks for ASCII and
// does not say what else: what is valid UTF-8 is taken as that, all else as
// Latin-1. NUL bytes at the end, which some programs write, are left out.
func Text(payload []byte) string {
	payload = bytes.TrimRight(payload, "\x00")
	if utf8.Valid(payload) {
		return string(payload)
	}
	runes := make([]rune, len(payload))
	for i, c := range payload {
		runes[i] = rune(c)
	}
	return string(runes)
}

// first returns the payload of the track's first meta event of a kind.
func (t *Track) first(kind byte) ([]byte, bool) {
	for _, e := range t.Events {
		if k, payload, ok := e.Meta(); ok && k == kind {
			return payload, true
		}
	}
	return nil, false
}

func (t *Track) text(kind byte) string {
	payload, _ := t.first(kind)
	return Text(payload)
}

// Name is the track's name, or "". In format 0, and in the first track of
// format 1, it is the name of the piece.
func (t *Track) Name() string { return t.text(MetaTrackName) }

// Instrument is the name of the track's instrument, or "".
func (t *Track) Instrument() string { return t.text(MetaInstrument) }

// Device is the name of the device the track is for, or "".
func (t *Track) Device() string { return t.text(MetaDevice) }

// Port is the number of the port the track is for, from 0; ok is false if the
// track does not say.
func (t *Track) Port() (port int, ok bool) {
	payload, _ := t.first(MetaPort)
	if len(payload) == 0 {
		return 0, false
	}
	return int(payload[0]), true
}
