// Package wire turns the bytes of a MIDI cable into whole messages.
//
// A [Parser] is fed with chunks of bytes, cut anywhere, and hands each message
// to a function as soon as its last byte is in. It follows the MIDI 1.0 Detailed
// Specification (its rules from memory): running status, real-time bytes inside
// other messages, system common cancelling running status. It knows nothing of
// ports, time or goroutines.
package wire

import "sync/atomic"

// maxSysex is the length, F0 and F7 included, past which a system exclusive
// message is dropped.
const maxSysex = 64 << 20 // 64 MiB

// keptSysex is the most memory that a parser keeps between system exclusive
// messages, so that one long dump does not hold its 64 MiB for ever.
const keptSysex = 64 << 10 // 64 KiB

// Status bytes that the parser treats by name (MIDI 1.0, from memory).
const (
	sysexStart = 0xF0
	timeCode   = 0xF1 // quarter frame
	songPlace  = 0xF2 // song position pointer
	songSelect = 0xF3
	tune       = 0xF6 // tune request
	sysexEnd   = 0xF7
	realTime   = 0xF8 // this and all above
)

// Lost counts what a parser did not hand on.
type Lost struct {
	Stray     uint64 // data bytes that belong to no message
	Undefined uint64 // status bytes without a meaning: F4, F5, F9, FD
	Cut       uint64 // messages that another status byte cut short
	Long      uint64 // system exclusive messages over 64 MiB
}

// Total is the sum of all counts.
func (l Lost) Total() uint64 { return l.Stray + l.Undefined + l.Cut + l.Long }

// Parser is one direction of one cable. Feed must be called by one goroutine at
// a time; Lost may be called beside it.
type Parser struct {
	emit  func(msg []byte)
	limit int // maxSysex, less in tests

	short [3]byte // the message being read, when it is not system exclusive
	have  int     // bytes of it so far; 0: none
	want  int     // its whole length; 0: data bytes are stray
	runs  bool    // short[0] is a running status
	sysex []byte
	mode  mode

	one [1]byte // a real-time message on its way out

	stray, undefined, cut, long atomic.Uint64
}

// mode says where a data byte goes.
type mode uint8

const (
	inShort mode = iota // to the short message, or astray
	inSysex             // to the system exclusive message
	inLong              // nowhere: it belongs to a message that is too long
)

// NewParser makes a parser that calls emit with each message. emit must not keep
// the slice, and must not call the parser.
func NewParser(emit func(msg []byte)) *Parser {
	return &Parser{emit: emit, limit: maxSysex}
}

// Lost is what was dropped so far.
func (p *Parser) Lost() Lost {
	return Lost{p.stray.Load(), p.undefined.Load(), p.cut.Load(), p.long.Load()}
}

// Feed takes the next bytes of the cable. Where they are cut makes no difference.
// A message stays open until its end comes, however many calls later. It
// allocates only while a system exclusive message outgrows those before it.
func (p *Parser) Feed(b []byte) {
	for _, c := range b {
		switch {
		case c >= realTime:
			p.realTime(c)
		case c >= 0x80:
			p.status(c)
		default:
			p.data(c)
		}
	}
}

// Break tells the parser that no running status and no short message reaches from
// the bytes before to those after, as on a driver that gives every message its
// status byte. An open system exclusive message stays open. Without it the tail of one whose
// head a driver has lost would turn into notes.
func (p *Parser) Break() {
	if p.mode != inShort {
		return
	}
	if p.have > 0 && !(p.runs && p.have == 1) {
		p.cut.Add(1)
	}
	p.close()
}

// realTime handles F8 to FF, which may stand between any two bytes and leave
// what is around them as it is.
func (p *Parser) realTime(c byte) {
	if !defined(c) {
		p.undefined.Add(1)
		return
	}
	p.one[0] = c
	p.emit(p.one[:])
}

// status handles 80 to F7: it ends what was open and opens what follows.
func (p *Parser) status(c byte) {
	if c == sysexEnd && p.mode == inSysex {
		if p.append(c) {
			p.emit(p.sysex)
		}
		p.close()
		return
	}
	if p.mode == inSysex || p.mode == inShort && p.have > 0 && !(p.runs && p.have == 1) {
		p.cut.Add(1)
	}
	p.close()
	if c == sysexEnd {
		return // it ends nothing
	}
	if c == sysexStart {
		p.mode = inSysex
		p.append(c)
		return
	}
	if !defined(c) {
		p.undefined.Add(1)
		return
	}
	p.short[0], p.have, p.want = c, 1, Length(c)
	p.complete()
}

// data handles 00 to 7F.
func (p *Parser) data(c byte) {
	switch {
	case p.mode == inSysex:
		p.append(c)
	case p.mode == inLong:
	case p.want == 0:
		p.stray.Add(1)
	default:
		p.short[p.have] = c
		p.have++
		p.complete()
	}
}

// complete hands on the short message if it is whole. A channel message leaves
// its status byte behind for the next.
func (p *Parser) complete() {
	if p.have < p.want {
		return
	}
	p.emit(p.short[:p.want])
	if p.short[0] < sysexStart {
		p.have, p.runs = 1, true
		return
	}
	p.close()
}

// append adds a byte to the system exclusive message, and reports false once that
// is too long.
func (p *Parser) append(c byte) bool {
	if len(p.sysex) == p.limit {
		p.long.Add(1)
		p.close()
		p.mode = inLong
		return false
	}
	p.sysex = append(p.sysex, c)
	return true
}

// close forgets the open message and the running status.
func (p *Parser) close() {
	p.mode, p.have, p.want, p.runs = inShort, 0, 0, false
	if cap(p.sysex) > keptSysex {
		p.sysex = nil
	}
	p.sysex = p.sysex[:0]
}
