package follow

import (
	"cmp"
	"math"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
)

const (
	// nearBeat is how far from a beat, in seconds, what is told for it may be: as in the evaluations of
	// MIREX (Davies, Degara and Plumbley, Evaluation Methods for Musical Audio Beat Tracking
	// Algorithms, 2009).
	nearBeat = 0.070
	// lead is how long is listened before it counts, as there.
	lead = 5.0
	// sureBeat is from which on the beat counts as sure.
	sureBeat = 0.8
)

// Onset is a note that begins.
type Onset struct {
	At       float64 // seconds
	Key      uint8
	Velocity uint8
}

// Music is what is heard, and where the beats of its score are.
type Music struct {
	Onsets []Onset   // in the order of At
	Beats  []float64 // seconds
	Downs  []float64 // those that begin a bar
}

// Beats counts beats.
type Beats struct {
	Written, Told, Right                int // beats of the score, those told, and how many of these are right
	WrittenDowns, ToldDowns, RightDowns int // first beats of bars likewise
	Sure, SureRight                     int // told beats that are sure, and right
	Pieces, Found, Double, Half, Off    int // pieces, by the tempo told most of the time
}

// Add adds another count.
func (b *Beats) Add(o Beats) {
	b.Written += o.Written
	b.Told += o.Told
	b.Right += o.Right
	b.WrittenDowns += o.WrittenDowns
	b.ToldDowns += o.ToldDowns
	b.RightDowns += o.RightDowns
	b.Sure += o.Sure
	b.SureRight += o.SureRight
	b.Pieces += o.Pieces
	b.Found += o.Found
	b.Double += o.Double
	b.Half += o.Half
	b.Off += o.Off
}

// F is the harmonic mean of precision and recall.
func F(written, told, right int) float64 {
	if written+told == 0 {
		return 0
	}
	return 2 * float64(right) / float64(written+told)
}

// told is a beat that is told.
type told struct {
	at, sure, period float64
	down             bool
}

// Listen has a tracker hear music and counts what it tells.
func Listen(m *Music) Beats {
	var t beat.Tracker
	var out []told
	for i := 0; i < len(m.Onsets); {
		at := m.Onsets[i].At
		j := i
		for ; j < len(m.Onsets) && m.Onsets[j].At-at <= 0.030; j++ {
			o := &m.Onsets[j]
			t.Onset(seconds(o.At), int(o.Key), int(o.Velocity))
		}
		until := math.Inf(1)
		if j < len(m.Onsets) {
			until = m.Onsets[j].At
		}
		i = j
		out = tell(&t, at, min(until, at+4), out)
	}
	return m.judge(out)
}

func seconds(s float64) time.Duration { return time.Duration(math.Round(s * 1e9)) }

// tell lists the beats from a moment to the next. Of the beat itself the moment may be a little late.
func tell(t *beat.Tracker, at, until float64, out []told) []told {
	const late = 0.035
	e := t.Beat(seconds(at))
	if e.Period == 0 {
		return out
	}
	period := e.Period.Seconds()
	first := math.Ceil(e.Quarter - late/period)
	for k := first; ; k++ {
		when := at + (k-e.Quarter)*period
		if when >= until-late {
			return out
		}
		if n := len(out); n > 0 && when-out[n-1].at < period/3 {
			continue
		}
		x := t.Beat(seconds(when))
		in := math.Remainder(x.InBar-1, float64(max(x.BeatsInBar, 1)))
		out = append(out, told{when, x.Sure, period, x.BeatsInBar > 0 && math.Abs(in) < 0.25})
	}
}

// judge holds what is told against the score.
func (m *Music) judge(out []told) (b Beats) {
	if len(m.Onsets) == 0 {
		return b
	}
	from := m.Onsets[0].At + lead
	end := m.Onsets[len(m.Onsets)-1].At
	within := func(times []float64) []float64 {
		return slices.DeleteFunc(slices.Clone(times), func(x float64) bool { return x < from || x > end+nearBeat })
	}
	beats, downs := within(m.Beats), within(m.Downs)
	out = slices.DeleteFunc(out, func(o told) bool { return o.at < from || o.at > end+nearBeat })
	b.Written, b.WrittenDowns, b.Told = len(beats), len(downs), len(out)
	nextBeat, nextDown := 0, 0
	var ratios []float64
	for _, o := range out {
		right := met(beats, &nextBeat, o.at)
		if right {
			b.Right++
		}
		if o.sure > sureBeat {
			b.Sure++
			if right {
				b.SureRight++
			}
		}
		if i, _ := slices.BinarySearch(beats, o.at); i > 0 && i < len(beats) {
			ratios = append(ratios, o.period/(beats[i]-beats[i-1]))
		}
		if !o.down {
			continue
		}
		b.ToldDowns++
		if met(downs, &nextDown, o.at) {
			b.RightDowns++
		}
	}
	b.Pieces = 1
	if len(ratios) == 0 {
		return b
	}
	slices.Sort(ratios)
	switch r := ratios[len(ratios)/2]; {
	case r > 0.9 && r < 1.1:
		b.Found = 1
	case r > 0.45 && r < 0.55:
		b.Double = 1
	case r > 1.8 && r < 2.2:
		b.Half = 1
	default:
		b.Off = 1
	}
	return b
}

