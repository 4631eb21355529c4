package lesson

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"time"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/dsp/window"

	"swellbox/expr"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/audition"
)

// Where a piece begins in a recording is found in two steps: by which of the twelve tones sound, which no instrument and no
// room hides, and then by where notes begin, which tells it finer.
const (
	tonesRate = 20 // frames a second of which tones sound
	risesRate = 100
	farthest  = 120 // s: how long before the music a recording may begin
	lacking   = 10  // s: how much of the music it may lack at its beginning
	steadiest = 0.1 // s: by how much the halves of the music may lie apart; more is another tempo
	nearest   = 15  // frames of rises around what the tones say
)

// leastAlike is how alike the tones must be: those of the built-in score are 0.75 alike at its place, raw and shaped, and up to
// 0.41 at others, where it is in the same key. Ours, between the two.
const leastAlike = 0.5

// tones is how much each of the twelve tones sounds in a frame: their mean is 0, and their squares sum up to 1, or to 0 in silence.
type tones [12]float64

func (t *tones) level() {
	mean, sum := 0., 0.
	for _, v := range t {
		mean += v / 12
	}
	for i := range t {
		t[i] -= mean
		sum += t[i] * t[i]
	}
	for i := range t {
		if sum > 0 {
			t[i] /= math.Sqrt(sum)
		}
	}
}

// music is what a recording is compared with.
type music struct {
	tones []tones
	rises []float64
}

// musicOf is what a piece sounds like, as far as is asked here.
func musicOf(t *offline.Timeline) *music {
	m := &music{tones: make([]tones, int(t.End.Seconds()*tonesRate)+1), rises: make([]float64, int(t.End.Seconds()*risesRate)+2)}
	open := map[[3]int]time.Duration{}
	for i := range t.Events {
		e := &t.Events[i]
		switch {
		case e.IsNoteOn():
			open[key(e)] = e.At
			m.rises[min(int(math.Round(e.At.Seconds()*risesRate)), len(m.rises)-1)] += float64(e.Msg[2]) / 127
		case e.IsNoteOff():
			if on, ok := open[key(e)]; ok {
				m.sound(e, on)
				delete(open, key(e))
			}
		}
	}
	for i := range m.tones {
		m.tones[i].level()
	}
	m.rises = smooth(m.rises)
	return m
}

// sound has a note sound until it ends.
func (m *music) sound(end *expr.Event, on time.Duration) {
	for f := int(on.Seconds() * tonesRate); f < len(m.tones) && float64(f) < end.At.Seconds()*tonesRate; f++ {
		m.tones[f][end.Msg[1]%12]++
	}
}

// The tones are looked for from A2 to A6, where fundamentals and low partials of most instruments lie.
const (
	lowestHz, highestHz = 110, 1760
	size                = 8192 // samples that are looked at: parts neighbours from about A2 on
)

// tonesIn are the tones of a recording.
func tonesIn(t *audition.Take) []tones {
	fft := fourier.NewFFT(size)
	shape := window.NewValues(window.Hann, size)
	x, spectrum := make([]float64, size), make([]complex128, size/2+1)
	out := make([]tones, len(t.Left)*tonesRate/audition.SampleRate)
	for f := range out {
		middle := (2*f + 1) * audition.SampleRate / tonesRate / 2
		sum := 0.
		for i := range x {
			x[i] = 0
			if n := middle + i - size/2; n >= 0 && n < len(t.Left) {
				x[i] = float64(t.Left[n]+t.Right[n]) * shape[i]
				sum += x[i] * x[i]
			}
		}
		if sum < 1e-6*size { // silence, or noise of a quiet room
			continue
		}
		fft.Coefficients(spectrum, x)
		for k := lowestHz * size / audition.SampleRate; k <= highestHz*size/audition.SampleRate; k++ {
			pitch := 69 + 12*math.Log2(float64(k)*audition.SampleRate/size/440)
			out[f][(int(math.Round(pitch))%12+12)%12] += math.Sqrt(cmplx.Abs(spectrum[k]))
		}
		out[f].level()
	}
	return out
}

