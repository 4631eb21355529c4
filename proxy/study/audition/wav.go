package audition

import (
	"fmt"
	"io"
	"math"

	"github.com/go-audio/audio"
	"github.com/go-audio/wav"
)

const (
	bitDepth  = 16
	fullScale = 1<<(bitDepth-1) - 1
	// normalDB is where a note with an RMS of 1 is written, dB re full scale, when
	// the takes leave the room for it (ours: 22 parts between mp and f then peak at
	// about -4 dBFS).
	normalDB = -16
	peakDB   = -1 // dB re full scale that no written sample passes
	// ditherPeak is the most that dither adds, in steps of the last bit, and
	// rounding the last half.
	ditherPeak = 1.5
	pcm        = 1
	// writeFrames is how many frames are handed to the encoder at a time.
	writeFrames = 1 << 14
)

// peakStep is the greatest sample that may be written.
var peakStep = math.Floor(fullScale * math.Pow(10, peakDB/20.0))

// Peak is the greatest absolute sample of either channel.
func (t *Take) Peak() float64 {
	top := float32(0)
	for _, ch := range [][]float32{t.Left, t.Right} {
		for _, x := range ch {
			top = max(top, x, -x)
		}
	}
	return float64(top)
}

// CommonGain is the one gain at which all takes may be written and compared
// by ear: the normal one, or as much less as keeps the loudest of them at or
// under -1 dBFS.
func CommonGain(takes ...*Take) float64 {
	gain := math.Pow(10, normalDB/20.0)
	for _, t := range takes {
		if peak := t.Peak(); peak > 0 {
			gain = min(gain, (peakStep-ditherPeak)/fullScale/peak)
		}
	}
	return gain
}

// WriteWAV writes the take as 16-bit stereo, each sample times gain and with
// dither that is the same every time. A gain that would pass -1 dBFS is an
// error, and nothing is written. w is not closed.
func (t *Take) WriteWAV(w io.WriteSeeker, gain float64) error {
	if !(gain >= 0) {
		return fmt.Errorf("the gain of a take must not be negative, found %g", gain)
	}
	const slack = 1e-6 // steps: the rounding of CommonGain
	if peak := t.Peak() * gain * fullScale; !(peak < peakStep-ditherPeak+slack) {
		return fmt.Errorf("a gain of %g does not bring the take's peak to %d dBFS or under; use the common gain of all takes", gain, peakDB)
	}
	enc := wav.NewEncoder(w, SampleRate, bitDepth, 2, pcm)
	format := &audio.Format{NumChannels: 2, SampleRate: SampleRate}
	data := make([]int, 0, 2*writeFrames)
	dither := newNoise(0)
	for from := 0; ; from += writeFrames {
		data = data[:0]
		for j := from; j < min(from+writeFrames, len(t.Left)); j++ {
			data = append(data, quantize(t.Left[j], gain, &dither), quantize(t.Right[j], gain, &dither))
		}
		// An empty take still needs the one write that makes its headers.
		if err := enc.Write(&audio.IntBuffer{Format: format, Data: data, SourceBitDepth: bitDepth}); err != nil {
			return fmt.Errorf("cannot write the samples: %w", err)
		}
		if from+writeFrames >= len(t.Left) {
			break
		}
	}
	if err := enc.Close(); err != nil {
		return fmt.Errorf("cannot finish the wav file: %w", err)
	}
	return nil
}

// quantize rounds a sample with triangular dither of two steps from end to end.
func quantize(x float32, gain float64, dither *noise) int {
	r := dither.next()
	tri := float64(uint32(r))/(1<<32) - float64(r>>32)/(1<<32)
	return int(math.Round(float64(x)*gain*fullScale + tri))
}
