package expr

import (
	"fmt"
	"math"
)

// Point is one knot of a [Curve].
type Point struct{ X, Y float64 }

// Curve is a monotone function through given points: a Fritsch-Carlson cubic,
// which has no bump between two knots that the knots do not have. Outside the
// knots it holds its end values. A Curve is immutable, and safe for concurrent use.
//
// Source: F. N. Fritsch and R. E. Carlson, "Monotone piecewise cubic
// interpolation", SIAM J. Numer. Anal. 17 (1980) 238-246.
type Curve struct {
	pts    []Point
	slope  []float64
	table  [128]float64 // the curve at 0, 1 … 127, which is where it is asked most
	rising bool
}

// NewCurve makes a curve through two or more points whose X strictly rises and
// whose Y never turns back.
func NewCurve(points ...Point) (*Curve, error) {
	if len(points) < 2 {
		return nil, fmt.Errorf("a curve needs two points or more, found %d", len(points))
	}
	c := &Curve{pts: append([]Point(nil), points...), slope: make([]float64, len(points))}
	c.rising = points[len(points)-1].Y >= points[0].Y
	for i, p := range c.pts {
		if math.IsNaN(p.X+p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
			return nil, fmt.Errorf("point %d of the curve is not a finite number", i+1)
		}
		if i == 0 {
			continue
		}
		q := c.pts[i-1]
		if p.X <= q.X {
			return nil, fmt.Errorf("point %d of the curve: x must rise, found %g after %g", i+1, p.X, q.X)
		}
		if (p.Y > q.Y && !c.rising) || (p.Y < q.Y && c.rising) {
			return nil, fmt.Errorf("point %d of the curve: y turns back, found %g after %g", i+1, p.Y, q.Y)
		}
	}
	c.setSlopes()
	c.fillTable()
	return c, nil
}

// PowerLaw is the level in dB re full of a velocity or controller value v whose
// amplitude is (m·v+b)², with rangeDB between v=1 and v=127; v=0 is held at v=1.
//
// Source: R. B. Dannenberg, "The interpretation of MIDI velocity", ICMC 2006.
func PowerLaw(rangeDB float64) (*Curve, error) {
	if !(rangeDB > 0 && rangeDB <= 120) {
		return nil, fmt.Errorf("the range of a power law must be over 0 and at most 120 dB, found %g", rangeDB)
	}
	r := math.Pow(10, rangeDB/20)
	b := 127/(126*math.Sqrt(r)) - 1.0/126
	m := (1 - b) / 127
	return sampled(func(v float64) float64 { return 40 * math.Log10(m*math.Max(v, 1)+b) }), nil
}

// Silence is what stands for no sound at all in a response, dB re full.
const Silence = -120

// StandardLaw is the level of channel volume and of expression in dB re full,
// 40·log10(v/127), with 0 as silence (-120 dB).
//
// Source: General MIDI 2 and DLS, recommended response of controllers 7 and 11.
func StandardLaw() *Curve {
	return sampled(func(v float64) float64 {
		if v <= 0 {
			return Silence
		}
		return 40 * math.Log10(v/127)
	})
}

// sampled makes a curve with a knot at each whole value from 0 to 127.
func sampled(f func(float64) float64) *Curve {
	c := &Curve{pts: make([]Point, 128), slope: make([]float64, 128), rising: true}
	for i := range c.pts {
		c.pts[i] = Point{float64(i), f(float64(i))}
	}
	c.setSlopes()
	c.fillTable()
	return c
}

// setSlopes chooses the slope at each knot: the harmonic mean of its two
// secants weighted by the lengths of their intervals, 0 where the secants
// disagree in sign. That choice always lies in Fritsch and Carlson's region of
// monotonicity.
func (c *Curve) setSlopes() {
	n := len(c.pts)
	secant := func(i int) float64 { return (c.pts[i+1].Y - c.pts[i].Y) / (c.pts[i+1].X - c.pts[i].X) }
	if n == 2 {
		c.slope[0], c.slope[1] = secant(0), secant(0)
		return
	}
	for i := 1; i < n-1; i++ {
		d0, d1 := secant(i-1), secant(i)
		if d0*d1 <= 0 {
			continue
		}
		h0, h1 := c.pts[i].X-c.pts[i-1].X, c.pts[i+1].X-c.pts[i].X
		w0, w1 := 2*h1+h0, h1+2*h0
		c.slope[i] = (w0 + w1) / (w0/d0 + w1/d1)
	}
	c.slope[0] = endSlope(c.pts[1].X-c.pts[0].X, c.pts[2].X-c.pts[1].X, secant(0), secant(1))
	c.slope[n-1] = endSlope(c.pts[n-1].X-c.pts[n-2].X, c.pts[n-2].X-c.pts[n-3].X, secant(n-2), secant(n-3))
}

