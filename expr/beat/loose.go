package beat

import "math"

// loose is the beat of a person, whose onsets stand in no exact grid: how probable each length of the beat is, and each
// place in the beat with it, by all moments heard.
//
// It is a bar pointer's filter (Whiteley, Cemgil and Godsill, Bayesian Modelling of Temporal Structure in Musical Audio,
// 2006, from memory) that goes from moment to moment and not by frames. Where in the beat moments begin, and which, is
// measured on players (loose_table.go): moments come as a Poisson process whose rate is that of the place.
type loose struct {
	is, was [looseSpans][loosePlaces]float64
	begun   bool
	told    int     // the length told last
	low     float64 // mean of the lowest notes; 0 before the first
}

// Limits and weights of the filter. Ours, where nothing else is said. How far the wander and the evidence matter was tried on 66
// takes: the share of beats that are right is the same at all of their values, 0.39 to 0.40.
const (
	looseSpans    = 44    // lengths of the beat
	loosePlaces   = 48    // in the beat
	looseFastest  = 0.24  // seconds, the shortest beat: the longest has 1.66
	looseStep     = 0.045 // of the logarithm of the beat's length, from one to the next
	looseUsual    = -0.6  // the logarithm of the usual beat in seconds: measured, -0.53
	looseSpread   = 0.5   // and its deviation; among pieces it is wider: measured, 0.8
	looseWander   = 0.06  // deviation of that logarithm from beat to beat: measured, the median change of a beat is 0.06
	looseEvidence = 0.6   // of what the rate says of moments, as they hang together: 0.4 to 0.8 do as well
	looseMarkSays = 0.6   // of what their kinds say
	looseAnew     = 1e-4  // of the probability goes to all beats alike at each moment
	looseStay     = 1.3   // how much more a reading counts that goes on as told,
	looseStays    = 0.12  // which is one that is so near in the beat
	looseStaysBy  = 4     // and so many lengths
	looseNear     = 3     // places within which two readings are one
	looseNearBy   = 2     // and lengths
	looseKinds    = 6     // of moments: one, two or more notes, each above and in the bass
	looseBass     = 5     // semitones below the mean of the lowest notes at which a moment is in the bass
	looseFollows  = 0.1   // of a lowest note goes into that mean
)

// looseSpan has the lengths of the beat in seconds, how usual each place with that length is, and the rate's unit there.
var looseSpan, looseUsually, looseUnit = func() (span, usual, unit [looseSpans]float64) {
	sum := 0.0
	for k := range span {
		span[k] = looseFastest * math.Exp(looseStep*float64(k))
		x := (math.Log(span[k]) - looseUsual) / looseSpread
		usual[k] = math.Exp(-x * x / 2)
		unit[k] = math.Pow(span[k], -looseEvidence)
		sum += usual[k] * loosePlaces
	}
	for k := range usual {
		usual[k] /= sum
	}
	return span, usual, unit
}()

// The probability that no moment comes between two places is looseGone of the second over looseGone of the first, by
// looseBeatGone for each turn of the beat; looseCame is what a moment says that has come.
var looseCame, looseGone, looseBeatGone = func() (came, gone [loosePlaces]float64, beat float64) {
	sum := 0.0
	for j, r := range looseRate {
		came[j], gone[j] = math.Pow(r, looseEvidence), math.Exp(-looseEvidence*sum)
		sum += r / loosePlaces
	}
	return came, gone, math.Exp(-looseEvidence * sum)
}()

// looseSays is what the kind of a moment says of its place.
var looseSays = func() (says [looseKinds][loosePlaces]float64) {
	for k := range says {
		for j, r := range looseMark[k] {
			says[k][j] = math.Pow(r, looseMarkSays)
		}
	}
	return says
}()

// step hears that so many seconds after a moment, which is whole now, another one begins.
func (l *loose) step(m *moment, passed float64) {
	if !l.begun {
		l.begun = true
		for k := range l.is {
			for j := range l.is[k] {
				l.is[k][j] = looseUsually[k]
			}
		}
	}
	says := &looseSays[l.kind(m)]
	sum := 0.0
	for k := range l.is {
		sum += l.move(k, passed, says)
	}
	l.wander(passed, 1/sum)
}

