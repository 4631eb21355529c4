package smf

import (
	"bytes"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// again checks that a file that was read can be written and reads as the same.
func again(t interface {
	Helper()
	Fatalf(string, ...any)
}, f *File,
) {
	t.Helper()
	b, err := f.Append(nil)
	if err != nil {
		t.Fatalf("what was read cannot be written: %v", err)
	}
	g, err := Read(b)
	if err != nil {
		t.Fatalf("what was written cannot be read: %v\n% X", err, b)
	}
	if d := difference(f, g); d != "" {
		t.Fatalf("written and read again: %s\n%s\n%s", d, summary(f), summary(g))
	}
	c, err := g.Append(nil)
	if err != nil || !bytes.Equal(b, c) {
		t.Fatalf("written twice: %v\n% X\n% X", err, b, c)
	}
}

// files generates files of all that the standard allows, or only of what
// plain readers understand: whole sysex, text and tempo, no foreign chunks.
func files(plain bool) *rapid.Generator[*File] {
	return rapid.Custom(func(t *rapid.T) *File {
		f := &File{Format: rapid.IntRange(0, 2).Draw(t, "format")}
		if rapid.Bool().Draw(t, "smpte") {
			f.Division.FramesPerSecond = rapid.SampledFrom([]int{24, 25, 29, 30}).Draw(t, "frames")
			f.Division.TicksPerFrame = rapid.IntRange(1, 255).Draw(t, "ticks")
		} else {
			f.Division.TicksPerQuarter = rapid.IntRange(1, 32767).Draw(t, "quarter")
		}
		tracks := 1
		if f.Format > 0 {
			tracks = rapid.IntRange(1, 4).Draw(t, "tracks")
		}
		for i := range tracks {
			f.foreign(t, i, plain)
			var tr Track
			for range rapid.IntRange(0, 20).Draw(t, "events") {
				tr.End += delta(t)
				tr.Events = append(tr.Events, Event{Tick: tr.End, Data: data(t, plain)})
			}
			tr.End += delta(t)
			f.Tracks = append(f.Tracks, tr)
		}
		f.foreign(t, tracks, plain)
		return f
	})
}

func (f *File) foreign(t *rapid.T, before int, plain bool) {
	if plain || rapid.IntRange(0, 3).Draw(t, "foreign") > 0 {
		return
	}
	f.Foreign = append(f.Foreign, Chunk{
		Type:   [4]byte(unhex("58464948")),
		Data:   rapid.SliceOfN(rapid.Byte(), 0, 20).Draw(t, "chunk"),
		Before: before,
	})
}

func delta(t *rapid.T) int64 {
	limit := rapid.SampledFrom([]int64{0, 127, 500, 20000, maxVLQ}).Draw(t, "limit")
	return rapid.Int64Range(0, limit).Draw(t, "delta")
}

func data(t *rapid.T, plain bool) []byte {
	payload := func(of *rapid.Generator[byte]) []byte {
		return rapid.SliceOfN(of, 0, 200).Draw(t, "payload")
	}
	low := rapid.ByteMax(0x7F)
	kinds := 5
	if plain {
		kinds = 3
	}
	switch rapid.IntRange(0, kinds).Draw(t, "kind") {
	default:
		status := rapid.SampledFrom([]byte{0x80, 0x90, 0x91, 0xA0, 0xB0, 0xC0, 0xDF, 0xE5}).Draw(t, "status")
		n := dataBytes(status)
		return append([]byte{status}, rapid.SliceOfN(low, n, n).Draw(t, "data")...)
	case 1:
		return slices.Concat([]byte{0xF0}, payload(low), []byte{0xF7})
	case 2:
		return append([]byte{0xFF, rapid.ByteRange(MetaText, 7).Draw(t, "text")}, payload(rapid.Byte())...)
	case 3:
		return tempoAt(0, rapid.IntRange(1, 1<<24-1).Draw(t, "tempo")).Data
	case 4:
		return append([]byte{rapid.SampledFrom([]byte{0xF0, 0xF7}).Draw(t, "packet")}, payload(rapid.Byte())...)
	case 5:
		kind := low.Filter(func(b byte) bool { return b != MetaEndOfTrack }).Draw(t, "meta")
		return append([]byte{0xFF, kind}, payload(rapid.Byte())...)
	}
}

func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { again(t, files(false).Draw(t, "file")) })
}

// TestMutations damages files at random. Reading must not panic, and what it
// accepts must be sound.
func TestMutations(t *testing.T) {
	accepted, warned := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		b, err := files(false).Draw(t, "file").Append(nil)
		if err != nil {
			t.Fatal(err)
		}
		for range rapid.IntRange(1, 4).Draw(t, "mutations") {
			i := rapid.IntRange(0, len(b)).Draw(t, "at")
			j := min(len(b), i+rapid.IntRange(0, 8).Draw(t, "cut"))
			put := rapid.SliceOfN(rapid.Byte(), 0, 8).Draw(t, "put")
			b = slices.Replace(b, i, j, put...)
		}
		if rapid.Bool().Draw(t, "truncate") {
			b = b[:rapid.IntRange(0, len(b)).Draw(t, "length")]
		}
		f, err := Read(b)
		if err != nil {
			return
		}
		accepted++
		if len(f.Warnings) > 0 {
			warned++
		}
		again(t, f)
	})
	if accepted == 0 || warned == 0 {
		t.Errorf("%d damaged files were accepted, %d with warnings: the damage is too great to test anything", accepted, warned)
	}
}
