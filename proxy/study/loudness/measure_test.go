package loudness

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"swellbox/expr/acoustics"
)

// stretch is a sine: so many dB re full scale for so many seconds.
type stretch struct{ dB, seconds float64 }

// sine is a tone of hz whose level changes, without a break in its phase.
func sine(hz float64, rate int, stretches ...stretch) []float32 {
	var x []float32
	for _, s := range stretches {
		amp := math.Pow(10, s.dB/20)
		for range int(math.Round(s.seconds * float64(rate))) {
			x = append(x, float32(amp*math.Sin(2*math.Pi*hz*float64(len(x))/float64(rate))))
		}
	}
	return x
}

func measure(t *testing.T, left, right []float32, rate int) *Loudness {
	t.Helper()
	l, err := Measure(left, right, rate)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.4f, want %.4f ± %g", what, got, want, tol)
	}
}

var rates = []int{22050, 32000, 44100, 48000, 88200, 96000, 192000}

// BS.1770: 997 Hz at full scale has -3.01 LKFS in one front channel, 0 in both.
func TestFullScaleSine(t *testing.T) {
	for _, rate := range rates {
		x := sine(997, rate, stretch{0, 5})
		silent := make([]float32, len(x))
		tolerance := .01
		if rate == minRate {
			tolerance = .025
		}
		near(t, fmt.Sprintf("left at %d Hz", rate), measure(t, x, silent, rate).Integrated, -3.01, tolerance)
		near(t, fmt.Sprintf("right at %d Hz", rate), measure(t, silent, x, rate).Integrated, -3.01, tolerance)
		near(t, fmt.Sprintf("both at %d Hz", rate), measure(t, x, x, rate).Integrated, 0, tolerance)
	}
}

// Cases 1 to 5 of EBU Tech 3341 (from a secondary copy): 1 kHz in both channels, the
// tolerance ±0.1 LU.
func TestManySignalsOfEBU3341(t *testing.T) {
	for i, c := range []struct {
		stretches []stretch
		want      float64
	}{
		{[]stretch{{-23, 20}}, -23},
		{[]stretch{{-33, 20}}, -33},
		{[]stretch{{-36, 10}, {-23, 60}, {-36, 10}}, -23},
		{[]stretch{{-72, 10}, {-36, 10}, {-23, 60}, {-36, 10}, {-72, 10}}, -23},
		{[]stretch{{-26, 20}, {-20, 20.1}, {-26, 20}}, -23},
	} {
		for _, rate := range []int{44100, 48000} {
			x := sine(1000, rate, c.stretches...)
			near(t, fmt.Sprintf("case %d at %d Hz", i+1, rate), measure(t, x, x, rate).Integrated, c.want, .1)
		}
	}
}

// Cases 1 to 4 of EBU Tech 3342 (from a secondary copy): 20 s each, the tolerance ±1 LU.
func TestManySignalsOfEBU3342(t *testing.T) {
	for _, c := range []struct {
		levels []float64
		want   float64
	}{
		{[]float64{-20, -30}, 10},
		{[]float64{-20, -15}, 5},
		{[]float64{-40, -20}, 20},
		{[]float64{-50, -35, -20, -35, -50}, 15},
	} {
		var s []stretch
		for _, dB := range c.levels {
			s = append(s, stretch{dB, 20})
		}
		x := sine(1000, 48000, s...)
		near(t, fmt.Sprintf("the range of %v", c.levels), measure(t, x, x, 48000).Range, c.want, 1)
	}
}

// gainDB is what the weighting does to a sine.
func gainDB(hz float64, rate int) float64 {
	z := cmplx.Exp(complex(0, -2*math.Pi*hz/float64(rate)))
	h := complex(1, 0)
	for _, s := range newWeighting(rate).sections {
		h *= (complex(s.b0, 0) + complex(s.b1, 0)*z + complex(s.b2, 0)*z*z) / (1 + complex(s.a1, 0)*z + complex(s.a2, 0)*z*z)
	}
	return 20 * math.Log10(cmplx.Abs(h))
}

