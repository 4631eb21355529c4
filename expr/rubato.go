package expr

import (
	"cmp"
	"slices"
	"time"

	"swellbox/expr/timing"
)

// Rubato has the ensemble breathe with its phrases: each begins slowly, is fastest in its
// middle and slows to its end, and what it borrows it pays back by then; the last one ends
// in a ritard. Where the score is not known, only the ends of phrases are longer, paid
// back within a second. It needs lookahead, and keeps within half of it.
//
// Sources: Todd 1985 (phrases), Friberg and Sundberg 1999 (the ritard), Friberg 1991
// (phrase ends, from memory); see package timing.
type Rubato struct{}

// Name is the rule's name in counts and reports.
func (Rubato) Name() string { return "rubato" }

// Shape reports whether the ensemble is off the beat that came in with the note.
func (Rubato) Shape(n *Note, _ *Gesture) bool { return n.Warp != 0 }

// planRubato has the ensemble's rubato be that of the score that is loaded, as far as
// the lookahead allows; without a score, that of the phrase ends that it sees coming.
func (e *Engine) planRubato() {
	bound := e.sway()
	e.endings.Bound = min(bound, timing.MaxEndings)
	if e.reading != nil {
		e.reading.warp = e.reading.rubato(e.cfg.Rubato, bound, e.cfg.Lookahead)
	}
}

// PlanRubato is the rubato of a score, of quantity k, by which no moment is shifted by more
// than bound but the last ones, in a ritard that may make the end later by most. It is for
// those who write a rubato down; an engine makes its own.
func PlanRubato(s *Score, k float64, bound, most time.Duration) *timing.Warp {
	if len(s.Notes) == 0 {
		return standstill
	}
	return read(s).rubato(k, bound, most)
}

// lengthen has the last note of a phrase be longer, for an ensemble that does not know
// the score, where the phrase is the tune's.
func (e *Engine) lengthen(p *part, t *tone, ev *Event) {
	if e.reading != nil || e.cfg.Rubato == 0 || t.salience < t.tune {
		return
	}
	next := p.line.tone(t.next)
	if next != nil && next.starts&startsPhrase != 0 {
		e.endings.Lengthen(ev.At, next.on, e.cfg.Rubato)
	}
}

// What makes a boundary one of the whole ensemble. Ours, not published.
const (
	togetherTime  = 100 * time.Millisecond // within which lines begin their phrases together
	presentTime   = 4 * time.Second        // for which a line that rests still counts
	togetherShare = 0.4                    // of the lines that must begin a phrase
	phraseLeast   = 2 * time.Second        // the shortest phrase
	ritardTime    = 4 * time.Second        // how long the last ritard is: about two bars
)

// rubato is the warp that the score's phrases make.
func (r *reading) rubato(k float64, bound, most time.Duration) *timing.Warp {
	if k == 0 || bound == 0 {
		return standstill
	}
	warp, err := timing.Arches(r.phrases(), k, bound)
	if err != nil {
		return standstill // phrases are not nested, so there is none
	}
	last := r.score.Notes[len(r.score.Notes)-1].On
	if r.slows(last-3*ritardTime, last, ritardTime) || r.lastIsHeld() {
		return warp // it ends in a ritard of its own
	}
	return warp.WithRitard(timing.Ritard{From: max(last-ritardTime, 0), To: last, Most: most}, k)
}

// slowed is the share of the tempo before that a written ritard is told by. Ours.
const slowed = 0.95

// slows reports whether the written tempo slows down from one moment to another: whether it
// is slower within so long before the second than at any time before in between. Who has
// written a ritard is not to be given another.
func (r *reading) slows(from, to, within time.Duration) bool {
	notes := r.score.Notes
	first, _ := slices.BinarySearchFunc(notes, max(from, 0), func(n Written, t time.Duration) int { return cmp.Compare(n.On, t) })
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
func tempo(a, b *Written) float64 {
	if b.On-a.On < chordTime || b.Beat <= a.Beat {
		return 0
	}
	return (b.Beat - a.Beat) / (b.On - a.On).Seconds()
}

// beginning is a line's beginning of a phrase.
type beginning struct {
	at   time.Duration
	line int
}

// phrases are those of the whole ensemble: from where many lines begin one to where
// they do so next.
func (r *reading) phrases() []timing.Phrase {
	var all []beginning
	for i := range r.lines {
		l := &r.lines[i]
		for j := range l.tones {
			if t := &l.tones[j]; t.starts&startsPhrase != 0 && t.moment != 0 {
				all = append(all, beginning{t.on, i})
			}
		}
	}
	slices.SortFunc(all, func(a, b beginning) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.line, b.line)) })
	var phrases []timing.Phrase
	start := time.Duration(Unknown)
	for i := 0; i < len(all); {
		at, lines := all[i].at, 0
		for last := Unknown; i < len(all) && all[i].at-at <= togetherTime; i++ {
			if all[i].line != last {
				lines++
			}
			last = all[i].line
		}
		share := float64(lines) / float64(max(r.present(at), 1))
		if share < togetherShare || start != Unknown && at-start < phraseLeast {
			continue
		}
		if start != Unknown {
			phrases = append(phrases, r.breathing(start, at, min(share, 1)))
		}
		start = at
	}
	if last := r.score.Notes[len(r.score.Notes)-1].On; start != Unknown && last > start {
		phrases = append(phrases, r.breathing(start, last, 1))
	}
	return phrases
}

// breathing is a phrase, with a boundary so deep at its end; none where the written tempo slows
// down to it by itself.
func (r *reading) breathing(start, end time.Duration, depth float64) timing.Phrase {
	if r.slows(start, end, min(ritardTime, (end-start)/2)) {
		depth = 0
	}
	return timing.Phrase{Start: start, End: end, Depth: depth}
}

// present is how many lines play, or have done so not long before a time.
func (r *reading) present(at time.Duration) (n int) {
	for i := range r.lines {
		l := &r.lines[i]
		j, _ := slices.BinarySearchFunc(l.tones, at+togetherTime, func(t tone, at time.Duration) int { return cmp.Compare(t.on, at) })
		if j > 0 && at-l.tones[j-1].on <= presentTime {
			n++
		}
	}
	return n
}
