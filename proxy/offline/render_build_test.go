package offline_test

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// at makes an event of a channel message or of system exclusive.
func at(tick int64, data ...byte) smf.Event { return smf.Event{Tick: tick, Data: data} }

// meta makes a meta event.
func meta(tick int64, kind byte, payload string) smf.Event {
	return smf.Event{Tick: tick, Data: append([]byte{0xFF, kind}, payload...)}
}

func tempo(tick int64, micros int) smf.Event {
	return meta(tick, smf.MetaTempo, string([]byte{byte(micros >> 16), byte(micros >> 8), byte(micros)}))
}

// note makes a note and its end.
func note(tick, length int64, channel, key, velocity byte) []smf.Event {
	return []smf.Event{at(tick, 0x90|channel, key, velocity), at(tick+length, 0x80|channel, key, 64)}
}

// track joins events to a track, in the order of time; what ends at a tick comes
// before what begins.
func track(events ...[]smf.Event) smf.Track {
	t := smf.Track{Events: slices.Concat(events...)}
	slices.SortStableFunc(t.Events, func(a, b smf.Event) int {
		ends := func(e smf.Event) int {
			if e.Data[0]&0xF0 == 0x80 {
				return 0
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.Tick, b.Tick), cmp.Compare(ends(a), ends(b)))
	})
	if n := len(t.Events); n > 0 {
		t.End = t.Events[n-1].Tick
	}
	return t
}

// named is a track with a name and a program (from 1; 0 for none) on a channel.
func named(name string, channel byte, program int, events ...[]smf.Event) smf.Track {
	head := []smf.Event{meta(0, smf.MetaTrackName, name)}
	if program > 0 {
		head = append(head, at(0, 0xC0|channel, byte(program-1)))
	}
	return track(append([][]smf.Event{head}, events...)...)
}

// score is a format 1 file at 480 ticks a quarter.
func score(tracks ...smf.Track) *smf.File {
	return &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 480}, Tracks: tracks}
}

func library(t testing.TB) *profiles.Library {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	return lib
}

// guessing is a cast without a seating.
func guessing(t testing.TB) *perform.Cast { return &perform.Cast{Library: library(t)} }

// evened is that cast with a sampler that was measured, and is as loud to the ear in all parts.
func evened(t testing.TB) *perform.Cast {
	t.Helper()
	m, err := profiles.ParseControllerMap("even.yaml", []byte("swellbox: 1\ncontroller_map: even\neveryone: {sampler: {measured: {louder_db: 0}}}\n"))
	if err != nil {
		t.Fatal(err)
	}
	lib := library(t)
	if err := lib.AddControllerMap(m); err != nil {
		t.Fatal(err)
	}
	return &perform.Cast{Library: lib, ControllerMap: m.Name}
}

// allPlain is a cast whose seating gives every channel the profile "plain", in
// which each habit has the quantity 0.
func allPlain(t testing.TB) *perform.Cast {
	t.Helper()
	var doc strings.Builder
	doc.WriteString("swellbox: 1\nseats:\n")
	for ch := 1; ch <= 16; ch++ {
		fmt.Fprintf(&doc, "  - {channel: %d, profile: plain}\n", ch)
	}
	s, err := profiles.ParseSeating("plain.yaml", []byte(doc.String()))
	if err != nil {
		t.Fatal(err)
	}
	return &perform.Cast{Library: library(t), Seating: s}
}

// render renders with guessed profiles and checks what holds of every render.
func render(t testing.TB, f *smf.File) (*smf.File, *offline.Report) {
	t.Helper()
	return renderWith(t, f, guessing(t))
}

func renderWith(t testing.TB, f *smf.File, cast *perform.Cast) (*smf.File, *offline.Report) {
	t.Helper()
	return renderBy(t, f, cast, perform.Manner{})
}

// renderBy renders in a manner.
func renderBy(t testing.TB, f *smf.File, cast *perform.Cast, manner perform.Manner) (*smf.File, *offline.Report) {
	t.Helper()
	before := encode(t, f)
	out, report, err := offline.Render(t.Context(), f, cast, manner)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(before, encode(t, f)) {
		t.Error("the render changed its input")
	}
	sound(t, f, out, report, manner)
	return out, report
}

// encode gives the bytes of a file, which also checks that ticks do not fall and
// that each value lies in 0..127.
func encode(t testing.TB, f *smf.File) []byte {
	t.Helper()
	b, err := f.Append(nil)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func wantContains(t testing.TB, what, got string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(got, p) {
			t.Errorf("%s: %q is not in it:\n%s", what, p, got)
		}
	}
}

// seated is a cast with a seating.
func seated(t testing.TB, seating string) *perform.Cast {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	s, err := profiles.ParseSeating("seating", []byte(seating))
	if err != nil {
		t.Fatal(err)
	}
	return &perform.Cast{Library: lib, Seating: s}
}