// risesIn is by how much a recording grows in each frame.
func risesIn(t *audition.Take) []float64 {
	const width = audition.SampleRate / risesRate
	x := make([]float64, len(t.Left)/width)
	last := 0.
	for i := range x {
		sum := 0.
		for n := i * width; n < (i+1)*width; n++ {
			sum += float64(t.Left[n]*t.Left[n] + t.Right[n]*t.Right[n])
		}
		loud := math.Sqrt(sum / width)
		x[i], last = max(loud-last, 0), loud
	}
	return smooth(x)
}

// smooth spreads each value over 50 ms, as players and attacks do, and takes the mean away.
func smooth(x []float64) []float64 {
	out := make([]float64, len(x))
	mean := 0.
	for i := range x {
		for k, w := range [...]float64{1, 2, 3, 2, 1} {
			if n := i + k - 2; n >= 0 && n < len(x) {
				out[i] += w * x[n]
			}
		}
		mean += out[i] / float64(len(x))
	}
	for i := range out {
		out[i] -= mean
	}
	return out
}

// find finds where in a recording the music begins.
func (m *music) find(t *audition.Take) (time.Duration, error) {
	sound := tonesIn(t)
	at, alike := best(-lacking*tonesRate, farthest*tonesRate, func(lag int) float64 { return together(m.tones, sound, lag) })
	if alike < leastAlike {
		return 0, errors.New("the piece is not found in it: it must begin within the first two minutes, and be played at the file's tempo, as swellbox play plays it")
	}
	half := len(m.tones) / 2
	const near = 2 * tonesRate
	first, _ := best(int(at)-near, int(at)+near, func(lag int) float64 { return together(m.tones[:half], sound, lag) })
	second, _ := best(int(at)+half-near, int(at)+half+near, func(lag int) float64 { return together(m.tones[half:], sound, lag) })
	if apart := (second - float64(half) - first) / tonesRate; math.Abs(apart) > steadiest {
		side := "early"
		if apart > 0 {
			side = "late"
		}
		return 0, fmt.Errorf("it is played at another tempo than the file's: its second half comes %.1f s too %s, so bars cannot be found in it", math.Abs(apart), side)
	}
	rises := risesIn(t)
	middle := int(math.Round(at / tonesRate * risesRate))
	fine, _ := best(middle-nearest, middle+nearest, func(lag int) float64 { return correlation(m.rises, rises, lag) })
	return time.Duration(fine / risesRate * float64(time.Second)), nil
}

// best is the lag at which a measure is greatest, in frames and between them, and the measure there.
func best(from, to int, measure func(lag int) float64) (at, most float64) {
	scores := make([]float64, to-from+1)
	top := 0
	for i := range scores {
		if scores[i] = measure(from + i); scores[i] > scores[top] {
			top = i
		}
	}
	at = float64(from + top)
	if top > 0 && top+1 < len(scores) {
		if bend := scores[top-1] - 2*scores[top] + scores[top+1]; bend < 0 {
			at += (scores[top-1] - scores[top+1]) / 2 / bend
		}
	}
	return at, scores[top]
}

// most of the music has to lie within the sound.
const mostOf = 0.8

// together is how alike the tones of music are to those of a sound from a frame on: 1 is the same, 0 is chance.
func together(m, sound []tones, lag int) float64 {
	sum, n := 0., 0.
	for i := max(0, -lag); i < len(m) && i+lag < len(sound); i++ {
		for c := range 12 {
			sum += m[i][c] * sound[i+lag][c]
		}
		n++
	}
	if n < mostOf*float64(len(m)) {
		return 0
	}
	return sum / n
}

// correlation is that of music with what of a sound lies over it.
func correlation(m, sound []float64, lag int) float64 {
	var mm, ss, ms, n float64
	for i := max(0, -lag); i < len(m) && i+lag < len(sound); i++ {
		a, b := m[i], sound[i+lag]
		mm, ss, ms, n = mm+a*a, ss+b*b, ms+a*b, n+1
	}
	if n < mostOf*float64(len(m)) || mm == 0 || ss == 0 {
		return 0
	}
	return ms / math.Sqrt(mm*ss)
}
