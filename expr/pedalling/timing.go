package pedalling

import (
	"math"
	"time"
)

// The windows of legato pedalling: the foot comes up so long after the onset of the new
// chord, and is down again so long after that. Both are earlier and quicker in faster
// music, but less than proportionally (Repp 1997); the bounds are from memory.
const (
	minLift    = 50 * time.Millisecond
	maxLift    = 120 * time.Millisecond
	minRepress = 100 * time.Millisecond
	maxRepress = 250 * time.Millisecond
)

// Between the bounds both follow the square root of the time to the next chord, from their
// least at quickestPace to their most at about 1.5 s: ours.
const (
	quickestPace = 250 * time.Millisecond
	usualPace    = 600 * time.Millisecond // taken where nothing is known
)

// latestPress is the part of the chord's length by which the foot is down again (from memory).
const latestPress = 60 // percent

// footGap is the least time between two movements of the foot. Ours.
const footGap = 60 * time.Millisecond

// In a broken chord of quick notes the foot changes as soon as it can after the first of them,
// to catch it while it is held: by then it has sounded so much of its length. Ours.
const (
	quickLift = 15 * time.Millisecond
	catchBy   = 80 // percent
)

// legato is when the foot comes up after the onset, and when it is down again, for chords
// that follow each other at a pace. length is the chord's, or negative; ok is
// false where it is too short to come down in.
func legato(pace, length time.Duration) (lift, press time.Duration, ok bool) {
	slowness := math.Sqrt(float64(pace) / float64(quickestPace))
	lift = min(max(time.Duration(slowness*float64(minLift)), minLift), maxLift)
	press = lift + min(max(time.Duration(slowness*float64(minRepress)), minRepress), maxRepress)
	if length < 0 {
		return lift, press, true
	}
	press = min(press, latest(length))
	if press-lift < minRepress {
		lift = max(press-minRepress, minLift)
	}
	return lift, press, press-lift >= minRepress
}

// quick is legato for the first note of a broken chord of quick notes.
func quick(length time.Duration) (lift, press time.Duration, ok bool) {
	if length < 0 {
		return quickLift, quickLift + footGap, true
	}
	lift = min(quickLift, length*catchBy/100-footGap)
	return max(lift, 0), lift + footGap, lift >= 0
}

// latest is by when after the onset of a note of known length the foot is down.
func latest(length time.Duration) time.Duration {
	return length * latestPress / 100
}