// kind is what a moment is heard as.
func (l *loose) kind(m *moment) int {
	low := float64(m.low)
	if l.low == 0 {
		l.low = low
	}
	kind := min(m.notes, 3) - 1
	if low < l.low-looseBass {
		kind += 3
	}
	l.low += looseFollows * (low - l.low)
	return kind
}

// move has the beat of one length go on from is to was, where a moment comes, and returns its probability.
func (l *loose) move(k int, passed float64, says *[loosePlaces]float64) (sum float64) {
	places := passed / looseSpan[k] * loosePlaces
	whole := math.Floor(places)
	late := places - whole // of a place
	turns := math.Floor(whole / loosePlaces)
	shift := int(whole - turns*loosePlaces)
	once := looseUnit[k] * math.Pow(looseBeatGone, turns)
	again := once * looseBeatGone // the beat has begun anew on the way
	is, was := &l.is[k], &l.was[k]
	from := (loosePlaces - shift) % loosePlaces
	last := (from + loosePlaces - 1) % loosePlaces
	before := is[last] * says[last] / looseGone[last]
	for j := range was {
		here := is[from] * says[from] / looseGone[from]
		p := (here*(1-late) + before*late) * looseCame[j] * looseGone[j]
		if j < from {
			p *= again
		} else {
			p *= once
		}
		was[j] = p
		sum += p
		before = here
		if from++; from == loosePlaces {
			from = 0
		}
	}
	return sum
}

// wander lets the tempo change.
func (l *loose) wander(passed, scale float64) {
	for k := range l.is {
		share := min(0.25, looseWander*looseWander*passed/looseSpan[k]/(2*looseStep*looseStep))
		same, less, more := &l.was[k], &l.was[max(k-1, 0)], &l.was[min(k+1, looseSpans-1)]
		for j := range same {
			l.is[k][j] = scale*((1-2*share)*same[j]+share*(less[j]+more[j])) + looseAnew*looseUsually[k]
		}
	}
}

// tell gives the most probable beat: its length, how much of it has passed, from -1/2 to 1/2, and how probable it is.
// expected is how much would have passed had it gone on as told, NaN if nothing has been.
func (l *loose) tell(expected float64) (period, place, sure float64) {
	best, length, at := 0.0, 0, 0
	var column [loosePlaces + 2*looseNear]float64 // the places, and at either end those of the other
	for k := range l.is {
		same, less, more := &l.is[k], &l.is[max(k-1, 0)], &l.is[min(k+1, looseSpans-1)]
		for j := range same {
			column[looseNear+j] = same[j] + less[j] + more[j]
		}
		copy(column[:looseNear], column[loosePlaces:])
		copy(column[loosePlaces+looseNear:], column[looseNear:2*looseNear])
		near := max(k-l.told, l.told-k) <= looseStaysBy
		for j := range same {
			sum := 0.0
			for _, p := range column[j : j+2*looseNear+1] {
				sum += p
			}
			if near && math.Abs(math.Remainder(float64(j)/loosePlaces-expected, 1)) < looseStays {
				sum *= looseStay
			}
			if sum > best {
				best, length, at = sum, k, j
			}
		}
	}
	l.told = length
	return l.mean(length, at)
}

// mean gives the mean of what is near a reading, and its probability.
func (l *loose) mean(length, at int) (period, place, sure float64) {
	var spans, places float64
	for k := max(0, length-looseNearBy); k <= min(looseSpans-1, length+looseNearBy); k++ {
		for j := -looseNear; j <= looseNear; j++ {
			p := l.is[k][(at+j+loosePlaces)%loosePlaces]
			places += p * float64(j)
			spans += p * float64(k)
			sure += p
		}
	}
	if sure == 0 {
		return looseSpan[length], float64(at) / loosePlaces, 0
	}
	place = math.Remainder((float64(at)+places/sure)/loosePlaces, 1)
	return looseFastest * math.Exp(looseStep*spans/sure), place, sure
}
