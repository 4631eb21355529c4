package wire

import (
	"cmp"
	"encoding/hex"
	"slices"
	"testing"
)

// dumb is the parser written the other way round: with all of the bytes at
// hand, it cuts them at each status byte and looks at what lies between. It is
// slow and has no state, which is what makes it worth comparing with.
func dumb(in []byte, limit int) (messages []string, lost Lost) {
	type ready struct {
		at  int // index of the byte that completes it
		msg []byte
	}
	var out []ready
	var starts []int // of what is not real time
	for i, c := range in {
		switch {
		case c == 0xF9 || c == 0xFD:
			lost.Undefined++
		case c >= 0xF8:
			out = append(out, ready{i, []byte{c}})
		case c >= 0x80:
			starts = append(starts, i)
		}
	}
	first := len(in)
	if len(starts) > 0 {
		first = starts[0]
	}
	lost.Stray += uint64(len(dataOf(in, 0, first)))

	for k, start := range starts {
		end := len(in)
		if k+1 < len(starts) {
			end = starts[k+1]
		}
		last := end == len(in)
		data := dataOf(in, start+1, end)
		c := in[start]
		switch {
		case c == 0xF0:
			whole := append([]byte{c}, bytesAt(in, data)...)
			ended := !last && in[end] == 0xF7
			if ended {
				whole = append(whole, 0xF7)
			}
			switch {
			case len(whole) > limit:
				lost.Long++
			case ended:
				out = append(out, ready{end, whole})
			case !last:
				lost.Cut++
			}
		case c == 0xF7:
			lost.Stray += uint64(len(data))
		case c == 0xF4 || c == 0xF5:
			lost.Undefined++
			lost.Stray += uint64(len(data))
		default:
			need := map[byte]int{0xF1: 1, 0xF2: 2, 0xF3: 1, 0xF6: 0}[c]
			if c < 0xF0 {
				need = map[byte]int{0x8: 2, 0x9: 2, 0xA: 2, 0xB: 2, 0xC: 1, 0xD: 1, 0xE: 2}[c>>4]
			}
			if need == 0 {
				out = append(out, ready{start, []byte{c}})
			}
			got := 0
			for need > 0 && len(data) >= need && (c < 0xF0 || got == 0) {
				out = append(out, ready{data[need-1], append([]byte{c}, bytesAt(in, data[:need])...)})
				data = data[need:]
				got++
			}
			switch {
			case c >= 0xF0 && (got > 0 || need == 0):
				lost.Stray += uint64(len(data))
			case !last && (len(data) > 0 || got == 0):
				lost.Cut++
			}
		}
	}
	slices.SortStableFunc(out, func(a, b ready) int { return cmp.Compare(a.at, b.at) })
	for _, r := range out {
		messages = append(messages, hex.EncodeToString(r.msg))
	}
	return messages, lost
}

// dataOf is the indexes of the data bytes in b[from:to].
func dataOf(b []byte, from, to int) []int {
	var at []int
	for i := from; i < to; i++ {
		if b[i] < 0x80 {
			at = append(at, i)
		}
	}
	return at
}

func bytesAt(b []byte, at []int) []byte {
	out := make([]byte, len(at))
	for i, k := range at {
		out[i] = b[k]
	}
	return out
}

// FuzzParser asserts that the parser says what the dumb one says, that the
// place where the bytes are cut changes nothing, and that each message is whole.
func FuzzParser(f *testing.F) {
	for _, s := range []string{
		"90 3C 40 3E 41 F8 80 3C 40", "F0 7E F8 7F 09 01 F7", "F0 01 02 90 3C 40", "F4 01 F7 F9 C0 01 02",
		"F0 01 02 03 04 05 06 07 08 09 0A F7 F6", "F2 01 F8 02 03", "01 02 F0 F7 90 90 3C",
	} {
		f.Add(unhex(f, s), uint(3))
	}
	f.Fuzz(func(t *testing.T, in []byte, cut uint) {
		const limit = 8
		want, wantLost := dumb(in, limit)
		got, lost := parse(limit, in)
		if !slices.Equal(got, want) || lost != wantLost {
			t.Fatalf("% X\n got %v, lost %+v\nwant %v, lost %+v", in, got, lost, want, wantLost)
		}
		at := int(cut % uint(len(in)+1))
		if split, l := parse(limit, in[:at], in[at:]); !slices.Equal(split, got) || l != lost {
			t.Fatalf("% X\nsplit before byte %d: %v, lost %+v\nwhole: %v, lost %+v", in, at, split, l, got, lost)
		}
		for _, m := range got {
			if !Whole(unhex(t, m)) {
				t.Fatalf("% X\ngave %s, which is no whole message", in, m)
			}
		}
	})
}
