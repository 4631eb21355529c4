package mp3

import (
	"context"
	"encoding/binary"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

const rate = 44100

// sine is a second of a tone at half of full.
func sine(hz float64) []float32 {
	x := make([]float32, rate)
	for i := range x {
		x[i] = float32(0.5 * math.Sin(2*math.Pi*hz*float64(i)/rate))
	}
	return x
}

func encoder(t *testing.T) *Encoder {
	t.Helper()
	e, err := NewEncoder(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := e.Close(context.Background()); err != nil {
			t.Error(err)
		}
	})
	return e
}

// Frames begin with eleven bits set; ISO/IEC 11172-3 has the layer, the bit rate and the sampling frequency after them.
func TestFrames(t *testing.T) {
	e := encoder(t)
	for _, want := range []struct{ kbps, index int }{{32, 1}, {64, 5}, {128, 9}, {320, 14}} {
		b, err := e.Encode(t.Context(), [][]float32{sine(440), sine(660)}, rate, want.kbps)
		if err != nil {
			t.Fatal(err)
		}
		if seconds := float64(len(b)*8) / float64(want.kbps*1000); seconds < 1 || seconds > 1.15 {
			t.Errorf("%d kbit/s: %d bytes are %.2f s", want.kbps, len(b), seconds)
		}
		if h := binary.BigEndian.Uint32(b); h>>21 != 0x7FF || h>>17&3 != 1 || int(h>>12&15) != want.index || h>>10&3 != 0 {
			t.Errorf("%d kbit/s: the first frame is %08x", want.kbps, h)
		}
	}
}

// One encoder makes of one sound the same bytes, whatever it encoded before.
func TestEqualSoundsEncodeEqually(t *testing.T) {
	e := encoder(t)
	first, err := e.Encode(t.Context(), [][]float32{sine(440)}, rate, 64)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := e.Encode(t.Context(), [][]float32{sine(100), sine(3000)}, rate, 96); err != nil {
		t.Fatal(err)
	}
	again, err := e.Encode(t.Context(), [][]float32{sine(440)}, rate, 64)
	if err != nil || string(again) != string(first) {
		t.Errorf("the second time %d bytes differ from %d (%v)", len(again), len(first), err)
	}
}

func TestRefused(t *testing.T) {
	e := encoder(t)
	for _, channels := range [][][]float32{{}, {sine(1), sine(2), sine(3)}, {sine(1), sine(1)[:5]}} {
		if _, err := e.Encode(t.Context(), channels, rate, 64); err == nil {
			t.Errorf("%d channels were encoded", len(channels))
		}
	}
	if _, err := e.Encode(t.Context(), [][]float32{sine(1)}, rate, 65); err == nil {
		t.Error("65 kbit/s were encoded")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := e.Encode(ctx, [][]float32{sine(1)}, rate, 64); err == nil {
		t.Error("it went on after the end")
	}
}

func TestRate(t *testing.T) {
	for asked, want := range map[float64]int{0: 32, 47.9: 40, 48: 48, 63: 48, 1000: 320} {
		if got := Rate(asked); got != want {
			t.Errorf("of %g kbit/s it takes %d, want %d", asked, got, want)
		}
	}
}

// Another decoder hears the tone that was encoded, softer by the 0.95 by which the encoder keeps from clipping.
func TestDecodedByAnother(t *testing.T) {
	tool, err := exec.LookPath("ffmpeg")
	if err != nil {
		t.Skip("NOT CHECKED: there is no ffmpeg here")
	}
	b, err := encoder(t).Encode(t.Context(), [][]float32{sine(440)}, rate, 64)
	if err != nil {
		t.Fatal(err)
	}
	in := filepath.Join(t.TempDir(), "tone.mp3")
	if err := os.WriteFile(in, b, 0o600); err != nil {
		t.Fatal(err)
	}
	raw, err := exec.CommandContext(t.Context(), tool, "-v", "error", "-i", in, "-f", "f32le", "-ac", "1", "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	sum, crossings, last := 0., 0, float32(0)
	const from, to = rate / 4, 3 * rate / 4
	for i := from; i < to; i++ {
		x := math.Float32frombits(binary.LittleEndian.Uint32(raw[4*i:]))
		sum += float64(x * x)
		if x > 0 && last <= 0 {
			crossings++
		}
		last = x
	}
	if rms, want := math.Sqrt(sum/(to-from)), 0.95*0.5/math.Sqrt2; math.Abs(20*math.Log10(rms/want)) > 0.1 {
		t.Errorf("the tone is at %.4f, want %.4f", rms, want)
	}
	if crossings < 219 || crossings > 221 {
		t.Errorf("%d periods in half a second, want 220", crossings)
	}
}
