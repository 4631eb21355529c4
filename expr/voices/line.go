package voices

import "time"

// line is what is remembered of one succession of notes. It is a value: the line after
// a note is computed from the line before it, so that a moment can be taken back.
type line struct {
	heard int // notes so far
	since int // notes since it came in after a rest
	on    time.Duration
	step  time.Duration // from the onset before the last to the last; 0 if there is none
	key   int           // of the last note

	figures [maxPeriod]uint8      // shape of the latest notes, by heard mod maxPeriod
	repeats [len(periods)]float32 // share of notes shaped as the one so many notes ago
	free    float64               // how much of it is not one figure again and again, 0..1
	shape   motive
	path    [unisonNotes]uint64 // moment and pitch class of the latest notes

	meanKey, level       float64
	moves, steps, change float64 // shares of notes: of another key, by a step, of another length than before
	paces                float64 // from onset to onset
	apart                float64 // running mean of one over the parts that share its moments
	shared               int     // moments with other notes
	high, low            float64 // shares of those in which it is the highest, the lowest

	entered  float64 // when it came in, paces
	entrance float64 // how much of an entrance that was, 0..1
	imitates float64 // share of latest notes that follow another line's motive
	score    float64 // log odds that it has the tune
	last     float64 // its last onset, paces
}

// usual is what is taken of a line before it is known: as much as so many notes say.
var usual = struct {
	notes                           int
	moves, steps, change, high, low float64
}{2, 0.7, 0.4, 0.3, 0.5, 0.2}

// periods are the lengths, in notes, after which a figure is looked for again: those
// of the usual groupings in two, three and four.
var periods = [...]int{1, 2, 3, 4, 6, 8, 12, 16}

const maxPeriod = 16

// memory is how many notes a running mean of a line looks back over, and proof how many
// beyond a period it takes to tell whether the line repeats after it.
const (
	memory = 8
	proof  = 4
)

// toward moves a running mean of what has been seen n times, this one included.
func toward(mean *float64, x float64, n int) {
	*mean += (x - *mean) * shares[min(max(n, 1), memory)]
}

// heardNote is a note as a line hears it.
type heardNote struct {
	at     time.Duration // its moment
	paces  float64       // the same, in paces
	pace   float64       // ns; 0 while there is none
	rest   float64       // paces of silence of its line before it; for its first note, of music without it
	key    int
	level  float64 // dB
	moment uint64  // number of the moment
}

// hear takes in one note.
func (l *line) hear(n *heardNote) {
	if l.heard == 0 || n.rest >= restPaces && n.rest >= restSteps*l.paces {
		l.entered, l.since, l.imitates = n.paces, 0, 0
		l.entrance = min(n.rest/longRest, 1)
	}
	l.since++
	if l.heard > 0 {
		l.move(n)
	} else {
		l.moves, l.steps, l.change, l.high, l.low = usual.moves, usual.steps, usual.change, usual.high, usual.low
	}
	l.heard++
	toward(&l.meanKey, float64(n.key), l.heard)
	toward(&l.level, n.level, l.heard)
	l.key, l.on, l.last = n.key, n.at, n.paces
	l.free = min((1-l.repetition())/(1-freeAt), 1)
	copy(l.path[1:], l.path[:])
	l.path[0] = n.moment*12 + uint64(pitchClass(n.key))
}

// move takes in the way from the last note to this one.
func (l *line) move(n *heardNote) {
	interval, step := n.key-l.key, n.at-l.on
	far := max(interval, -interval)
	count := l.heard // of moves, this one included
	toward(&l.moves, truth(interval != 0), usual.notes+count)
	toward(&l.steps, nearness(far), usual.notes+count)
	ratio := sameLength
	if l.step > 0 {
		ratio = ratioClass(step, l.step)
		toward(&l.change, truth(ratio != sameLength), usual.notes+count-1)
	}
	if n.pace > 0 {
		toward(&l.paces, float64(step)/n.pace, count)
	}
	figure := uint8(contour(interval)*ratioClasses + ratio)
	for i, period := range periods {
		if count > period {
			same := l.figures[uint(count-period)%maxPeriod] == figure
			l.repeats[i] += (float32(truth(same)) - l.repeats[i]) * float32(shares[min(count-period, figureMemory)])
		}
	}
	l.figures[uint(count)%maxPeriod] = figure
	l.shape.add(interval, ratio)
	l.step = step
}

// repetition is how much of a line is one figure again and again, 0..1.
func (l *line) repetition() float64 {
	if l.heard <= 1+proof {
		return unknownRepetition
	}
	most := float32(0)
	for i, period := range periods {
		if l.heard > period+proof {
			most = max(most, l.repeats[i])
		}
	}
	return float64(most)
}

// A line comes in anew after a rest of so many paces, if that is also so many of its
// own usual steps; a rest so long makes as much of an entrance as there can be.
const (
	restPaces = 4
	restSteps = 2.5
	longRest  = 12
)

// unisonNotes is how many notes two lines must have gone together to be one.
const unisonNotes = 4

// figureMemory is how many notes the share of repeats looks back over.
const figureMemory = 4

// unknownRepetition is what is taken of a line too short to tell.
const unknownRepetition = 0.5

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// nearness is how melodic an interval is: a step is, a third half so.
func nearness(semitones int) float64 {
	switch {
	case semitones == 0 || semitones > 4:
		return 0
	case semitones <= 2:
		return 1
	}
	return 0.5
}

// contour is the interval as a leap or a step down, none, a step or a leap up: 0..4.
func contour(semitones int) int {
	switch {
	case semitones < -2:
		return 0
	case semitones < 0:
		return 1
	case semitones == 0:
		return 2
	case semitones <= 2:
		return 3
	}
	return 4
}

const (
	sameLength   = 2
	ratioClasses = 5
)

// ratioClass is a length against the one before as far shorter, shorter, the same,
// longer, or far longer: 0..4. Triplets against pairs are not the same.
func ratioClass(length, before time.Duration) int {
	switch r := float64(length) / float64(before); {
	case r < 0.4:
		return 0
	case r < 0.75:
		return 1
	case r <= 1.35:
		return sameLength
	case r <= 2.5:
		return 3
	}
	return 4
}

// pitchClass is a key, which may be negative, with octaves taken as one: 0..11.
func pitchClass(key int) int { return (key%12 + 12) % 12 }
