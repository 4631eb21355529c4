package sampler

import (
	"math"
	"slices"
	"time"

	"swellbox/expr/acoustics"
)

// swing is a vibrato as it was measured.
type swing struct {
	cents float64 // peak to peak
	hz    float64
	sure  bool // it is one swing of that rate, and no wavering
}

// pitchStep is the time between two places of a pitch's course.
const pitchStep = 5 * time.Millisecond

// course is how far the pitch of a note lies from its key, in cents, every pitchStep between two
// times after its beginning; nil if no partial stands out. Of the partials the one is followed that
// is strongest: turned down to 0 Hz, what is left of its phase is the deviation.
func (r *Recording) course(c *clock, n *note, from, to time.Duration) []float64 {
	a, b := r.clip(c.frame(n.at+from)), r.clip(c.frame(n.at+to))
	f0 := acoustics.KeyPitch(float64(n.key)).Hz()
	var best []complex128
	top, follows := 0.0, 0.0
	for k := 1; k <= 6 && float64(k)*f0 < 2500; k++ {
		hz := float64(k) * f0
		base := r.baseband(a, b, hz, min(0.45*f0, 45))
		power := 0.0
		for _, z := range base {
			power += real(z)*real(z) + imag(z)*imag(z)
		}
		// A higher partial shows the same cents as more Hz, and is steadier to follow.
		if power *= float64(k); power > top {
			top, best, follows = power, base, hz
		}
	}
	if len(best) < 8 {
		return nil
	}
	cents := make([]float64, len(best)-1)
	step := pitchStep.Seconds()
	for i := range cents {
		z := best[i+1] * complex(real(best[i]), -imag(best[i]))
		hz := math.Atan2(imag(z), real(z)) / (2 * math.Pi * step)
		cents[i] = 1200 * math.Log2(max(1+hz/follows, 0.5))
	}
	return cents
}

// baseband turns a frequency down to 0 Hz and leaves what lies within a band on either side, by a
// bell of that width in time.
func (r *Recording) baseband(from, to int, hz, band float64) []complex128 {
	step := r.frames(pitchStep)
	half := int(0.6 * float64(r.Rate) / band)
	if to-from < 2*half+8*step {
		half = (to - from - 8*step) / 2
	}
	if half < step {
		return nil
	}
	bell := make([]float64, 2*half+1)
	for i := range bell {
		bell[i] = 0.5 + 0.5*math.Cos(math.Pi*float64(i-half)/float64(half+1))
	}
	turned := make([]complex128, to-from)
	turn := complex(math.Cos(2*math.Pi*hz/float64(r.Rate)), -math.Sin(2*math.Pi*hz/float64(r.Rate)))
	at := complex(1, 0)
	for i := range turned {
		x := 0.0
		for _, ch := range r.Channels {
			x += float64(ch[from+i])
		}
		turned[i] = complex(x, 0) * at
		at *= turn
	}
	var out []complex128
	for mid := half; mid+half < len(turned); mid += step {
		sum := complex(0, 0)
		for i, w := range bell {
			sum += turned[mid-half+i] * complex(w, 0)
		}
		out = append(out, sum)
	}
	return out
}

// vibrato is the swing in a course of pitch: the sine that fits it best, from 3 to 10 Hz, beside a
// straight line. What it leaves over tells whether there is one.
func vibrato(cents []float64) (v swing) {
	if len(cents) < 60 {
		return v
	}
	total := leftOver(cents, 0, nil)
	if total == 0 {
		return v
	}
	best := total
	for hz := 4.0; hz <= 10; hz += 0.05 {
		var amplitude float64
		if left := leftOver(cents, hz, &amplitude); left < best {
			best, v.hz, v.cents = left, hz, 2*amplitude
		}
	}
	v.sure = best < 0.5*total && v.cents > 4 && v.hz > 4.3 // slower is a drift
	return v
}