// endSlope is the three-point estimate at an end of the curve, kept monotone:
// h0 and d0 are the length and secant of the outermost interval.
func endSlope(h0, h1, d0, d1 float64) float64 {
	s := ((2*h0+h1)*d0 - h0*d1) / (h0 + h1)
	switch {
	case s*d0 <= 0:
		return 0
	case math.Abs(s) > 3*math.Abs(d0):
		return 3 * d0
	}
	return s
}

func (c *Curve) fillTable() {
	for i := range c.table {
		c.table[i] = c.eval(float64(i))
		// Within an interval rounding can still turn back by a last digit, and
		// the search in Invert needs an order.
		switch {
		case i == 0:
		case c.rising:
			c.table[i] = max(c.table[i], c.table[i-1])
		default:
			c.table[i] = min(c.table[i], c.table[i-1])
		}
	}
}

// At is the curve's value at x.
func (c *Curve) At(x float64) float64 {
	if i := int(x); i >= 0 && i < 128 && float64(i) == x {
		return c.table[i]
	}
	return c.eval(x)
}

func (c *Curve) eval(x float64) float64 {
	n := len(c.pts)
	if x <= c.pts[0].X {
		return c.pts[0].Y
	}
	if x >= c.pts[n-1].X {
		return c.pts[n-1].Y
	}
	lo, hi := 0, n-1
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if c.pts[mid].X <= x {
			lo = mid
		} else {
			hi = mid
		}
	}
	p, q := c.pts[lo], c.pts[hi]
	h := q.X - p.X
	t := (x - p.X) / h
	t2, t3 := t*t, t*t*t
	y := (2*t3-3*t2+1)*p.Y + (t3-2*t2+t)*h*c.slope[lo] + (-2*t3+3*t2)*q.Y + (t3-t2)*h*c.slope[hi]
	return min(max(y, min(p.Y, q.Y)), max(p.Y, q.Y)) // rounding must not bend what is level
}

// Range is the least and the greatest value of the curve between X = 0 and 127.
func (c *Curve) Range() (lo, hi float64) {
	lo, hi = c.table[0], c.table[127]
	if !c.rising {
		lo, hi = hi, lo
	}
	return lo, hi
}

// Invert is the x between 0 and 127 where the curve comes nearest to y, to a
// fraction of a step. Where the curve is level over several values, it is the
// lowest of them.
func (c *Curve) Invert(y float64) float64 {
	sign := 1.0
	if !c.rising {
		sign = -1
	}
	y *= sign
	if sign*c.table[0] >= y {
		return 0
	}
	if sign*c.table[127] < y {
		return c.lowestLike(127)
	}
	lo, hi := 0, 127 // the curve reaches y in (lo, hi]
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if sign*c.table[mid] < y {
			lo = mid
		} else {
			hi = mid
		}
	}
	return float64(lo) + (sign*y-c.table[lo])/(c.table[hi]-c.table[lo])
}

// NearestIs reports whether the whole x between 0 and 127 that is nearest to the
// inverse of y is v, without searching. It may say no where yes is right.
func (c *Curve) NearestIs(v int, y float64) bool {
	return v > 0 && v < 127 && c.table[v-1] < c.table[v] &&
		y >= (c.table[v-1]+c.table[v])/2 && y < (c.table[v]+c.table[v+1])/2
}

// lowestLike is the lowest whole x at which the curve already has its value at i.
func (c *Curve) lowestLike(i int) float64 {
	for i > 0 && c.table[i-1] == c.table[i] {
		i--
	}
	return float64(i)
}

// Points returns the knots, a copy.
func (c *Curve) Points() []Point { return append([]Point(nil), c.pts...) }
