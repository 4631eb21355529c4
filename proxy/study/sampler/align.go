package sampler

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/stat"

	"swellbox/expr/acoustics"
)

// clock is how the probe's time is told in a recording.
type clock struct {
	rate   float64 // frames a second of the probe: the recorder's own clock has another pace
	offset float64 // the frame at which the probe begins
}

// frame is the place of a time of the probe.
func (c *clock) frame(t time.Duration) int { return int(math.Round(c.offset + t.Seconds()*c.rate)) }

// Ours: mostDrift is by how much clocks may differ, with room to spare over the 100 ppm of cheap
// ones, and leastSure how far the best place must stand out from all others, in standard deviations:
// probes that were found have 15 to 60, recordings of something else under 6.
const (
	mostDrift = 300e-6
	leastSure = 8
)

var errNoSync = errors.New("the probe is not in this recording: not its pattern and not its notes; record it from before the first note to after the last, at its own tempo")

// hop is the step by which onsets are looked for.
const hop = 5 * time.Millisecond

// align finds a probe in a recording.
func (p *Plan) align(r *Recording) (clock, error) {
	c := clock{rate: float64(r.Rate)}
	onsets := r.onsets()
	places := make([]float64, int(p.Length/hop)+1)
	for _, n := range p.notes {
		places[n.at/hop] = 1
	}
	at, sure := find(onsets, places)
	if sure < leastSure {
		return c, errNoSync
	}
	c.offset = float64(at) * hop.Seconds() * float64(r.Rate)
	if err := p.whole(r, &c); err != nil {
		return c, err
	}
	// The pattern at both ends is one and the same sound, so what its second place has over its first
	// is the clock's.
	first, last := p.syncs()
	early, okA := r.late(&c, first)
	late, okB := r.late(&c, last)
	if !okA || !okB {
		return c, fmt.Errorf("the pattern at the %s of the probe is not heard; %w", map[bool]string{true: "end", false: "beginning"}[okA], errNoSync)
	}
	span := (last[0].at - first[0].at).Seconds()
	drift := (late - early) / span
	if math.Abs(drift) > mostDrift {
		return c, fmt.Errorf("the recording runs by %.0f parts in a million beside the probe, allowed are %.0f; record at the probe's own tempo", drift*1e6, mostDrift*1e6)
	}
	c.rate *= 1 + drift
	c.offset += (early - drift*first[0].at.Seconds()) * float64(r.Rate)
	return c, nil
}

// whole refuses a recording that lacks some of the probe.
func (p *Plan) whole(r *Recording, c *clock) error {
	if end := p.notes[len(p.notes)-1]; c.frame(end.at) > r.length() {
		return fmt.Errorf("the recording ends %s before the probe does; record it to its end", Minutes(time.Duration(float64(c.frame(end.at)-r.length())/c.rate*float64(time.Second))))
	}
	if c.frame(p.notes[0].at) < 0 {
		return errors.New("the recording begins after the probe; record from before its first note")
	}
	return nil
}

// syncs are the notes of the pattern at either end.
func (p *Plan) syncs() (first, last []note) {
	n := len(patterns[0])
	return p.notes[:n], p.notes[len(p.notes)-n:]
}

// onsets is how much louder it gets, by steps of a hop.
func (r *Recording) onsets() []float64 {
	power := r.powers(0, r.length(), hop.Seconds()*float64(r.Rate), 2*r.frames(hop))
	floor := slices.Sorted(slices.Values(power))[len(power)/5] + slices.Max(power)*1e-7
	for i, p := range power {
		power[i] = math.Log10(p + floor)
	}
	out := make([]float64, len(power))
	for i := 3; i+3 < len(power); i++ {
		out[i] = max(power[i+3]-power[i-3], 0)
	}
	return out
}

// find is where a pattern lies in a signal, and by how many standard deviations that place stands
// out. It may begin before the signal does.
func find(signal, pattern []float64) (at int, sure float64) {
	n := smooth(len(signal) + len(pattern))
	fft := fourier.NewFFT(n)
	spectrum := func(x []float64, centred bool) []complex128 {
		padded := make([]float64, n)
		copy(padded, x)
		if centred {
			mean := stat.Mean(x, nil)
			for i := range x {
				padded[i] -= mean
			}
		}
		return fft.Coefficients(nil, padded)
	}
	a, b := spectrum(signal, true), spectrum(pattern, false)
	for i := range a {
		a[i] *= complex(real(b[i]), -imag(b[i]))
	}
	match := fft.Sequence(nil, a)
	mean, sd := stat.MeanStdDev(match, nil)
	for i, m := range match {
		if m > match[at] {
			at = i
		}
	}
	if sd > 0 {
		sure = (match[at] - mean) / sd
	}
	if at > len(signal) {
		at -= n
	}
	return at, sure
}

// late is by how much some notes are heard after their times, seconds: the median, and false if
// fewer than half of them are heard.
func (r *Recording) late(c *clock, notes []note) (seconds float64, ok bool) {
	var all []float64
	for i := range notes {
		if s, ok := r.heard(c, &notes[i]); ok {
			all = append(all, s)
		}
	}
	if 2*len(all) < len(notes) || len(all) == 0 {
		return 0, false
	}
	return median(all), true
}

// heardDB is how far under its loudest a note's beginning is heard.
//
// Source: Vos and Rasch 1981 find 6 to 15 dB, from memory.
const heardDB = 10

// heard is when a note is heard after its time, seconds; false if it does not stand out.
func (r *Recording) heard(c *clock, n *note) (seconds float64, ok bool) {
	const before = 80 * time.Millisecond                                                                           // it may be heard earlier than it is looked for
	window := max(4*time.Millisecond, time.Duration(float64(time.Second)/acoustics.KeyPitch(float64(n.key)).Hz())) // a period at least
	window = min(window, 20*time.Millisecond)
	from := c.frame(n.at - before)
	to := c.frame(n.at + min(n.length, 350*time.Millisecond) + 20*time.Millisecond)
	if from < 0 || to > r.length() {
		return 0, false
	}
	step := float64(r.Rate) / 2000
	power := r.powers(from, to, step, r.frames(window))
	// It begins after the quietest moment before its loudest, in which what was before it has died away.
	loudest, quiet := 0, 0
	for i, p := range power {
		if p > power[loudest] {
			loudest = i
		}
	}
	for i, p := range power[:loudest] {
		if p < power[quiet] {
			quiet = i
		}
	}
	was, top := power[quiet], power[loudest]
	if top < 4*was {
		return 0, false
	}
	threshold := was + (top-was)*math.Pow(10, -heardDB/10.0)
	for i := quiet; i < len(power); i++ {
		if power[i] < threshold {
			continue
		}
		at := float64(i)
		if i > 0 && power[i] > power[i-1] && power[i-1] < threshold {
			at -= (power[i] - threshold) / (power[i] - power[i-1])
		}
		return (float64(from-c.frame(n.at)) + at*step) / float64(r.Rate), true
	}
	return 0, false
}