// met reports whether there is one of some times, not met before, near another.
func met(times []float64, next *int, at float64) bool {
	for *next < len(times) && times[*next] < at-nearBeat {
		*next++
	}
	if *next < len(times) && times[*next] <= at+nearBeat {
		*next++
		return true
	}
	return false
}

// gridBeat is a beat of a score.
type gridBeat struct {
	at   float64 // quarter notes
	down bool    // it begins a bar
}

// gridOf gives the beats of a score. A beat is the unit of the time signature, and three of them
// where they are parted by three, as in 6/8.
func gridOf(score *expr.Score) (beats []gridBeat) {
	for i := range score.Bars {
		b := &score.Bars[i]
		if b.Unit <= 0 || b.Beats <= 0 {
			continue
		}
		unit, n := 4/float64(b.Unit), b.Beats
		if b.Unit >= 8 && n%3 == 0 && n > 3 {
			unit, n = unit*3, n/3
		}
		end := math.Inf(1)
		if i+1 < len(score.Bars) {
			end = score.Bars[i+1].Beat
		}
		length := float64(n) * unit
		start := b.Beat
		if short := length - (end - b.Beat); i == 0 && short > 1e-6 {
			start -= short // an upbeat
		}
		for k := range n {
			if at := start + float64(k)*unit; at >= b.Beat-1e-6 && at < end-1e-6 {
				beats = append(beats, gridBeat{at, k == 0})
			}
		}
	}
	return beats
}

// knots lead from quarter notes to seconds.
type knots struct{ beat, at []float64 }

func (k *knots) add(beat, at float64) {
	if n := len(k.beat); n > 0 && (beat <= k.beat[n-1]+1e-6 || at <= k.at[n-1]) {
		return
	}
	k.beat = append(k.beat, beat)
	k.at = append(k.at, at)
}

// seconds is the time of a beat, if it lies between two knots.
func (k *knots) seconds(beat float64) (float64, bool) {
	i, exact := slices.BinarySearch(k.beat, beat)
	if exact {
		return k.at[i], true
	}
	if i == 0 || i == len(k.beat) {
		return 0, false
	}
	return k.at[i-1] + (beat-k.beat[i-1])/(k.beat[i]-k.beat[i-1])*(k.at[i]-k.at[i-1]), true
}

// grid puts the beats of a score where the knots have them.
func (m *Music) grid(score *expr.Score, k *knots, shift float64) {
	for _, b := range gridOf(score) {
		at, ok := k.seconds(b.at + shift)
		if !ok {
			continue
		}
		m.Beats = append(m.Beats, at)
		if b.down {
			m.Downs = append(m.Downs, at)
		}
	}
}

// ScoreMusic is a score as a notation program plays it at a tempo, all notes alike.
func ScoreMusic(score *expr.Score, tempo float64) *Music {
	const even = 80
	m := &Music{}
	var k knots
	for i := range score.Notes {
		n := &score.Notes[i]
		at := n.On.Seconds() / tempo
		m.Onsets = append(m.Onsets, Onset{at, n.Key, even})
		k.add(n.Beat, at)
	}
	m.grid(score, &k, 0)
	return m
}

// Played is a note of a score as somebody played it.
type Played struct {
	Onset
	Beat float64 // quarter notes of the score
}

// PlayedMusic is a performance, whose beats are where its notes on them are, or between. A note whose beat is
// no number is heard, and tells of no beat.
func PlayedMusic(score *expr.Score, notes []Played) *Music {
	m := &Music{}
	for _, n := range notes {
		m.Onsets = append(m.Onsets, n.Onset)
	}
	slices.SortStableFunc(m.Onsets, func(a, b Onset) int { return cmp.Compare(a.At, b.At) })
	notes = slices.DeleteFunc(slices.Clone(notes), func(n Played) bool { return math.IsNaN(n.Beat) })
	slices.SortStableFunc(notes, func(a, b Played) int { return cmp.Compare(a.Beat, b.Beat) })
	var k knots
	for i := 0; i < len(notes); {
		j, sum := i, 0.0
		for ; j < len(notes) && notes[j].Beat-notes[i].Beat < 1e-6; j++ {
			sum += notes[j].At
		}
		k.add(notes[i].Beat, sum/float64(j-i))
		i = j
	}
	m.grid(score, &k, 0)
	return m
}
