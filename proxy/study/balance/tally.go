package balance

import (
	"cmp"
	"math"
	"slices"

	"swellbox/expr/acoustics"
	"swellbox/expr/thresholds"
)

// tally gathers how one part is heard over moments.
type tally struct {
	samples  []sample
	weight   int
	energy   float64
	aim      float64 // energy of what the shaped performance aims at
	dynamic  float64 // sum of what is written, dB
	alone    int     // of the weight: nobody else sounds
	covered  int
	blending int     // of the covered: doubled by others that are not covered
	doubled  int     // of the covered: doubled by any others
	longest  *moment // of the doubled, for an ear to try; nil if there is none
}

// sample is the audibility at one moment.
type sample struct {
	db     float64
	weight int
}

// add takes source i of a moment.
func (t *tally) add(m *moment, sounds []acoustics.Sound, i int) {
	sound := &sounds[i]
	t.sample(sound.AudibilityDB, m.weight)
	t.energy += float64(m.weight) * math.Pow(10, sound.LevelDB/10)
	if len(m.players) == 1 {
		t.alone += m.weight
	}
	if sound.AudibilityDB < 0 {
		t.cover(m, sounds, i)
	}
}

// sample takes how audible something is at a moment.
func (t *tally) sample(db float64, weight int) {
	t.samples = append(t.samples, sample{db, weight})
	t.weight += weight
}

// cover takes a moment in which the part is covered.
func (t *tally) cover(m *moment, sounds []acoustics.Sound, i int) {
	t.covered += m.weight
	if m.doubled(i, func(j int) bool { return sounds[j].AudibilityDB >= 0 }) {
		t.blending += m.weight
	}
	if m.doubled(i, func(int) bool { return true }) {
		t.doubled += m.weight
		if t.longest == nil || m.weight > t.longest.weight {
			t.longest = m
		}
	}
}

// heard sums up, of a part that doubles nobody.
func (t *tally) heard() heard {
	h := heard{levelDB: 10 * math.Log10(t.energy/float64(t.weight)), aimDB: 10 * math.Log10(t.aim/float64(t.weight)), audibilityDB: t.median()}
	h.state = stateOf(h.audibilityDB, t.weight, t.alone)
	return h
}

// doubles reports whether what covers a part is its doubling, for most of the time in
// which it is covered: those who double it are not covered; or in the longest such
// moment, it would not be if they were silent.
func (t *tally) doubles(e *ear, in place, part int) bool {
	if 2*t.blending > t.covered {
		return true
	}
	return 2*t.doubled > t.covered && e.try(in, t.longest, t.longest.of(part), undoubled)[t.longest.of(part)].AudibilityDB >= 0
}

// median is the lower weighted median of the audibility.
func (t *tally) median() float64 {
	slices.SortFunc(t.samples, func(a, b sample) int { return cmp.Compare(a.db, b.db) })
	below := 0
	for _, s := range t.samples {
		if below += s.weight; 2*below >= t.weight {
			return s.db
		}
	}
	return acoustics.FloorDB
}

// doubled reports whether all notes of a source are played, octaves apart or not, by
// others that struck them at the same time and that count.
func (m *moment) doubled(i int, counts func(j int) bool) bool {
	due := m.players[i].classes
	for j := range m.players {
		if m.shares(i, j) && counts(j) {
			due &^= m.players[j].classes
		}
	}
	return due == 0
}

// shares reports whether another source has a note of a source's, octaves apart or not,
// and struck it at the same time.
func (m *moment) shares(i, j int) bool {
	p, q := &m.players[i], &m.players[j]
	return i != j && (p.on-q.on).Abs() <= thresholds.Onset && p.classes&q.classes != 0
}

// undoubled silences who doubles a source, if between them they have all its notes.
func undoubled(m *moment, sources []acoustics.Source, i int) {
	if !m.doubled(i, func(int) bool { return true }) {
		return
	}
	for j := range sources {
		if m.shares(i, j) {
			sources[j].Instrument = nil
		}
	}
}
