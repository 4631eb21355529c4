package smf

import (
	"bytes"
	"testing"

	"pgregory.net/rapid"
)

// The examples of variable-length quantities in "Standard MIDI Files 1.0"
// (RP-001), from memory.
var vlqTable = []struct {
	v uint32
	b []byte
}{
	{0x00000000, []byte{0x00}},
	{0x00000040, []byte{0x40}},
	{0x0000007F, []byte{0x7F}},
	{0x00000080, []byte{0x81, 0x00}},
	{0x00002000, []byte{0xC0, 0x00}},
	{0x00003FFF, []byte{0xFF, 0x7F}},
	{0x00004000, []byte{0x81, 0x80, 0x00}},
	{0x00100000, []byte{0xC0, 0x80, 0x00}},
	{0x001FFFFF, []byte{0xFF, 0xFF, 0x7F}},
	{0x00200000, []byte{0x81, 0x80, 0x80, 0x00}},
	{0x08000000, []byte{0xC0, 0x80, 0x80, 0x00}},
	{0x0FFFFFFF, []byte{0xFF, 0xFF, 0xFF, 0x7F}},
}

func TestVLQTable(t *testing.T) {
	for _, c := range vlqTable {
		if got := appendVLQ(nil, c.v); !bytes.Equal(got, c.b) {
			t.Errorf("appendVLQ(%X) = % X, want % X", c.v, got, c.b)
		}
		if v, n := readVLQ(append(bytes.Clone(c.b), 0x55)); v != c.v || n != len(c.b) {
			t.Errorf("readVLQ(% X) = %X, %d; want %X, %d", c.b, v, n, c.v, len(c.b))
		}
		if _, n := readVLQ(c.b[:len(c.b)-1]); n != 0 {
			t.Errorf("readVLQ(% X) without its last byte: n = %d, want 0", c.b, n)
		}
	}
	if _, n := readVLQ([]byte{0x80, 0x80, 0x80, 0x80, 0x00}); n != -1 {
		t.Errorf("five bytes: n = %d, want -1", n)
	}
	if v, n := readVLQ([]byte{0x80, 0x80, 0x80, 0x05}); v != 5 || n != 4 {
		t.Errorf("four bytes where one would do: %d, %d; want 5, 4", v, n)
	}
}

func TestVLQRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Uint32Range(0, maxVLQ).Draw(t, "v")
		b := appendVLQ(nil, v)
		if got, n := readVLQ(b); got != v || n != len(b) {
			t.Fatalf("readVLQ(% X) = %X, %d; want %X, %d", b, got, n, v, len(b))
		}
	})
}
