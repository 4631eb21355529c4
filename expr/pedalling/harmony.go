package pedalling

import (
	"math/bits"

	"swellbox/expr/listening"
)

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

func (c classes) chroma() (ch listening.Chroma) {
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
