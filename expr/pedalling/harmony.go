package pedalling

import (
	"math"
	"math/bits"
)

// chroma is how much of each pitch class sounds, from C; only the proportions count.
type chroma [12]float64

// basis holds the six directions of the tonal centroid space for each pitch class.
//
// Source: Harte, Sandler and Gasser 2006: circles of fifths and minor thirds of radius 1, of
// major thirds of radius 0.5 (SEEN-2).
var basis = func() (b [12][6]float64) {
	for l := range b {
		for i, circle := range [3]struct{ radius, angle float64 }{{1, 7 * math.Pi / 6}, {1, 3 * math.Pi / 2}, {0.5, 2 * math.Pi / 3}} {
			sin, cos := math.Sincos(float64(l) * circle.angle)
			b[l][2*i], b[l][2*i+1] = circle.radius*sin, circle.radius*cos
		}
	}
	return b
}()

// centroid is a chroma's place in the tonal centroid space; of silence, its middle.
func centroid(c *chroma) (at [6]float64) {
	var sum float64
	for l, x := range c {
		if x == 0 {
			continue
		}
		sum += x
		for i := range at {
			at[i] += x * basis[l][i]
		}
	}
	if sum == 0 {
		return at
	}
	for i := range at {
		at[i] /= sum
	}
	return at
}

// distance is how far apart two chromas are in harmony, 0 to about 3: between the closest
// triads 0.799, from a major triad to the same with a minor seventh 0.543.
//
// Source: Harte, Sandler and Gasser 2006.
func distance(a, b *chroma) float64 {
	x, y := centroid(a), centroid(b)
	var sum float64
	for i := range x {
		d := x[i] - y[i]
		sum += d * d
	}
	return math.Sqrt(sum)
}

// classes is a set of pitch classes, C the lowest bit.
type classes uint16

func classOf(key int) classes { return 1 << (key % 12) }

func (c classes) count() int { return bits.OnesCount16(uint16(c)) }

// within reports whether all of c are in d.
func (c classes) within(d classes) bool { return c&^d == 0 }

// turned transposes up by semitones, 0..11.
func (c classes) turned(semitones int) classes {
	return (c<<semitones | c>>(12-semitones)) & 0xFFF
}

// touches reports whether a note of c is a second (or a seventh) from one of d.
func (c classes) touches(d classes) bool {
	return (c.turned(1)|c.turned(2)|c.turned(10)|c.turned(11))&d != 0
}

func (c classes) chroma() (ch chroma) {
	for ; c != 0; c &= c - 1 {
		ch[bits.TrailingZeros16(uint16(c))] = 1
	}
	return ch
}

// stacked holds the sets of pitch classes that are a seventh chord built of thirds,
// or a part of one.
var stacked = func() (is [1 << 12]bool) {
	for _, chord := range [...]classes{
		1 | 1<<4 | 1<<7 | 1<<11, 1 | 1<<4 | 1<<7 | 1<<10, // major, with either seventh
		1 | 1<<3 | 1<<7 | 1<<10, 1 | 1<<3 | 1<<7 | 1<<11, // minor
		1 | 1<<3 | 1<<6 | 1<<10, 1 | 1<<3 | 1<<6 | 1<<9, // diminished
		1 | 1<<4 | 1<<8, // augmented
	} {
		for root := range 12 {
			whole := chord.turned(root)
			for part := whole; ; part = (part - 1) & whole { // every subset
				is[part] = true
				if part == 0 {
					break
				}
			}
		}
	}
	return is
}()

func (c classes) isStacked() bool { return stacked[c] }
