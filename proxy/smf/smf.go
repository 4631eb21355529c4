// Package smf reads and writes Standard MIDI Files (SMF 1.0, RP-001).
//
// [Read] takes a whole file and gives a [File], or a [*SyntaxError] that names
// the byte where the file stops making sense. [File.Append] gives the bytes back. All
// that the standard lets a file hold survives the round trip: every meta event,
// system exclusive in any number of packets, foreign chunks. Running status is
// resolved on reading and used again on writing.
package smf

// File is a Standard MIDI File.
type File struct {
	Format   int // 0 one track, 1 simultaneous tracks, 2 independent sequences
	Division Division
	Tracks   []Track
	Foreign  []Chunk  // chunks of a type the standard does not know, in order
	Warnings []string // what was wrong but could be read over, each with its byte offset
}

// Division is the unit of time of a file: either ticks in a quarter note, or
// ticks in a frame of SMPTE time code.
type Division struct {
	TicksPerQuarter int // 1..32767; 0 when the file is in SMPTE time
	FramesPerSecond int // 24, 25, 29 (29.97 drop frame) or 30
	TicksPerFrame   int // 1..255
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
type Event struct {
	Tick int64 // since the track's start
	Data []byte
}

// Chunk is a chunk of the file that is not ours.
type Chunk struct {
	Type   [4]byte
	Data   []byte
	Before int // how many track chunks came before it
}
