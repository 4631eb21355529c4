package audition

import (
	"math"
	"math/cmplx"
	"testing"
	"time"

	"swellbox/expr"
)

// The ears of these tests: a dry room, and measures of what comes out of it.

// send is one channel message on port 0, channel 0, ms after the start.
func send(ms float64, msg ...byte) expr.Event {
	return expr.Short(time.Duration(ms*float64(time.Millisecond)), 0, msg...)
}

// hear renders one part on port 0, channel 0 for ms, dry, as one channel.
func hear(t *testing.T, p Part, ms float64, events ...expr.Event) []float64 {
	t.Helper()
	p.Pan = -1 // all of it is left
	take, err := render(t.Context(), []Part{p}, events, time.Duration(ms*float64(time.Millisecond)), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	x := make([]float64, len(take.Left))
	for i, v := range take.Left {
		if v != v || math.IsInf(float64(v), 0) {
			t.Fatalf("frame %d of %s is %v", i, p.Instrument, v)
		}
		x[i] = float64(v)
	}
	return x
}

// solo is one player of an instrument.
func solo(name string) Part { return Part{Instrument: name, Players: 1} }

// between cuts a stretch out, in ms.
func between(x []float64, from, to float64) []float64 {
	return x[int(from*SampleRate/1000):int(to*SampleRate/1000)]
}

func toDB(power float64) float64 { return 10 * math.Log10(power) }

// power is the mean square in dB; a sine of amplitude 1 has -3.
func power(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return toDB(sum / float64(len(x)))
}

// kFiltered is x through the filter of the loudness meter, in the time domain.
func kFiltered(x []float64) []float64 {
	shelf := filter{biquad: biquad{1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585}, amp: 1, keep: 1}
	highPass := filter{biquad: biquad{1, -2, 1, -1.99004745483398, 0.99007225036621}, amp: 1, keep: 1}
	y := make([]float64, len(x))
	for i, v := range x {
		y[i] = highPass.next(shelf.next(v))
	}
	return y
}

// spectrumOf is the power in each bin of a Blackman-Harris windowed transform
// of the first 2^15 frames; a bin is binHz wide.
func spectrumOf(x []float64) []float64 {
	const n = 1 << 15
	z := make([]complex128, n)
	for i := range z {
		a := 2 * math.Pi * float64(i) / n
		w := 0.35875 - 0.48829*math.Cos(a) + 0.14128*math.Cos(2*a) - 0.01168*math.Cos(3*a)
		z[i] = complex(x[i]*w, 0)
	}
	fft(z)
	p := make([]float64, n/2)
	for i := range p {
		p[i] = real(z[i])*real(z[i]) + imag(z[i])*imag(z[i])
	}
	return p
}

const binHz = SampleRate / float64(1<<15)

func fft(z []complex128) {
	n := len(z)
	if n == 1 {
		return
	}
	even, odd := make([]complex128, n/2), make([]complex128, n/2)
	for i := range even {
		even[i], odd[i] = z[2*i], z[2*i+1]
	}
	fft(even)
	fft(odd)
	for i := range even {
		w := cmplx.Rect(1, -2*math.Pi*float64(i)/float64(n)) * odd[i]
		z[i], z[i+n/2] = even[i]+w, even[i]-w
	}
}

// around is the power in dB of the bins within 6 of f Hz.
func around(p []float64, f float64) float64 {
	mid, sum := int(math.Round(f/binHz)), 0.0
	for i := max(mid-6, 0); i <= mid+6 && i < len(p); i++ {
		sum += p[i]
	}
	return toDB(sum)
}

// centroid is the mean frequency, weighted by power, in Hz.
func centroid(p []float64) float64 {
	sum, weighted := 0.0, 0.0
	for i, v := range p {
		sum += v
		weighted += v * float64(i) * binHz
	}
	return weighted / sum
}

// follow demodulates the partial near f Hz: its amplitude and its distance
// from f in cents, frame by frame, both smoothed over about 8 periods.
func follow(x []float64, f float64) (amp, cents []float64) {
	z := make([]complex128, len(x))
	for i, v := range x {
		z[i] = complex(v, 0) * cmplx.Rect(2, -2*math.Pi*f*float64(i)/SampleRate)
	}
	// Each mean over two periods has nulls at the other partials; four of them
	// keep a bent partial out, too.
	for range 4 {
		z = mean(z, int(2*SampleRate/f))
	}
	for i := 1; i < len(z); i++ {
		amp = append(amp, cmplx.Abs(z[i]))
		off := cmplx.Phase(z[i]*cmplx.Conj(z[i-1])) * SampleRate / (2 * math.Pi)
		cents = append(cents, 1200*math.Log2(1+off/f))
	}
	return amp, cents
}

// mean is the running mean over width values.
func mean(z []complex128, width int) []complex128 {
	var sum complex128
	var out []complex128
	for i, v := range z {
		sum += v
		if i >= width {
			sum -= z[i-width]
		}
		if i >= width-1 {
			out = append(out, sum/complex(float64(width), 0))
		}
	}
	return out
}

// span is the least and the greatest of x.
func span(x []float64) (lo, hi float64) {
	lo, hi = x[0], x[0]
	for _, v := range x {
		lo, hi = min(lo, v), max(hi, v)
	}
	return lo, hi
}

// jump is the greatest step from one frame to the next.
func jump(x []float64) float64 {
	top := 0.0
	for i := 1; i < len(x); i++ {
		top = max(top, math.Abs(x[i]-x[i-1]))
	}
	return top
}

// near fails unless got lies within tol of want.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.3f, want %.3f ± %g", what, got, want, tol)
	}
}
