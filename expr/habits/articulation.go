package habits

import (
	"math"
	"time"

	"swellbox/expr"
)

// Articulation parts and joins notes. A staccato sounds for 40 % of its value, a note that is
// repeated at once for 60 %, a legato note laps over the next by [keyOverlap]. Under amount 1
// each is that much of the way from the length it has; over it only the overlap grows, as
// published. What is marked tenuto is left as it is, and so is a portato (dots under a slur).
//
// What bow or breath sustains is not parted by as much where it is repeated, however slow: a
// tongue or a change of bow takes no longer on long notes.
//
// A note is legato where a slur says so, or where it is played up to the next. The length that
// a score gives is the written one, of which every note lasts up to the next: there, without a
// slur, only a line that is heard to be joined is legato. Marks come from scores alone, so a
// staccato is made from its written length, whatever the notation program has made of it.
//
// A pianist who knows the score holds each note for as long as pianists were measured to (package
// touch): k is how far that goes, and over 1 it goes beyond. The rest of this is then not asked.
//
// Foreknowledge. None: a slurred note is taken to lead on to another as far ahead as the one
// before lies behind, and laps over it if it comes. Lookahead: as published, for notes whose
// next onset comes within it. Score: for all, and staccati as marked.
//
// Sources: R. Bresin and G. U. Battel, "Articulation strategies in expressive piano
// performance", Journal of New Music Research 29 (2000) 211-224; the overlap, R. Bresin 2001,
// from memory. What staccatissimo and sustained repetitions get is common practice, no
// published source.
type Articulation struct{}

const (
	staccatoShare      = 0.40
	staccatissimoShare = 0.25
	repeatedShare      = 0.60
	sustainedGap       = 60 * time.Millisecond // at most, between repeated notes of bow or breath

	// joinedShare is how much of the time to the next onset a note under a slur must last
	// for its end to be drawn there. Ours: less is a rest that someone wrote.
	joinedShare = 0.75
)

// KeyOverlap is by how much a legato note laps over the next, for the time between their
// onsets and k from 1 to 2: (0.5e-6·k - 0.11e-3)·IOI² + (0.01105·k + 0.16063)·IOI, in ms. Past
// one second, where the parabola would turn down, it is held.
//
// Source: R. Bresin 2001, from memory, for 1 <= K <= 5.
func KeyOverlap(ioi time.Duration, k float64) time.Duration {
	ms := min(ioi.Seconds(), 1) * 1000
	overlap := (0.5e-6*k-0.11e-3)*ms*ms + (0.01105*k+0.16063)*ms
	return time.Duration(overlap * float64(time.Millisecond))
}

var aboutArticulation = expr.About{
	Name: "articulation", Key: "articulation",
	Sentence: "Joined notes run into each other, staccato and repeated ones are parted.",
	Changed:  "the articulation",
	Listen:   "slurred notes run into each other: flute, bars 3 to 7, violins I, bars 9 to 12",
	Heard:    "slurred notes run into each other", Ease: 8,
	Needs: expr.Grades{
		None:      "slurred notes, as far ahead as the note before lies behind",
		Lookahead: "notes whose next one comes within it",
		Score:     "all notes, and staccati as marked",
	},
	Source: "Bresin and Battel 2000; the overlap, Bresin 2001, from memory",
}

// About says what the habit is.
func (Articulation) About() *expr.About { return &aboutArticulation }

// Shape gives the note its length or its overlap.
func (Articulation) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Amount
	if k != 0 && n.Held > 0 && n.Length > 0 && n.Profile.Pedal.Kind == expr.PianoPedal && n.Marks&expr.Grace == 0 {
		g.Sounding = held(n, k)
		return true
	}
	if k == 0 || n.Marks&(expr.Grace|expr.Fermata|expr.Tenuto) != 0 {
		return false
	}
	under := n.Marks&(expr.SlurBegins|expr.SlurGoesOn) != 0
	held := n.ToNext > 0 && n.Length >= n.ToNext-expr.JointTime
	switch {
	case n.Marks&(expr.Staccato|expr.Staccatissimo) != 0:
		return !under && shorten(n, g, k)
	case n.Length < 0:
		return n.ToNext < 0 && n.Slurred && lap(n, g, k, n.FromLast)
	case held && n.NextKey == int(n.Key) && !under:
		gap := time.Duration((1 - repeatedShare) * float64(n.ToNext))
		if n.Profile.Dynamics.Carrier != expr.CarryVelocity {
			gap = min(gap, sustainedGap)
		}
		g.Sounding = towards(n.Length, n.ToNext-gap, k)
		return true
	case n.NextKey < 0 || n.NextKey == int(n.Key):
		return false
	case held && (under || n.Grade != expr.Scored || n.Slurred && !n.Marks.Has(expr.SlurEnds)):
		return lap(n, g, k, n.ToNext)
	case under && float64(n.Length) >= joinedShare*float64(n.ToNext):
		g.Sounding = towards(n.Length, n.ToNext+KeyOverlap(n.ToNext, max(k, 1)), k)
		return true
	}
	return false
}

// shortestHold and longestHold bound how long a pianist holds a note. Ours: no key comes up sooner,
// and one held for longer belongs to what follows.
const (
	shortestHold = 25 * time.Millisecond
	longestHold  = 2 // times its length
)

// held is how long a pianist's finger holds a note.
func held(n *expr.Note, k float64) time.Duration {
	share := min(math.Pow(n.Held, k), longestHold)
	return max(time.Duration(share*float64(n.Length)), min(shortestHold, n.Length))
}

// shorten makes a note a staccato of its written length.
func shorten(n *expr.Note, g *expr.Gesture, k float64) bool {
	if n.Length <= 0 {
		return false
	}
	share := staccatoShare
	if n.Marks.Has(expr.Staccatissimo) {
		share = staccatissimoShare
	}
	g.Sounding = towards(n.Length, time.Duration(share*float64(n.Length)), k)
	return true
}

// lap has a note end later than the next begins, as far as it does not already.
func lap(n *expr.Note, g *expr.Gesture, k float64, ioi time.Duration) bool {
	overlap := KeyOverlap(max(ioi, 0), max(k, 1))
	if n.Length > 0 {
		overlap -= n.Length - n.ToNext
	}
	if overlap <= 0 {
		return false
	}
	g.Overlap += time.Duration(min(k, 1) * float64(overlap))
	return true
}

// towards is so much of the way from one length to another, all of it from amount 1 on.
func towards(from, to time.Duration, k float64) time.Duration {
	return from + time.Duration(min(k, 1)*float64(to-from))
}
