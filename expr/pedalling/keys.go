package pedalling

import "math/bits"

// keys is a set of MIDI keys.
type keys [2]uint64

func (k *keys) add(key int)      { k[key>>6] |= 1 << (key & 63) }
func (k *keys) remove(key int)   { k[key>>6] &^= 1 << (key & 63) }
func (k *keys) has(key int) bool { return k[key>>6]>>(key&63)&1 != 0 }
func (k *keys) empty() bool      { return k[0]|k[1] == 0 }
func (k *keys) count() int       { return bits.OnesCount64(k[0]) + bits.OnesCount64(k[1]) }

func (k keys) without(other keys) keys { return keys{k[0] &^ other[0], k[1] &^ other[1]} }
func (k keys) and(other keys) keys     { return keys{k[0] | other[0], k[1] | other[1]} }

// below are those under a key.
func (k keys) below(key int) keys {
	if key >= 64 {
		return keys{k[0], k[1] & (1<<(key-64) - 1)}
	}
	return keys{k[0] & (1<<key - 1), 0}
}

// lowest is the lowest key of a set that is not empty.
func (k *keys) lowest() int {
	if k[0] != 0 {
		return bits.TrailingZeros64(k[0])
	}
	return 64 + bits.TrailingZeros64(k[1])
}

// pop removes the lowest key and returns it.
func (k *keys) pop() int {
	key := k.lowest()
	k.remove(key)
	return key
}

func (k keys) classes() (c classes) {
	for !k.empty() {
		c |= classOf(k.pop())
	}
	return c
}

// fills reports whether fingers that hold the keys hold a chord: three of them, not all of one pitch class.
func (k *keys) fills() bool { return k.count() >= 3 && k.classes().count() >= 2 }

// highest is the highest key of a set that is not empty.
func (k *keys) highest() int {
	if k[1] != 0 {
		return 127 - bits.LeadingZeros64(k[1])
	}
	return 63 - bits.LeadingZeros64(k[0])
}
