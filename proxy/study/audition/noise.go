package audition

import "math/bits"

// noise is a generator of random bits by Vigna's xorshift64*, whose state is never 0.
type noise uint64

// newNoise makes a generator from a seed of any kind.
func newNoise(seed uint64) noise {
	hi, lo := bits.Mul64(seed^0x9E3779B97F4A7C15, 0xD1342543DE82EF95)
	return noise(hi ^ lo | 1)
}

func (s *noise) next() uint64 {
	x := uint64(*s)
	x ^= x >> 12
	x ^= x << 25
	x ^= x >> 27
	*s = noise(x)
	return x * 0x2545F4914F6CDD1D
}

// unit is a number from 0 to under 1.
func (s *noise) unit() float64 { return float64(s.next()>>11) / (1 << 53) }
