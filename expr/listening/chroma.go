package listening

import "math"

// Chroma is how much of each pitch class there is: weights of 0 or more, in any one unit
// (notes, seconds, loudness), C first.
type Chroma [12]float64

// Add adds a MIDI note, or a pitch class, by a weight.
func (c *Chroma) Add(key int, weight float64) { c[pitchClass(key)] += weight }

// Remove takes away what Add added. No pitch class falls under 0.
func (c *Chroma) Remove(key int, weight float64) {
	c[pitchClass(key)] = max(c[pitchClass(key)]-weight, 0)
}

// sum is all the weight there is.
func (c *Chroma) sum() (sum float64) {
	for _, w := range c {
		sum += w
	}
	return sum
}

// Centroid is where a harmony lies in tonal space: on the circles of fifths, of minor thirds
// and of major thirds, each by sine and cosine.
type Centroid [6]float64

// HarmonyChange is a distance of centroids over which two harmonies are taken for two: any two
// of the 24 major and minor triads are 0.799 or more apart, a triad and its seventh chord
// 0.543. The distances follow from the formula; that the line is drawn between them is ours.
const HarmonyChange = 0.7

// The radii of the three circles.
//
// Source: C. Harte, M. Sandler and M. Gasser, "Detecting harmonic change in musical
// audio", AMCMM 2006, as quoted in secondary texts.
const (
	fifthsRadius      = 1
	minorThirdsRadius = 1
	majorThirdsRadius = 0.5
)

// tonalSpace is where each pitch class lies; angles of 7π/6, 3π/2 and 2π/3 a semitone.
//
// Source: as the radii.
var tonalSpace = func() (space [12]Centroid) {
	for i := range space {
		circle := func(radius, step float64) (y, x float64) {
			sin, cos := math.Sincos(float64(i) * step)
			return radius * sin, radius * cos
		}
		c := &space[i]
		c[0], c[1] = circle(fifthsRadius, math.Pi*7/6)
		c[2], c[3] = circle(minorThirdsRadius, math.Pi*3/2)
		c[4], c[5] = circle(majorThirdsRadius, math.Pi*2/3)
	}
	return space
}()

// Centroid is the tonal centroid of a harmony, whatever its total weight; of none it
// is the origin, where an evenly filled octave lies too.
//
// Source: Harte et al. 2006, as quoted in secondary texts.
func (c *Chroma) Centroid() (at Centroid) {
	sum := c.sum()
	if sum <= 0 {
		return at
	}
	for i, w := range c {
		for d := range at {
			at[d] += w / sum * tonalSpace[i][d]
		}
	}
	return at
}

// Distance is the Euclidean distance of two centroids, 0 to 3. Between what sounded and what
// sounds it is how much the harmony changes; the source smooths first and looks at both
// sides of a moment, which needs the future.
//
// Source: Harte et al. 2006, from memory.
func Distance(a, b Centroid) float64 {
	sum := 0.0
	for d := range a {
		sum += (a[d] - b[d]) * (a[d] - b[d])
	}
	return math.Sqrt(sum)
}
