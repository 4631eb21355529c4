package listening

import (
	"math"
	"time"
)

// HammerVelocity is the speed in m/s at which a grand piano's hammer meets its string for a MIDI
// velocity: 2^((v-52)/25).
//
// Source: W. Goebl and R. Bresin, "Measurement and reproduction accuracy of
// computer-controlled grand pianos", JASA 114 (2003) 2273-2283, from memory.
func HammerVelocity(velocity uint8) float64 { return math.Exp2((float64(velocity) - 52) / 25) }

// TravelTime is the time from the finger's touch of the key until the hammer, which meets the
// string at v m/s, gets there: 89.16·v^-0.570 ms. v is over 0.
//
// Source: W. Goebl, "Melody lead in piano performance: Expressive device or artifact?", JASA 110
// (2001) 563-572, from memory.
func TravelTime(v float64) time.Duration {
	return time.Duration(89.16 * math.Pow(v, -0.570) * float64(time.Millisecond))
}

// travelTimes are those of the MIDI velocities.
var travelTimes = func() (t [128]time.Duration) {
	for velocity := range t {
		t[velocity] = TravelTime(HammerVelocity(uint8(velocity)))
	}
	return t
}()

// Lead is by how much the hammer of a melody note comes before that of an accompaniment note
// whose key is touched with it, by their MIDI velocities; negative if the melody is the softer.
// Velocities over 127 count as 127.
//
// Source: Goebl 2001, as [TravelTime].
func Lead(accompaniment, melody uint8) time.Duration {
	return travelTimes[min(accompaniment, 127)] - travelTimes[min(melody, 127)]
}
