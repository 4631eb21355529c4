package wire

import (
	"bytes"
	"encoding/hex"
	"slices"
	"strings"
	"testing"
)

// unhex reads bytes as they are written in the tests: "90 3C 40".
func unhex(t testing.TB, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.ReplaceAll(s, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// parse feeds the chunks to a parser and returns its messages as text.
func parse(limit int, chunks ...[]byte) (messages []string, lost Lost) {
	p := NewParser(func(b []byte) { messages = append(messages, hex.EncodeToString(b)) })
	p.limit = limit
	for _, c := range chunks {
		p.Feed(c)
	}
	return messages, p.Lost()
}

func TestParser(t *testing.T) {
	for _, c := range []struct {
		name, in string
		want     []string
		lost     Lost
	}{
		{name: "nothing"},
		{name: "each length", in: "90 3C 40  C1 05  D2 7F  F6  F1 35  F3 07  F2 01 02  E0 00 40",
			want: []string{"903c40", "c105", "d27f", "f6", "f135", "f307", "f20102", "e00040"}},
		{name: "running status", in: "90 3C 40 3C 00 3E 41", want: []string{"903c40", "903c00", "903e41"}},
		{name: "running status of one data byte", in: "C3 01 02 03", want: []string{"c301", "c302", "c303"}},
		{name: "real time between data bytes", in: "90 F8 3C FE 40 FA 3E FB FC 41 FF",
			want: []string{"f8", "fe", "903c40", "fa", "fb", "fc", "903e41", "ff"}},
		{name: "system common cancels running status", in: "90 3C 40 F6 3E 41",
			want: []string{"903c40", "f6"}, lost: Lost{Stray: 2}},
		{name: "so does a song position", in: "90 3C 40 F2 01 02 03", want: []string{"903c40", "f20102"}, lost: Lost{Stray: 1}},
		{name: "so does system exclusive", in: "90 3C 40 F0 01 F7 3E 41",
			want: []string{"903c40", "f001f7"}, lost: Lost{Stray: 2}},
		{name: "so does a lone F7", in: "90 3C 40 F7 3E 41", want: []string{"903c40"}, lost: Lost{Stray: 2}},
		{name: "lone F7", in: "F7 F7 90 3C 40 F7", want: []string{"903c40"}},
		{name: "empty system exclusive", in: "F0 F7", want: []string{"f0f7"}},
		{name: "real time in system exclusive", in: "F0 7E F8 7F FE F7", want: []string{"f8", "fe", "f07e7ff7"}},
		{name: "system exclusive cut by a note", in: "F0 01 02 90 3C 40 F0 03 F7",
			want: []string{"903c40", "f003f7"}, lost: Lost{Cut: 1}},
		{name: "system exclusive cut by another", in: "F0 01 F0 02 F7", want: []string{"f002f7"}, lost: Lost{Cut: 1}},
		{name: "system exclusive that never ends", in: "F0 01 02 03"},
		{name: "note cut by a note", in: "90 3C 90 3E 41", want: []string{"903e41"}, lost: Lost{Cut: 1}},
		{name: "status cut by a status", in: "90 80 3E 41", want: []string{"803e41"}, lost: Lost{Cut: 1}},
		{name: "running status cut in its data", in: "90 3C 40 3E C0 01", want: []string{"903c40", "c001"}, lost: Lost{Cut: 1}},
		{name: "running status left whole", in: "90 3C 40 C0 01", want: []string{"903c40", "c001"}},
		{name: "song position cut", in: "F2 01 F6", want: []string{"f6"}, lost: Lost{Cut: 1}},
		{name: "stray data", in: "01 02 90 3C 40", want: []string{"903c40"}, lost: Lost{Stray: 2}},
		{name: "undefined system common", in: "90 3C 40 F4 3C F5 40 F0 01 F5 02 F7",
			want: []string{"903c40"}, lost: Lost{Undefined: 3, Stray: 3, Cut: 1}},
		{name: "undefined real time disturbs nothing", in: "90 F9 3C 40 FD 3E 41 F0 F9 01 F7",
			want: []string{"903c40", "903e41", "f001f7"}, lost: Lost{Undefined: 3}},
		{name: "at the limit", in: "F0 01 02 03 04 05 06 F7", want: []string{"f0010203040506f7"}},
		{name: "one over", in: "F0 01 02 03 04 05 06 07 F7 F6", want: []string{"f6"}, lost: Lost{Long: 1}},
		{name: "far over, with real time", in: "F0 01 02 03 04 05 06 07 08 09 F8 0A F7 F0 01 F7",
			want: []string{"f8", "f001f7"}, lost: Lost{Long: 1}},
		{name: "over, then cut", in: "F0 01 02 03 04 05 06 07 08 90 3C 40", want: []string{"903c40"}, lost: Lost{Long: 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := unhex(t, c.in)
			got, lost := parse(8, in)
			if !slices.Equal(got, c.want) || lost != c.lost {
				t.Errorf("%s\n got %v, lost %+v\nwant %v, lost %+v", c.in, got, lost, c.want, c.lost)
			}
			for i := range in { // split anywhere
				if split, l := parse(8, in[:i], nil, in[i:]); !slices.Equal(split, got) || l != lost {
					t.Errorf("%s\nsplit before byte %d: %v, lost %+v", c.in, i, split, l)
				}
			}
			for _, m := range c.want {
				if !Whole(unhex(t, m)) {
					t.Errorf("Whole(%s) = false", m)
				}
			}
		})
	}
}

func TestBreak(t *testing.T) {
	for _, c := range []struct {
		before, after string
		want          []string
		lost          Lost
	}{
		{"90 3C 40", "3E 41 F7", []string{"903c40"}, Lost{Stray: 2}},
		{"90 3C", "40", nil, Lost{Cut: 1, Stray: 1}},
		{"F0 01 F8", "02 F7", []string{"f8", "f00102f7"}, Lost{}},
		{"F0 01 02 03 04 05 06 07 08", "09 F7 F6", []string{"f6"}, Lost{Long: 1}},
		{"", "90 3C 40", []string{"903c40"}, Lost{}},
	} {
		var got []string
		p := NewParser(func(b []byte) { got = append(got, hex.EncodeToString(b)) })
		p.limit = 8
		p.Feed(unhex(t, c.before))
		p.Break()
		p.Feed(unhex(t, c.after))
		if !slices.Equal(got, c.want) || p.Lost() != c.lost {
			t.Errorf("%s | %s: %v, lost %+v; want %v, lost %+v", c.before, c.after, got, p.Lost(), c.want, c.lost)
		}
	}
}

func TestTotal(t *testing.T) {
	if n := (Lost{Stray: 1, Undefined: 2, Cut: 4, Long: 8}).Total(); n != 15 {
		t.Errorf("total %d, want 15", n)
	}
}

func TestLongSysex(t *testing.T) {
	var got []byte
	count := 0
	p := NewParser(func(b []byte) { got, count = append(got[:0], b...), count+1 })
	if p.limit != 64<<20 {
		t.Fatalf("the limit is %d bytes, want 64 MiB", p.limit)
	}
	p.limit = 1 << 20 // or this test would take long under the race detector
	whole := append(append([]byte{0xF0}, bytes.Repeat([]byte{1}, p.limit-2)...), 0xF7)
	for chunk := range slices.Chunk(whole, 256) {
		p.Feed(chunk)
	}
	if count != 1 || !bytes.Equal(got, whole) {
		t.Fatalf("%d messages, the last of %d bytes; want one of %d", count, len(got), len(whole))
	}
	p.Feed(whole[:len(whole)-1])
	p.Feed([]byte{1, 0xF7, 0xF6})
	if want := (Lost{Long: 1}); count != 2 || p.Lost() != want {
		t.Fatalf("a byte more: %d messages, lost %+v", count, p.Lost())
	}
	if cap(p.sysex) > keptSysex {
		t.Errorf("it keeps %d bytes", cap(p.sysex))
	}
}

func TestNoAllocation(t *testing.T) {
	n := 0
	p := NewParser(func(b []byte) { n += len(b) })
	in := unhex(t, "90 3C 40 3C 00 F8 C0 01 F2 01 02 F0 01 02 03 F7")
	p.Feed(in)
	if a := testing.AllocsPerRun(100, func() { p.Feed(in) }); a != 0 || n == 0 {
		t.Errorf("%g allocations a run, %d bytes out", a, n)
	}
}

func BenchmarkFeed(b *testing.B) {
	p := NewParser(func([]byte) {})
	in := unhex(b, "90 3C 40 B0 01 20 0B 40 80 3C 40")
	b.SetBytes(int64(len(in)))
	for b.Loop() {
		p.Feed(in)
	}
}

func TestWhole(t *testing.T) {
	for _, s := range []string{"", "40", "90", "90 3C", "90 3C 40 40", "90 3C 80", "90 F8 3C", "C0 01 02", "F0", "F0 01", "F0 F8 F7",
		"F0 01 F7 F7", "F4", "F5", "F7", "F7 01", "F9", "FD", "F8 F8", "F0 01 F7 90"} {
		if Whole(unhex(t, s)) {
			t.Errorf("Whole(%s) = true", s)
		}
	}
}
