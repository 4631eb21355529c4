package sampler

import (
	"bytes"
	"encoding/binary"
	"math"
	"strings"
	"testing"
)

// waveOf writes samples of two channels as a WAV file has them.
func waveOf(code, bits uint16, samples []float64) []byte {
	var data bytes.Buffer
	for _, x := range samples {
		switch {
		case code == float && bits == 32:
			binary.Write(&data, binary.LittleEndian, float32(x))
		case code == float:
			binary.Write(&data, binary.LittleEndian, x)
		default:
			var b [4]byte
			binary.LittleEndian.PutUint32(b[:], uint32(int32(math.Round(x*(1<<31)))))
			data.Write(b[4-bits/8:])
		}
	}
	var out bytes.Buffer
	out.WriteString("RIFF\x00\x00\x00\x00WAVE")
	out.WriteString("LIST\x03\x00\x00\x00odd\x00") // a chunk of odd length before the format
	out.WriteString("fmt \x10\x00\x00\x00")
	binary.Write(&out, binary.LittleEndian, form{code, 2, 48000, 48000 * 2 * uint32(bits/8), 2 * bits / 8, bits})
	out.WriteString("data")
	binary.Write(&out, binary.LittleEndian, uint32(data.Len()))
	out.Write(data.Bytes())
	return out.Bytes()
}

func TestReadWAV(t *testing.T) {
	samples := []float64{0, 0.5, -0.5, 0.25, 0.125, -1}
	for _, c := range [][2]uint16{{pcm, 16}, {pcm, 24}, {pcm, 32}, {float, 32}, {float, 64}} {
		r, err := readWAV(bytes.NewReader(waveOf(c[0], c[1], samples)))
		if err != nil {
			t.Fatalf("format %d, %d bits: %v", c[0], c[1], err)
		}
		for i, want := range samples {
			if got := float64(r.Channels[i%2][i/2]); math.Abs(got-want) > 1e-4 {
				t.Errorf("format %d, %d bits: sample %d is %g, want %g", c[0], c[1], i, got, want)
			}
		}
	}
}

func TestReadWAVRefuses(t *testing.T) {
	good := waveOf(pcm, 16, []float64{0, 0, 0.5, 0.5})
	for name, c := range map[string]struct {
		bytes []byte
		says  string
	}{
		"nothing":      {nil, "no WAV"},
		"another":      {[]byte("MThd\x00\x00\x00\x06whatever"), "no WAV"},
		"cut":          {good[:20], "ends before its sound"},
		"8 bits":       {waveOf(pcm, 8, nil), "8 bits are not known"},
		"no sound":     {waveOf(pcm, 16, nil), "no sound"},
		"not a number": {waveOf(float, 32, []float64{math.NaN(), 0}), "not numbers"},
	} {
		if _, err := readWAV(bytes.NewReader(c.bytes)); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want it to say %q", name, err, c.says)
		}
	}
}
