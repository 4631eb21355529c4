// Package smf reads and writes Standard MIDI Files (SMF 1.0, RP-001).
//
// [Read] takes a whole file and gives a [File], or a [*SyntaxError] that names
// the byte where the file stops making sense. [File.Append] gives the bytes back. All
// that the standard lets a file hold survives the round trip: every meta event,
// system exclusive in any number of packets, foreign chunks. Running status is
// resolved on reading and used again on writing.
//
// [NewTempoMap] turns ticks into time and back, [Bars] ticks into bars and back.
//
// A damaged file is read as far as its meaning is certain, and File.Warnings
// tells what was read over; where the meaning is not certain it is refused.
// The package knows files only: no ports, no clocks, no musical decisions.
package smf

import "fmt"

// File is a Standard MIDI File.
type File struct {
	Format   int // 0 one track, 1 simultaneous tracks, 2 independent sequences
	Division Division
	Tracks   []Track
	Foreign  []Chunk  // chunks of a type the standard does not know, in order
	Warnings []string // what was wrong but could be read over, each with its byte offset; not written
}

// Division is the unit of time of a file: either ticks in a quarter note, or
// ticks in a frame of SMPTE time code.
type Division struct {
	TicksPerQuarter int // 1..32767; 0 when the file is in SMPTE time
	FramesPerSecond int // 24, 25, 29 (29.97 drop frame) or 30; 0 when ticks are of a quarter
	TicksPerFrame   int // 1..255; 0 when ticks are of a quarter
}

// Track is one MTrk chunk without its end-of-track event.
type Track struct {
	Events []Event
	End    int64 // tick of the end of the track; never before the last event
}

// Event is one event of a track. Data is the whole message as it would go over a
// wire: channel messages with their status byte, F0 … F7 for system exclusive.
// Meta events are FF, type, then the payload without its length; an F7
// (escape) packet is F7 followed by its bytes.
//
// System exclusive in several packets is F0 … without an F7 at its end, then
// F7 packets, of which the last one ends in F7: each packet is one event.
type Event struct {
	Tick int64 // since the track's start
	Data []byte
}

// Chunk is a chunk of the file that is not ours.
type Chunk struct {
	Type   [4]byte // printable ASCII, neither MThd nor MTrk
	Data   []byte
	Before int // how many track chunks came before it
}

// check says what is wrong with a division that no file can hold.
func (d Division) check() error {
	switch {
	case d.TicksPerQuarter != 0 && (d.FramesPerSecond != 0 || d.TicksPerFrame != 0):
		return fmt.Errorf("the division counts ticks both in a quarter note and in a frame; choose one")
	case d.TicksPerQuarter != 0 && (d.TicksPerQuarter < 0 || d.TicksPerQuarter > 32767):
		return fmt.Errorf("the division must be 1 to 32767 ticks in a quarter note, found %d", d.TicksPerQuarter)
	case d.TicksPerQuarter != 0:
		return nil
	case d.FramesPerSecond == 0 && d.TicksPerFrame == 0:
		return fmt.Errorf("a division of 0 gives ticks no duration; set ticks in a quarter note")
	case d.FramesPerSecond != 24 && d.FramesPerSecond != 25 && d.FramesPerSecond != 29 && d.FramesPerSecond != 30:
		return fmt.Errorf("the division must be 24, 25, 29 or 30 frames a second, found %d", d.FramesPerSecond)
	case d.TicksPerFrame < 1 || d.TicksPerFrame > 255:
		return fmt.Errorf("the division must be 1 to 255 ticks in a frame, found %d", d.TicksPerFrame)
	}
	return nil
}
