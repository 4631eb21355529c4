package smf

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
)

// unhex reads hexadecimal with spaces where one likes.
func unhex(s string) []byte {
	b, err := hex.DecodeString(strings.ReplaceAll(s, " ", ""))
	if err != nil {
		panic(err)
	}
	return b
}

// sized makes a chunk that says length, whatever its body has.
func sized(kind string, length uint32, body string) []byte {
	return slices.Concat([]byte(kind), binary.BigEndian.AppendUint32(nil, length), unhex(body))
}

// chunk makes a sound chunk.
func chunk(kind, body string) []byte {
	return sized(kind, uint32(len(unhex(body))), body)
}

// one makes a file of format 0 at 96 ticks a quarter with one track.
func one(body string) []byte {
	return slices.Concat(chunk("MThd", "0000 0001 0060"), chunk("MTrk", body))
}

// summary shows the contents of a file on one line: the tracks with the tick and
// bytes of each event, and foreign chunks in their place.
func summary(f *File) string {
	var parts []string
	foreign := f.Foreign
	for i := 0; i <= len(f.Tracks); i++ {
		for len(foreign) > 0 && foreign[0].Before == i {
			parts = append(parts, fmt.Sprintf("%s:%X", foreign[0].Type[:], foreign[0].Data))
			foreign = foreign[1:]
		}
		if i == len(f.Tracks) {
			break
		}
		var s strings.Builder
		for _, e := range f.Tracks[i].Events {
			fmt.Fprintf(&s, "%d:%X ", e.Tick, e.Data)
		}
		parts = append(parts, fmt.Sprintf("%send:%d", &s, f.Tracks[i].End))
	}
	return strings.Join(parts, " | ")
}

// difference is "" for two files that are the same but for their warnings.
func difference(a, b *File) string {
	switch {
	case a.Format != b.Format:
		return fmt.Sprintf("format %d and %d", a.Format, b.Format)
	case a.Division != b.Division:
		return fmt.Sprintf("division %v and %v", a.Division, b.Division)
	case len(a.Tracks) != len(b.Tracks):
		return fmt.Sprintf("%d and %d tracks", len(a.Tracks), len(b.Tracks))
	}
	if !slices.EqualFunc(a.Foreign, b.Foreign, func(c, d Chunk) bool {
		return c.Type == d.Type && c.Before == d.Before && bytes.Equal(c.Data, d.Data)
	}) {
		return fmt.Sprintf("foreign chunks %v and %v", a.Foreign, b.Foreign)
	}
	for i := range a.Tracks {
		if a.Tracks[i].End != b.Tracks[i].End {
			return fmt.Sprintf("track %d: end at %d and %d", i+1, a.Tracks[i].End, b.Tracks[i].End)
		}
		if !slices.EqualFunc(a.Tracks[i].Events, b.Tracks[i].Events, func(d, e Event) bool {
			return d.Tick == e.Tick && bytes.Equal(d.Data, e.Data)
		}) {
			return fmt.Sprintf("track %d: other events", i+1)
		}
	}
	return ""
}

// at makes an event from hexadecimal.
func at(tick int64, data string) Event { return Event{Tick: tick, Data: unhex(data)} }

// meta makes a meta event.
func meta(tick int64, kind byte, payload string) Event {
	return Event{Tick: tick, Data: append([]byte{0xFF, kind}, payload...)}
}

// tempoAt makes a tempo event, in µs a quarter note.
func tempoAt(tick int64, us int) Event {
	return Event{Tick: tick, Data: []byte{0xFF, MetaTempo, byte(us >> 16), byte(us >> 8), byte(us)}}
}
