package sampler

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
)

// Trial is what is played to see whether a measurement is true: each part alone at written
// dynamics, then all together; first as a notation program plays it, then shaped. Its keys and
// velocities are others than a probe's.
type Trial struct {
	plan     *Plan
	notes    []note        // of one side, from its beginning
	length   time.Duration // of one side
	together time.Duration // when in it all play together
	raw      time.Duration // when the raw side begins
	shaped   time.Duration // and the shaped one
}

// What a part plays alone: velocities as notation programs write p to ff, none of them a quick probe's,
// on keys that lie so far up in its range, in no order.
var (
	markVelocities = []uint8{58, 88, 72, 104, 50}
	markPlaces     = []float64{0.4, 0.7, 0.15, 0.55, 0.85}
)

// togetherVelocities are those of the chords that all play: a crescendo and back.
var togetherVelocities = []uint8{50, 66, 86, 106, 106, 86, 66, 50}

const (
	markLength = 550 * time.Millisecond
	markGap    = 200 * time.Millisecond
	heldLength = 2400 * time.Millisecond // a vibrato has begun and grown by its middle
	chordStep  = time.Second
	partGap    = 600 * time.Millisecond
	sideGap    = 1500 * time.Millisecond
)

// NewTrial is a trial of some parts. It is the same for the same parts.
func NewTrial(subjects []Subject) (*Trial, error) {
	if len(subjects) == 0 || len(subjects) > mostSubjects {
		return nil, fmt.Errorf("found %d parts to check, wanted 1 to %d", len(subjects), mostSubjects)
	}
	t := &Trial{plan: &Plan{Subjects: subjects, sync: quickest(subjects)}}
	at := settingTime
	for i := range subjects {
		at = t.alone(i, at) + partGap
	}
	t.together = at
	for _, v := range togetherVelocities {
		for i := range subjects {
			t.notes = append(t.notes, note{aim: ofTogether, subject: i, at: at, length: chordStep - markGap, key: subjects[i].chordKey(), velocity: v})
		}
		at += chordStep
	}
	t.length = at
	t.raw = t.plan.pattern(trialPattern, lead)
	t.shaped = t.raw + t.length + sideGap
	for side, from := range []time.Duration{t.raw, t.shaped} {
		for i := range subjects {
			t.plan.setUp(i, from-settingTime)
		}
		for _, n := range t.notes {
			n.at += from
			n.value = side
			t.plan.note(n)
		}
	}
	t.plan.Length = t.plan.pattern(trialPattern, t.shaped+t.length+sideGap) + lead
	return t, nil
}

// trialPattern is another than those of probes, so that neither passes for the other.
var trialPattern = []time.Duration{0, 550 * time.Millisecond, 780 * time.Millisecond, 1080 * time.Millisecond, 1500 * time.Millisecond}

// alone has a part play by itself from a time on.
func (t *Trial) alone(i int, at time.Duration) (end time.Duration) {
	s := &t.plan.Subjects[i]
	for k, v := range markVelocities {
		key := s.Low + uint8(markPlaces[k]*float64(s.High-s.Low))
		t.notes = append(t.notes, note{aim: ofMark, subject: i, at: at, length: markLength, key: key, velocity: v})
		at += markLength + markGap
	}
	if s.Profile.Amounts.Of(expr.KeyVibrato) > 0 {
		t.notes = append(t.notes, note{aim: ofHeld, subject: i, at: at, length: heldLength, key: s.middle() + 1, velocity: mf})
		at += heldLength
	}
	return at
}

// chordKey is a key of a chord of C in the middle of the range.
func (s *Subject) chordKey() uint8 {
	key := s.middle()
	for key%12 != 0 && key%12 != 4 && key%12 != 7 && key < s.High {
		key++
	}
	return key
}

// Length is how long a recording of it is.
func (t *Trial) Length() time.Duration { return t.plan.Length }

// Raw is one side as a notation program plays it, to be shaped: a track for all, then one for each part.
func (t *Trial) Raw() *smf.File {
	one := *t.plan
	one.notes, one.messages, one.Length = t.notes, nil, t.length
	for i := range one.Subjects {
		if program := one.Subjects[i].Program; program > 0 {
			one.say(i, 0, 0xC0, byte(program-1), 0, 2)
		}
	}
	return one.File()
}

// File is what is played into the sampler, given what [Trial.Raw] was shaped to.
func (t *Trial) File(shaped *smf.File) (*smf.File, error) {
	if len(shaped.Tracks) != len(t.plan.Subjects)+1 || shaped.Division.TicksPerQuarter != ticksPerQuarter {
		return nil, fmt.Errorf("the shaped trial has %d tracks, wanted %d", len(shaped.Tracks), len(t.plan.Subjects)+1)
	}
	all := *t.plan
	all.notes = slices.DeleteFunc(slices.Clone(t.plan.notes), func(n note) bool { return n.aim >= ofMark && n.value == 1 })
	f := all.File()
	for i := range f.Tracks[1:] {
		track := &f.Tracks[i+1]
		for _, e := range shaped.Tracks[i+1].Events {
			if e.Data[0] == 0xFF {
				continue
			}
			track.Events = append(track.Events, smf.Event{Tick: e.Tick + int64(t.shaped/tick), Data: e.Data})
		}
		slices.SortStableFunc(track.Events, func(a, b smf.Event) int { return cmp.Compare(a.Tick, b.Tick) })
	}
	return f, nil
}
