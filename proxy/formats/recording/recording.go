// Package recording is the file of what came in while somebody played: every message with its time
// and port, and what was ordered meanwhile. The calls that matter are [Create] and [Read].
//
// A recording is only ever added to. It is a line of text, then blocks, each by itself: its length
// and its checksum (CRC-32, IEEE 802.3), four bytes each, little-endian, then records, compressed by
// DEFLATE (RFC 1951). So whatever ends the program, all blocks that were written can be read, and
// what is lost is what came in since the last one: [Period] at most, and as much as the system had
// not brought to the disk should the machine fail.
//
// A record is its kind, the time since the record before it in nanoseconds (of a block's first:
// since the start), and: of a message its port, its length and its bytes; of an order its length and
// its text; of a gap how many messages are missing. Numbers are unsigned varints (base 128).
package recording

import "time"

// header begins every recording.
const header = "swellbox recording 1\n"

// Period is how often what came in is written.
const Period = 250 * time.Millisecond

// Kind says what a [Record] is.
type Kind uint8

// The kinds of records.
const (
	Message Kind = 1 + iota // Bytes came in on Port
	Order                   // Bytes say what was ordered
	Gap                     // Missing messages and orders were not written, as the disk was too slow
)

// Record is one record.
type Record struct {
	At      time.Duration // since the start
	Kind    Kind
	Port    uint16
	Missing uint64
	Bytes   []byte
}

// Recording is what a file holds.
type Recording struct {
	Records []Record // in the order of time
	Cut     bool     // the file ends within a block, or a block is damaged: what follows is not known
}
