package timing

import (
	"math"
	"math/cmplx"
	"testing"
	"time"
)

// fourier transforms x in place; its length is a power of two.
func fourier(x []complex128) {
	n := len(x)
	if n == 1 {
		return
	}
	even, odd := make([]complex128, n/2), make([]complex128, n/2)
	for i := range even {
		even[i], odd[i] = x[2*i], x[2*i+1]
	}
	fourier(even)
	fourier(odd)
	for i := range even {
		turned := cmplx.Rect(1, -2*math.Pi*float64(i)/float64(n)) * odd[i]
		x[i], x[i+n/2] = even[i]+turned, even[i]-turned
	}
}

// steepness is the slope of log power on log frequency, negated, over all frequencies of a
// mean periodogram (index 0 is frequency 0).
func steepness(power []float64) float64 {
	var n, sx, sy, sxx, sxy float64
	for i := 1; i < len(power); i++ {
		x, y := math.Log(float64(i)), math.Log(power[i])
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	return -(n*sxy - sx*sy) / (n*sxx - sx*sx)
}

// The exponent that was asked for comes out within 0.1, over the whole range of
// frequencies and over its lower eighth, where the long memories are. Exponents of Hennig et al. 2011 (from memory).
func TestNoiseExponent(t *testing.T) {
	const seeds, notes = 64, 1024
	for _, want := range []float64{0.2, 0.5, 0.9, 1.2, 1.3} {
		power := make([]float64, notes/2)
		x := make([]complex128, notes)
		for seed := range uint64(seeds) {
			n := NewNoise(Stream{Seed: seed}, 10*time.Millisecond, want)
			for i := range x {
				x[i] = complex(n.Next().Seconds(), 0)
			}
			fourier(x)
			for i := range power {
				power[i] += real(x[i])*real(x[i]) + imag(x[i])*imag(x[i])
			}
		}
		whole, low := steepness(power), steepness(power[:notes/16])
		t.Logf("β asked %.1f: %.3f over all, %.3f below 1/16 of a note", want, whole, low)
		if math.Abs(whole-want) > 0.1 || math.Abs(low-want) > 0.15 {
			t.Errorf("β asked %.1f: got %.3f over all, %.3f at low frequencies", want, whole, low)
		}
	}
}

func TestNoiseSD(t *testing.T) {
	const seeds, notes = 2048, 64
	for _, c := range []struct {
		sd       time.Duration
		exponent float64
	}{
		{10 * time.Millisecond, 0.2}, {10 * time.Millisecond, 0.5}, {10 * time.Millisecond, 0.9},
		{10 * time.Millisecond, 1.2}, {10 * time.Millisecond, 1.3}, {20 * time.Millisecond, 0.9},
	} {
		var sum, squares float64
		for seed := range uint64(seeds) {
			n := NewNoise(Stream{Seed: seed}, c.sd, c.exponent)
			for range notes {
				x := n.Next().Seconds()
				sum += x
				squares += x * x
			}
		}
		got, mean := math.Sqrt(squares/(seeds*notes)), sum/(seeds*notes)
		t.Logf("β %.1f: sd asked %v, got %.2f ms; mean %.2f ms", c.exponent, c.sd, got*1e3, mean*1e3)
		if math.Abs(got/c.sd.Seconds()-1) > 0.05 {
			t.Errorf("β %.1f: sd asked %v, got %.2f ms", c.exponent, c.sd, got*1e3)
		}
		if math.Abs(mean) > 0.1*c.sd.Seconds() {
			t.Errorf("β %.1f: mean %.2f ms", c.exponent, mean*1e3)
		}
	}
}

func TestNoiseDefaultsAndLimits(t *testing.T) {
	series := func(sd time.Duration, exponent float64) [8]time.Duration {
		n := NewNoise(Stream{Seed: 1}, sd, exponent)
		var s [8]time.Duration
		for i := range s {
			s[i] = n.Next()
		}
		return s
	}
	for _, c := range []struct {
		name      string
		got, want [8]time.Duration
	}{
		{"exponent 0 is the default", series(time.Second, 0), series(time.Second, DefaultExponent)},
		{"not a number is the default", series(time.Second, math.NaN()), series(time.Second, DefaultExponent)},
		{"an exponent too great is the greatest", series(time.Second, 9), series(time.Second, MostExponent)},
		{"an exponent too small is the smallest", series(time.Second, -1), series(time.Second, LeastExponent)},
		{"no sd is silence", series(0, 1), [8]time.Duration{}},
		{"a negative sd is none", series(-1, 1), [8]time.Duration{}},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %v, want %v", c.name, c.got, c.want)
		}
	}
}

// A restarted series is the same; series of neighbouring streams have nothing in common.
func TestNoiseStreams(t *testing.T) {
	const notes = 4096
	series := func(s Stream) []float64 {
		n := NewNoise(s, time.Second, LeastExponent)
		first := n.Next()
		n.Restart()
		if again := n.Next(); again != first {
			t.Fatalf("%+v: first note %v, after a restart %v", s, first, again)
		}
		x := make([]float64, notes)
		for i := range x {
			x[i] = n.Next().Seconds()
		}
		return x
	}
	streams := []Stream{{0, 0, 0}, {0, 0, 1}, {0, 0, 2}, {0, 1, 0}, {0, 2, 0}, {1, 0, 0}, {2, 0, 0}, {1 << 63, 0, 0}}
	for i, a := range streams {
		for _, b := range streams[i+1:] {
			x, y := series(a), series(b)
			sum := 0.0
			for k := range x {
				sum += x[k] * y[k]
			}
			// At the least exponent the mean of so many products has a standard deviation
			// of about 0.02.
			if r := sum / notes; math.Abs(r) > 0.08 {
				t.Errorf("%+v and %+v correlate by %.3f", a, b, r)
			}
		}
	}
}

func TestNoiseDoesNotAllocate(t *testing.T) {
	n := NewNoise(Stream{}, time.Millisecond, 0)
	if a := testing.AllocsPerRun(1000, func() { n.Next() }); a != 0 {
		t.Errorf("%v allocations a note", a)
	}
}

func BenchmarkNoise(b *testing.B) {
	n := NewNoise(Stream{}, time.Millisecond, 0)
	b.ReportAllocs()
	for b.Loop() {
		n.Next()
	}
}
