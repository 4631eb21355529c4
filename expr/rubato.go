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
	if r.slows(last) {
		return warp // it ends in a ritard of its own
	}
	return warp.WithRitard(timing.Ritard{From: max(last-ritardTime, 0), To: last, Most: most}, k)
}

// slowed is the share of the tempo before that a written ritard is told by. Ours.
const slowed = 0.9

// slows reports whether the written tempo slows down to the last note.
func (r *reading) slows(last time.Duration) bool {
	before, within := r.tempo(last-3*ritardTime, last-ritardTime), r.tempo(last-ritardTime, last)
	return before > 0 && within < slowed*before
}

// tempo is how many quarter notes a second are written between two times; 0 where nobody can tell.
func (r *reading) tempo(from, to time.Duration) float64 {
	notes := r.score.Notes
	at := func(t time.Duration) *Written {
		i, _ := slices.BinarySearchFunc(notes, t, func(n Written, t time.Duration) int { return cmp.Compare(n.On, t) })
		return &notes[min(i, len(notes)-1)]
	}
	a, b := at(max(from, 0)), at(to)
	if b.On <= a.On {
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
			phrases = append(phrases, timing.Phrase{Start: start, End: at, Depth: min(share, 1)})
		}
		start = at
	}
	if last := r.score.Notes[len(r.score.Notes)-1].On; start != Unknown && last > start {
		phrases = append(phrases, timing.Phrase{Start: start, End: last, Depth: 1})
	}
	return phrases
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