// The table is computed from the published coefficients; at other rates the bilinear
// transform bends the treble, and what it bends is stated.
func TestWeighting(t *testing.T) {
	for _, c := range []struct{ hz, dB float64 }{
		{20, -13.28}, {50, -3.93}, {100, -1.13}, {200, -.27}, {500, .04}, {997, .691}, {2000, 3.07}, {5000, 4.01}, {10000, 4.04},
	} {
		near(t, fmt.Sprintf("the gain at %g Hz", c.hz), gainDB(c.hz, 48000), c.dB, .006)
		near(t, fmt.Sprintf("the model's gain at %g Hz", c.hz), acoustics.KWeightDB(c.hz), gainDB(c.hz, 48000), 1e-9)
		for _, rate := range rates {
			if c.hz < float64(rate)/4 {
				near(t, fmt.Sprintf("the gain at %g Hz, at a rate of %d", c.hz, rate), gainDB(c.hz, rate), c.dB, .05)
			}
		}
	}
	for i, s := range published {
		same := s.at(publishedRate)
		for j, d := range []float64{same.b0 - s.b0, same.b1 - s.b1, same.b2 - s.b2, same.a1 - s.a1, same.a2 - s.a2} {
			near(t, fmt.Sprintf("what derivation changes in coefficient %d of section %d", j, i), d, 0, 1e-12)
		}
	}
}

func TestSilence(t *testing.T) {
	for name, x := range map[string][]float32{
		"nothing":            nil,
		"399 ms":             sine(1000, 48000, stretch{-10, .399}),
		"digital silence":    make([]float32, 48000),
		"under the gate":     sine(1000, 48000, stretch{-71, 5}),
		"a recording's lack": make([]float32, 100),
	} {
		l := measure(t, x, x, 48000)
		if !math.IsInf(l.Integrated, -1) || l.Range != 0 {
			t.Errorf("%s has %v LKFS and a range of %v, want -Inf and 0", name, l.Integrated, l.Range)
		}
	}
}

func TestWindows(t *testing.T) {
	x := sine(1000, 48000, stretch{-23, 4})
	l := measure(t, x, x, 48000)
	if len(l.Momentary) != 37 || len(l.ShortTerm) != 11 {
		t.Fatalf("4 s have %d and %d windows, want 37 of 400 ms and 11 of 3 s", len(l.Momentary), len(l.ShortTerm))
	}
	near(t, "the last momentary loudness", l.Momentary[36], -23, .1)
	near(t, "the last short-term loudness", l.ShortTerm[10], -23, .1)
}

// Gain in dB moves the measure by as many LU while all stays over the absolute gate, and
// swapping the channels does nothing.
func TestGainAndChannels(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	left, right := make([]float32, 5*48000), make([]float32, 5*48000)
	for i := range left {
		envelope := float32(.3 + .2*math.Sin(float64(i)/9000))
		left[i], right[i] = envelope*float32(rng.NormFloat64()), envelope*float32(rng.NormFloat64())/3
	}
	whole := measure(t, left, right, 48000)
	if swapped := measure(t, right, left, 48000); math.Abs(swapped.Integrated-whole.Integrated) > 1e-9 {
		t.Errorf("%v LKFS, with the channels swapped %v", whole.Integrated, swapped.Integrated)
	}
	for _, dB := range []float64{-30, -6, 6} {
		g := float32(math.Pow(10, dB/20))
		l, r := make([]float32, len(left)), make([]float32, len(left))
		for i := range l {
			l[i], r[i] = g*left[i], g*right[i]
		}
		near(t, fmt.Sprintf("the change by %g dB", dB), measure(t, l, r, 48000).Integrated-whole.Integrated, dB, 1e-4)
	}
}

func TestRefusals(t *testing.T) {
	second := make([]float32, 48000)
	broken := make([]float32, 48000)
	broken[100] = float32(math.NaN())
	loud := make([]float32, 48000)
	loud[100] = float32(math.Inf(1))
	for name, c := range map[string]struct {
		left, right []float32
		rate        int
	}{
		"lengths":       {second, second[1:], 48000},
		"a low rate":    {second, second, 22049},
		"a high rate":   {second, second, 384001},
		"no number":     {second, broken, 48000},
		"an infinity":   {loud, second, 48000},
		"a rate of 0":   {second, second, 0},
		"less than one": {second, second, -1},
	} {
		if l, err := Measure(c.left, c.right, c.rate); err == nil {
			t.Errorf("%s: measured %v", name, l.Integrated)
		}
	}
}

func BenchmarkMeasure(b *testing.B) {
	x := sine(997, 48000, stretch{-20, 60})
	for b.Loop() {
		if _, err := Measure(x, x, 48000); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(60*float64(b.N)/b.Elapsed().Seconds(), "realtime")
}
