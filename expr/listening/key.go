package listening

import (
	"math"
	"time"
)

// How well each pitch class fits a key, from the tonic upward, on a scale of 1 to 7.
//
// Source: C. L. Krumhansl and E. J. Kessler, "Tracing the dynamic changes in perceived tonal
// organization in a spatial representation of musical keys", Psychological Review 89
// (1982) 334-368, as quoted in secondary texts.
var (
	majorProfile = Chroma{6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88}
	minorProfile = Chroma{6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17}
)

// keyProfiles are the profiles of the 12 major and the 12 minor keys, C first, each with mean
// 0 and length 1, so that their product with another such vector is a correlation.
var keyProfiles = func() (all [24]Chroma) {
	for tonic := range 12 {
		for i := range 12 {
			all[tonic][pitchClass(tonic+i)] = majorProfile[i]
			all[12+tonic][pitchClass(tonic+i)] = minorProfile[i]
		}
	}
	for i := range all {
		all[i], _ = all[i].standard()
	}
	return all
}()

// standard is c with mean 0 and length 1, and false if all pitch classes weigh the same.
func (c *Chroma) standard() (s Chroma, ok bool) {
	mean, square := c.sum()/12, 0.0
	for i, w := range c {
		s[i] = w - mean
		square += s[i] * s[i]
	}
	// What is left of equal weights after rounding is no preference.
	if square <= 1e-20*mean*mean {
		return Chroma{}, false
	}
	length := math.Sqrt(square)
	for i := range s {
		s[i] /= length
	}
	return s, true
}

func (c *Chroma) dot(d *Chroma) (sum float64) {
	for i := range c {
		sum += c[i] * d[i]
	}
	return sum
}

// Key is the key that a harmony or a passage sounds most like: the pitch class of its tonic,
// and how well it fits, r up to 1, the correlation of the weights with the listeners' ratings.
// Nothing, or all pitch classes alike, has no key: the tonic is [Unknown]. Of keys that fit
// equally well it is major before minor, then the first from C upward.
//
// Weights are durations in the source.
//
// Source: the Krumhansl-Schmuckler algorithm in C. L. Krumhansl, "Cognitive Foundations
// of Musical Pitch", 1990, as quoted in secondary texts.
func Key(c *Chroma) (tonic int, minor bool, r float64) {
	s, ok := c.standard()
	if !ok {
		return Unknown, false, 0
	}
	best, r := 0, -1.0
	for i := range keyProfiles {
		if fit := s.dot(&keyProfiles[i]); fit > r {
			best, r = i, fit
		}
	}
	return best % 12, best >= 12, r
}

// KeyFit is how well a harmony or a passage fits one key, -1..1, as r of [Key]; 0 for
// nothing, or all pitch classes alike.
func KeyFit(c *Chroma, tonic int, minor bool) float64 {
	s, _ := c.standard()
	return s.dot(keyProfile(tonic, minor))
}

// KeyLikeness is how like two keys sound, -1..1: the correlation of their profiles. C major
// and G major have 0.591, C major and A minor 0.650.
//
// Source: Krumhansl and Kessler 1982, as quoted in secondary texts.
func KeyLikeness(tonic int, minor bool, otherTonic int, otherMinor bool) float64 {
	return keyProfile(tonic, minor).dot(keyProfile(otherTonic, otherMinor))
}

func keyProfile(tonic int, minor bool) *Chroma {
	i := pitchClass(tonic)
	if minor {
		i += 12
	}
	return &keyProfiles[i]
}

// DefaultHalfLife is how long ago a note was that counts half. Ours, not published.
const DefaultHalfLife = 10 * time.Second

// KeyFinder follows the key of what sounds. Its zero value has heard nothing.
type KeyFinder struct {
	HalfLife time.Duration // how long ago a note was that counts half; 0 or less: DefaultHalfLife

	heard Chroma
	at    time.Duration
}

// Add takes a MIDI note, or a pitch class, that was heard at a time, with a weight of 0 or
// more: its length in seconds as in the source, or [DurationAccent] of it. A time before the
// last one counts as the last one.
func (f *KeyFinder) Add(at time.Duration, key int, weight float64) {
	if at > f.at {
		half := f.HalfLife
		if half <= 0 {
			half = DefaultHalfLife
		}
		keep := math.Exp2(-float64(at-f.at) / float64(half))
		for i := range f.heard {
			f.heard[i] *= keep
		}
		f.at = at
	}
	f.heard.Add(key, weight)
}

// Key is the key of what was heard, as [Key]. It changes by notes only, not by time that goes by.
func (f *KeyFinder) Key() (tonic int, minor bool, r float64) { return Key(&f.heard) }

// Heard is what was heard, each note by what it still counted at the last one.
func (f *KeyFinder) Heard() Chroma { return f.heard }
