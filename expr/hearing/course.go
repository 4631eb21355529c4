package hearing

import (
	"cmp"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/pace"
	"swellbox/expr/thresholds"
	"swellbox/expr/timing"
)

// What makes a boundary one of the whole ensemble. Ours, not published.
const (
	togetherTime  = thresholds.Phrases // within which lines begin their phrases together
	presentTime   = 4 * time.Second    // for which a line that rests still counts
	togetherShare = 0.4                // of the lines that must begin a phrase
	phraseLeast   = 2 * time.Second    // the shortest phrase
)

// course is how the score goes, as far as the whole ensemble's tempo follows it.
func (r *reading) course() *timing.Course {
	last := r.score.Notes[len(r.score.Notes)-1].On
	slows := r.slows(last-3*timing.LastRitard, last, timing.LastRitard) || r.lastIsHeld()
	return &timing.Course{Phrases: r.phrases(), Beats: beats(r.score), Last: last, Slows: slows}
}

// beats are how players take the beats of a score.
func beats(s *expr.Score) (all []timing.Beat) {
	for _, b := range pace.Curve(s) {
		all = append(all, timing.Beat{At: b.At, Log: b.Log, Inner: b.Inner})
	}
	return all
}

// slowed is the share of the tempo before that a written ritard is told by. Ours.
const slowed = 0.95

// slows reports whether the written tempo slows down from one moment to another: whether it
// is slower within so long before the second than at any time before in between. Who has
// written a ritard is not to be given another.
func (r *reading) slows(from, to, within time.Duration) bool {
	notes := r.score.Notes
	first, _ := slices.BinarySearchFunc(notes, max(from, 0), func(n expr.Written, t time.Duration) int { return cmp.Compare(n.On, t) })
	fastest, before := 0.0, first
	for i := first + 1; i < len(notes) && notes[i].On <= to; i++ {
		tempo := tempo(&notes[before], &notes[i])
		if tempo == 0 {
			continue
		}
		before = i
		if notes[i].On > to-within && tempo < slowed*fastest {
			return true
		}
		fastest = max(fastest, tempo)
	}
	return false
}

// lastIsHeld reports whether the written tempo slows down on the last note, by which it is held.
func (r *reading) lastIsHeld() bool {
	notes := r.score.Notes
	last := &notes[len(notes)-1]
	for i := len(notes) - 1; i >= 0; i-- {
		if before := tempo(&notes[i], last); before > 0 {
			return last.Off > last.On && last.Length/(last.Off-last.On).Seconds() < slowed*before
		}
	}
	return false
}

// tempo is how many quarter notes a second are written from one note to a later one; 0
// where they come together.
func tempo(a, b *expr.Written) float64 {
	if b.On-a.On < expr.ChordTime || b.Beat <= a.Beat {
		return 0
	}
	return (b.Beat - a.Beat) / (b.On - a.On).Seconds()
}

// beginning is a line's beginning of a phrase.
type beginning struct {
	at   time.Duration
	line int
}

// Phrases are those of the whole ensemble: from where many lines begin one to where
// they do so next.
func (r *reading) phrases() []timing.Phrase {
	var all []beginning
	for i := range r.lines {
		l := &r.lines[i]
		for j := range l.all {
			if t := &l.all[j]; t.Starts&StartsPhrase != 0 && t.moment != 0 {
				all = append(all, beginning{t.On, i})
			}
		}
	}
	slices.SortFunc(all, func(a, b beginning) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.line, b.line)) })
	var phrases []timing.Phrase
	start := time.Duration(expr.Unknown)
	for i := 0; i < len(all); {
		at, lines := all[i].at, 0
		for last := expr.Unknown; i < len(all) && all[i].at-at <= togetherTime; i++ {
			if all[i].line != last {
				lines++
			}
			last = all[i].line
		}
		share := float64(lines) / float64(max(r.present(at), 1))
		if share < togetherShare || start != expr.Unknown && at-start < phraseLeast {
			continue
		}
		if start != expr.Unknown {
			phrases = append(phrases, r.breathing(start, at, min(share, 1)))
		}
		start = at
	}
	if last := r.score.Notes[len(r.score.Notes)-1].On; start != expr.Unknown && last > start {
		phrases = append(phrases, r.breathing(start, last, 1))
	}
	return phrases
}

// breathing is a phrase, with a boundary so deep at its end; none where the written tempo slows
// down to it by itself.
func (r *reading) breathing(start, end time.Duration, depth float64) timing.Phrase {
	if r.slows(start, end, min(timing.LastRitard, (end-start)/2)) {
		depth = 0
	}
	return timing.Phrase{Start: start, End: end, Depth: depth}
}

// present is how many lines play, or have done so not long before a time.
func (r *reading) present(at time.Duration) (n int) {
	for i := range r.lines {
		l := &r.lines[i]
		j, _ := slices.BinarySearchFunc(l.all, at+togetherTime, func(t Tone, at time.Duration) int { return cmp.Compare(t.On, at) })
		if j > 0 && at-l.all[j-1].On <= presentTime {
			n++
		}
	}
	return n
}

// CourseOf is how a score goes; nil if it has no notes.
func CourseOf(s *expr.Score) *timing.Course {
	if len(s.Notes) == 0 {
		return nil
	}
	return read(s, nil).course()
}
