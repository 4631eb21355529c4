package expr

import (
	"time"
)

// Side says which of the two performances an event belongs to. Raw is what
// came in, shaped is what a player would make of it; most of what is not a
// note (programs, sysex, clock) belongs to both and is emitted once.
type Side uint8

const (
	Raw    Side = 1 << iota // the input, untouched
	Shaped                  // the input as a player would play it
	Both   = Raw | Shaped
)

// String names the side in the words of the command line.
func (s Side) String() string {
	switch s {
	case Raw:
		return "raw"
	case Shaped:
		return "shaped"
	case Both:
		return "both"
	}
	return "none"
}

// Event is one message at one moment.
//
// A channel message (status 80 to EF) or a system message of up to three bytes
// sits in Msg[:Len]. Anything longer or foreign to the wire (system exclusive,
// a file's meta events) sits in Data, Len is 0, and the engine never looks
// inside: it comes out as it went in, in its place. Data is borrowed: its owner
// must leave it unchanged until the event has been pulled.
type Event struct {
	At     time.Duration // since the engine's start; never negative
	Data   []byte        // the whole message when Len is 0
	Note   int32         // of a note-on: 1 + its index in the score that is loaded; 0 where it is not known
	Port   uint16        // 0-based number of the input, and of the output it leads to
	Source uint16        // the caller's own tag (a file's track), copied to all that the event causes
	Msg    [3]byte
	Len    uint8
	Side   Side // set by the engine on what it emits; ignored on what is pushed
}

// Short makes an event of a message of one to three bytes.
func Short(at time.Duration, port uint16, msg ...byte) Event {
	e := Event{At: at, Port: port, Len: uint8(len(msg))}
	copy(e.Msg[:], msg)
	return e
}

// Bytes returns the message, which shares memory with the event.
func (e *Event) Bytes() []byte {
	if e.Len == 0 {
		return e.Data
	}
	return e.Msg[:e.Len]
}

// IsChannel reports whether e is a channel message.
func (e *Event) IsChannel() bool { return e.Len > 0 && e.Msg[0] >= 0x80 && e.Msg[0] < 0xF0 }

// Channel returns the 0-based channel of a channel message.
func (e *Event) Channel() int { return int(e.Msg[0] & 0x0F) }

// IsNoteOn reports whether e starts a note. A note-on of velocity 0 does not
// (MIDI 1.0: it is a note-off of velocity 64).
func (e *Event) IsNoteOn() bool { return e.Len == 3 && e.Msg[0]&0xF0 == 0x90 && e.Msg[2] > 0 }

// IsNoteOff reports whether e ends a note, in either of its two spellings.
func (e *Event) IsNoteOff() bool {
	return e.Len == 3 && (e.Msg[0]&0xF0 == 0x80 || e.Msg[0]&0xF0 == 0x90 && e.Msg[2] == 0)
}

func (e *Event) IsNote() bool { return e.IsNoteOn() || e.IsNoteOff() }
