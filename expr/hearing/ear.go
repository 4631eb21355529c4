package hearing

import (
	"math/bits"
	"time"

	"swellbox/expr"
	"swellbox/expr/listening"
	"swellbox/expr/voices"
)

// ear hears what the lines make together: harmony, key, and who has the tune.
type ear struct {
	tune *voices.Ensemble

	sounding [128]uint8 // how often each key is down
	down     [2]uint64  // the keys that are

	latest chord
	over   chord         // the moment before, while nobody has thought about it
	start  time.Duration // of the latest
	key    listening.KeyFinder

	moments []harmony
	first   int64 // number of moments[0]; they are numbered from 1
	whole   bool  // forget none: it is the ear of one who reads a score

	trial                   expr.Trial
	tuneFault, harmonyFault error // why these are not known any more
}

// chord is what sounds at one moment.
type chord struct {
	number int64 // of the moment; 0: none
	chroma listening.Chroma
	low    int // its lowest key
}

// harmony is what a chord is.
type harmony struct {
	remote float32
	root   int8 // pitch class; Unknown
	tonic  int8
	minor  bool
	known  bool // it has been thought about
}

// maxMoments is how many moments are remembered, at most and at least.
const (
	maxMoments  = 1024
	keptMoments = 512
)

// What makes a root, and a key, sure enough to go by. Ours; see package listening.
const (
	sureRoot = 0.3
	sureKey  = 0.7
)

func (a *ear) init(parts int, trial expr.Trial) {
	*a = ear{tune: voices.NewEnsemble(parts), first: 1, trial: trial}
}

// moment is a moment by its number, or nil if it is forgotten or never was.
func (a *ear) moment(number int64) *harmony {
	if i := number - a.first; number > 0 && i >= 0 && i < int64(len(a.moments)) {
		return &a.moments[i]
	}
	return nil
}

// noteOn hears a pitched note begin and returns the number of its moment, 0 where harmony
// is not heard any more.
func (a *ear) noteOn(key uint8, at time.Duration) (latest int64) {
	if a.harmonyFault != nil {
		return 0
	}
	defer expr.Lose(&a.harmonyFault, expr.OfHarmony)
	a.trial.Of(expr.OfHarmony)
	latest = a.first + int64(len(a.moments)) - 1
	if len(a.moments) == 0 || at-a.start > expr.ChordTime {
		a.over = a.latest
		if len(a.moments) == maxMoments && !a.whole {
			n := copy(a.moments, a.moments[maxMoments-keptMoments:])
			a.first += maxMoments - keptMoments
			a.moments = a.moments[:n]
		}
		a.moments = append(a.moments, harmony{root: expr.Unknown, tonic: expr.Unknown})
		latest++
		a.start = at
		a.latest = chord{number: latest, low: int(key)}
		for i, word := range a.down {
			for ; word != 0; word &= word - 1 {
				a.add(64*i + bits.TrailingZeros64(word))
			}
		}
	}
	a.sounding[key]++
	a.down[key/64] |= 1 << (key % 64)
	a.add(int(key))
	a.key.Add(at, int(key), 1)
	return latest
}

func (a *ear) add(key int) {
	a.latest.chroma.Add(key, 1)
	a.latest.low = min(a.latest.low, key)
}

func (a *ear) noteOff(key uint8) {
	if a.sounding[key] > 0 {
		a.sounding[key]--
	}
	if a.sounding[key] == 0 {
		a.down[key/64] &^= 1 << (key % 64)
	}
}

// silence hears that nothing sounds any more.
func (a *ear) silence() {
	a.sounding = [128]uint8{}
	a.down = [2]uint64{}
}

// reflect thinks about the moment that is over.
func (a *ear) reflect() {
	if a.over.number != 0 {
		defer expr.Lose(&a.harmonyFault, expr.OfHarmony)
		a.think(&a.over)
		a.over.number = 0
	}
}

// think finds what a chord is, once all its notes have come.
func (a *ear) think(c *chord) {
	h := a.moment(c.number)
	if h == nil || h.known {
		return
	}
	h.known = true
	if root, sure := listening.Root(&c.chroma, c.low); sure >= sureRoot {
		h.root = int8(root)
	}
	if tonic, minor, r := a.key.Key(); r >= sureKey {
		h.tonic, h.minor = int8(tonic), minor
		h.remote = float32(listening.Remoteness(&c.chroma, tonic, minor))
	}
}

// harmony is that of a moment as far as it is known at a time; nil if it is not.
func (a *ear) harmony(number int64, now time.Duration) *harmony {
	if a.harmonyFault != nil {
		return nil
	}
	defer expr.Lose(&a.harmonyFault, expr.OfHarmony)
	switch {
	case number == a.over.number:
		a.reflect()
	case number == a.latest.number && now-a.start > expr.ChordTime:
		a.think(&a.latest)
	}
	if h := a.moment(number); h != nil && h.known {
		return h
	}
	return nil
}