// leftOver is the power that is left of a course beside a straight line and a sine of so many Hz,
// whose amplitude it tells; hz of 0 is the line alone.
func leftOver(y []float64, hz float64, amplitude *float64) float64 {
	basis := 2
	if hz > 0 {
		basis = 4
	}
	at := func(i, k int) float64 {
		t := float64(i) * pitchStep.Seconds()
		switch k {
		case 0:
			return 1
		case 1:
			return t
		case 2:
			return math.Cos(2 * math.Pi * hz * t)
		}
		return math.Sin(2 * math.Pi * hz * t)
	}
	var m [4][5]float64
	for i := range y {
		var row [4]float64
		for k := range basis {
			row[k] = at(i, k)
		}
		for a := range basis {
			for b := range basis {
				m[a][b] += row[a] * row[b]
			}
			m[a][4] += row[a] * y[i]
		}
	}
	x := solve(&m, basis)
	left := 0.0
	for i := range y {
		e := y[i]
		for k := range basis {
			e -= x[k] * at(i, k)
		}
		left += e * e
	}
	if amplitude != nil {
		*amplitude = math.Hypot(x[2], x[3])
	}
	return left
}

// solve solves the first n of the normal equations, which are few and definite.
func solve(m *[4][5]float64, n int) (x [4]float64) {
	for i := range n {
		for j := i + 1; j < n; j++ {
			if m[i][i] == 0 {
				continue
			}
			f := m[j][i] / m[i][i]
			for k := i; k < 5; k++ {
				m[j][k] -= f * m[i][k]
			}
		}
	}
	for i := n - 1; i >= 0; i-- {
		x[i] = m[i][4]
		for k := i + 1; k < n; k++ {
			x[i] -= m[i][k] * x[k]
		}
		if m[i][i] != 0 {
			x[i] /= m[i][i]
		}
	}
	return x
}

// median is the middle of some values, 0 of none.
func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(x))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// farthestBend is how far from its key a bent note is looked for, cents: it is told to go 200. Beyond that
// the partials of two notes could be taken for each other.
const farthestBend = 300

// bent is where a note lies between two times after its beginning, in cents from its key: where its first two partials are strongest
// together. A course of phases would lose a high one that goes by more than half of its steps a second. NaN where nothing stands out.
func (r *Recording) bent(c *clock, n *note, from, to time.Duration) float64 {
	const grid = 5 // cents
	a, b := r.clip(c.frame(n.at+from)), r.clip(c.frame(n.at+to))
	f0 := acoustics.KeyPitch(float64(n.key)).Hz()
	power := make([]float64, 2*farthestBend/grid+1)
	top := 0
	for i := range power {
		hz := f0 * math.Exp2(float64(i*grid-farthestBend)/1200)
		if power[i] = r.power(a, b, hz) + r.power(a, b, 2*hz); power[i] > power[top] {
			top = i
		}
	}
	const clear = 8 // times the middle of all
	if top == 0 || top == len(power)-1 || power[top] < clear*median(power) {
		return math.NaN()
	}
	left, right := power[top-1], power[top+1]
	return float64(top*grid-farthestBend) + grid*(left-right)/2/(left-2*power[top]+right)
}

// power is that of one frequency in a stretch, under a bell.
func (r *Recording) power(from, to int, hz float64) float64 {
	sum, turn, at := complex(0, 0), complex(math.Cos(2*math.Pi*hz/float64(r.Rate)), -math.Sin(2*math.Pi*hz/float64(r.Rate))), complex(1, 0)
	for i := from; i < to; i++ {
		x := 0.0
		for _, ch := range r.Channels {
			x += float64(ch[i])
		}
		sum += complex(x*(0.5-0.5*math.Cos(2*math.Pi*float64(i-from)/float64(to-from))), 0) * at
		at *= turn
	}
	return real(sum)*real(sum) + imag(sum)*imag(sum)
}

// bend is how far a full bend goes, semitones, by the pitches in cents of a note that is not bent, bent up and bent down; 0 if they
// do not agree, as where a partial is lost in the bending: then what the sampler was told holds.
func bend(rest, up, down float64) float64 {
	rise, fall := up-rest, rest-down
	if math.Abs(rise) < deadBend && math.Abs(fall) < deadBend {
		return deadBend / 100.
	}
	if !(rise > 0 && fall > 0) || max(rise, fall) > mostUneven*min(rise, fall) {
		return 0
	}
	return (rise + fall) / 200
}

// deadBend is what counts as no bend, cents: less than the least step that is heard, with room for the measuring. Ours.
const deadBend = 10

// mostUneven is how much farther a bend may be measured to go to one side than to the other. Ours.
const mostUneven = 1.25
