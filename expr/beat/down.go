package beat

import "math/bits"

// down are the keys that are.
type down struct {
	keys     []channelKeys // by port and channel
	sounding int           // how many
}

type channelKeys [2]uint64

// press follows a key down or up.
func (d *down) press(n int, key uint8, on bool) {
	if n >= len(d.keys) {
		return
	}
	word, bit := &d.keys[n][key>>6&1], uint64(1)<<(key&63)
	switch {
	case on && *word&bit == 0:
		*word |= bit
		d.sounding++
	case !on && *word&bit != 0:
		*word &^= bit
		d.sounding--
	}
}

// lift has all keys of a channel come up.
func (d *down) lift(n int) {
	if n < len(d.keys) {
		d.sounding -= bits.OnesCount64(d.keys[n][0]) + bits.OnesCount64(d.keys[n][1])
		d.keys[n] = channelKeys{}
	}
}
