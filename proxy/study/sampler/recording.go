package sampler

import (
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/dsp/fourier"

	"swellbox/expr/acoustics"
)

// frames is a time as a number of frames.
func (r *Recording) frames(t time.Duration) int {
	return int(math.Round(t.Seconds() * float64(r.Rate)))
}

func (r *Recording) length() int { return len(r.Channels[0]) }

// clip holds a place within the recording.
func (r *Recording) clip(frame int) int { return min(max(frame, 0), r.length()) }

// powers are the mean powers of all channels together in a window about every step, the means of
// the channels taken out. A step need not be a whole number of frames.
func (r *Recording) powers(from, to int, step float64, window int) []float64 {
	from, to = r.clip(from), r.clip(to)
	if to <= from {
		return nil
	}
	sums := make([]float64, to-from+1)
	for _, ch := range r.Channels {
		mean := 0.0
		for _, x := range ch[from:to] {
			mean += float64(x)
		}
		mean /= float64(to - from)
		for i, x := range ch[from:to] {
			v := float64(x) - mean
			sums[i+1] += v * v
		}
	}
	for i := range sums[1:] {
		sums[i+1] += sums[i]
	}
	out := make([]float64, 0, int(float64(to-from)/step)+1)
	for i := 0; ; i++ {
		at := int(math.Round(float64(i) * step))
		if at >= to-from {
			return out
		}
		a, b := max(at-window/2, 0), min(at+(window+1)/2, to-from)
		out = append(out, max(sums[b]-sums[a], 0)/float64(b-a))
	}
}

// Weight is how a spectrum is weighed.
type Weight uint8

const (
	Flat Weight = iota // as a meter without weighting has it
	Ear                // ITU-R BS.1770's weighting
	weights
)

// energies are mean powers by weight.
type energies [weights]float64

// earGain is the ear's weighting as a gain of power, by Hz.
var earGain = func() []float64 {
	gains := make([]float64, 20001)
	for hz := range gains {
		gains[hz] = math.Pow(10, acoustics.KWeightDB(max(float64(hz), 1))/10)
	}
	return gains
}()

// lowest is where what is measured begins, Hz: under it there is rumble.
const lowest = 20

// energy is the mean power between two frames, weighed in each way.
func (r *Recording) energy(from, to int) (e energies) {
	from, to = r.clip(from), r.clip(to)
	n := to - from
	if n < 2 {
		return e
	}
	fft := fourier.NewFFT(smooth(n))
	block := make([]float64, fft.Len())
	coeff := make([]complex128, fft.Len()/2+1)
	for _, ch := range r.Channels {
		mean := 0.0
		for _, x := range ch[from:to] {
			mean += float64(x)
		}
		mean /= float64(n)
		for i, x := range ch[from:to] {
			block[i] = float64(x) - mean
		}
		clear(block[n:])
		fft.Coefficients(coeff, block)
		for i, c := range coeff {
			hz := float64(i) * float64(r.Rate) / float64(len(block))
			if hz < lowest {
				continue
			}
			p := real(c)*real(c) + imag(c)*imag(c)
			e[Flat] += p
			e[Ear] += p * earGain[min(int(hz), len(earGain)-1)]
		}
	}
	for w := range e {
		e[w] *= 2 / (float64(len(block)) * float64(n))
	}
	return e
}

// smooth is the next number that a transform is quick for.
func smooth(n int) int {
	for ; ; n++ {
		m := n
		for _, p := range []int{2, 3, 5} {
			for m%p == 0 {
				m /= p
			}
		}
		if m == 1 {
			return n
		}
	}
}

// clipped is the share of the loud samples that stand at the greatest value of their channel: of
// those within 1 dB of it. Sound that was not clipped has it once in a while.
func (r *Recording) clipped() (share float64, peak float64) {
	for _, ch := range r.Channels {
		top := float32(0)
		for _, x := range ch {
			top = max(top, x, -x)
		}
		peak = max(peak, float64(top))
		near, at := 0, 0
		for _, x := range ch {
			if x = max(x, -x); x > top*0.89 {
				if near++; x >= top*0.9999 {
					at++
				}
			}
		}
		if near > 100 && top > 0.05 {
			share = max(share, float64(at)/float64(near))
		}
	}
	return share, peak
}

// dead is which channels hold nothing beside others that do.
func (r *Recording) dead() (dead []int) {
	var powers []float64
	for _, ch := range r.Channels {
		one := Recording{Rate: r.Rate, Channels: [][]float32{ch}}
		p := one.powers(0, len(ch), float64(len(ch)), 2*len(ch))
		powers = append(powers, p[0])
	}
	loudest := slices.Max(powers)
	for c, p := range powers {
		if p < loudest*1e-6 {
			dead = append(dead, c+1)
		}
	}
	return dead
}

func decibels(power float64) float64 { return 10 * math.Log10(max(power, 1e-20)) }
