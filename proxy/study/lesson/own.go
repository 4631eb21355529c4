package lesson

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"time"

	"swellbox/proxy/offline"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/sampler"
)

// recorded is a recording of the piece that stands in the place of the demonstration synthesiser.
type recorded struct {
	name  string
	sound *audition.Take
	at    time.Duration // in it: where the piece begins; may be less than 0
}

// readOwn reads recordings and finds the music in each. The error names the file, and says why it cannot be used.
func readOwn(names []string, piece *offline.Timeline) (all []recorded, err error) {
	if len(names) == 0 {
		return nil, nil
	}
	music := musicOf(piece)
	for _, name := range names {
		r, err := sampler.ReadWAV(name)
		if err != nil {
			return nil, err
		}
		one := recorded{name: strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)), sound: asTake(r)}
		if one.at, err = music.find(one.sound); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, one)
	}
	return all, nil
}

// asTake is a recording at the synthesiser's rate; of more than two channels the first two, and one is in the middle.
func asTake(r *sampler.Recording) *audition.Take {
	left := resampled(r.Channels[0], r.Rate)
	if len(r.Channels) == 1 {
		return &audition.Take{Left: left, Right: left}
	}
	return &audition.Take{Left: left, Right: resampled(r.Channels[1], r.Rate)}
}

// reach is how many zero crossings of the sinc a sample is made of to either side: with the window over it what is
// folded back lies some 80 dB down (J. O. Smith, Digital Audio Resampling, from memory).
const reach = 24

// resampled is a channel at [audition.SampleRate].
func resampled(x []float32, rate int) []float32 {
	if rate == audition.SampleRate {
		return x
	}
	step := float64(rate) / audition.SampleRate
	cut := math.Min(1, 1/step) // what the lower of the two rates can hold
	half := reach / cut
	out := make([]float32, int(float64(len(x))/step))
	for i := range out {
		at, sum := float64(i)*step, 0.
		for n := max(int(math.Ceil(at-half)), 0); n < len(x) && float64(n) <= at+half; n++ {
			d := (at - float64(n)) * cut
			sum += float64(x[n]) * cut * sinc(d) * (0.5 + 0.5*math.Cos(math.Pi*d/reach))
		}
		out[i] = float32(sum)
	}
	return out
}

func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// cut is the stretch of a recording, which fades out at its end; where it was not recorded there is silence.
func (r *recorded) cut(from, to time.Duration) *audition.Take {
	n := int((to - from).Seconds() * audition.SampleRate)
	start := int((from + r.at).Seconds() * audition.SampleRate)
	t := &audition.Take{Left: make([]float32, n), Right: make([]float32, n)}
	const fade = audition.SampleRate / 4
	for i := range n {
		at := start + i
		if at < 0 || at >= len(r.sound.Left) {
			continue
		}
		gain := float32(min(float64(n-i)/fade, 1))
		t.Left[i], t.Right[i] = r.sound.Left[at]*gain, r.sound.Right[at]*gain
	}
	return t
}
