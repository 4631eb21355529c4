package habits

import (
	"swellbox/expr"
)

// Touch is one habit of those who strike keys: how much louder or softer they play a note for
// one side of what it is among others. What it adds was fitted to players, for each grade of
// foreknowledge, and stands in package nuance with its terms and its sources.
//
// All that is known of each is in touches, and so they share a file.
type Touch struct {
	habit expr.TouchHabit
	about *expr.About
}

// About says what the habit is.
func (t Touch) About() *expr.About { return t.about }

// Strokes is which habit of the touch it is.
func (t Touch) Strokes() expr.TouchHabit { return t.habit }

// Shape adds the habit's level.
func (t Touch) Shape(n *expr.Note, g *expr.Gesture) bool {
	db := n.Amount * n.Touch[t.habit]
	db = min(max(db, -expr.MaxTouchDB), expr.MaxTouchDB)
	if t.habit == expr.WrittenLevel || t.habit == expr.WrittenSigns {
		g.SignDB += db
	} else {
		g.TouchDB += db
	}
	return db != 0
}

// corpora are what the habits of the touch were fitted to.
const corpora = "fitted to 439 performances of 190 piano pieces: Goebl 1999; Hu and Widmer 2023; Peter et al. 2023"

var (
	atAnyGrade   = expr.Grades{None: "by what has sounded", Lookahead: "also by what comes within half a second", Score: "all of it"}
	fromLengths  = expr.Grades{None: "nothing", Lookahead: "little", Score: "all of it"}
	fromBars     = expr.Grades{None: "nothing", Lookahead: "nothing", Score: "all of it"}
	fromWritings = expr.Grades{None: "nothing", Lookahead: "nothing", Score: "all of it, of a score in MusicXML"}
)

// touches are the habits of the touch, in the order of [expr.TouchHabit].
func touches() (all []expr.Habit) {
	for h, about := range [expr.TouchHabits]expr.About{
		expr.TopLine: {
			Sentence: "Who plays keys brings out the highest notes over the others.",
			Listen:   "the piano's upper line over what it accompanies itself with, bars 7 to 12",
			Heard:    "the upper line of the keys is brought out", Ease: 4, Needs: atAnyGrade,
		},
		expr.BassLine: {
			Sentence: "The lowest notes of the keys have more weight than those between.",
			Listen:   "the lowest notes of the piano under those between, bars 7 to 12", Needs: atAnyGrade,
		},
		expr.Height: {
			Sentence: "High keys are struck harder than low ones, and the peaks of a line hardest.",
			Listen:   "the piano grows as it rises and fades as it sinks, bars 7 to 12", Needs: atAnyGrade,
		},
		expr.Fullness: {
			Sentence: "Keys are struck by how full the chord is, and the music around it.",
			Listen:   "the piano's full chords against its thin ones", Needs: atAnyGrade,
		},
		expr.Density: {
			Sentence: "Keys are struck by how much there is to play around.",
			Listen:   "the piano is louder where it has more to play", Needs: atAnyGrade,
		},
		expr.NoteLength: {
			Sentence: "Long upper notes of the keys are struck to last.",
			Listen:   "the piano's long upper notes, bars 7 to 12", Needs: fromLengths,
		},
		expr.BarWeight: {
			Sentence: "The beats of the bar, and the first most, are struck a little harder.",
			Listen:   "the piano's first beats, bars 7 to 12", Needs: fromBars,
		},
		expr.Endings: {
			Sentence: "Who plays keys begins, ends and comes out of a rest at a level of its own.",
			Listen:   "the piano's first and last notes", Needs: atAnyGrade,
		},
		expr.Novelty: {
			Sentence: "What is struck again and again is softer than what is new.",
			Listen:   "the piano's repeated notes, bars 7 to 12", Needs: atAnyGrade,
		},
		expr.TwoHands: {
			Sentence: "The upper note of each hand is brought out over the rest of the hand.",
			Listen:   "nothing in this score, which is not written on two staves", Needs: fromWritings,
		},
		expr.WrittenLevel: {
			Sentence: "Dynamics and hairpins of a score are played as pianists do, where the notes' velocities do not say them.",
			Changed:  "the score's dynamics in the touch",
			Listen:   "nothing in this score, whose velocities say its dynamics", Needs: fromWritings,
		},
		expr.WrittenSigns: {
			Sentence: "Accents written in a score are struck as pianists do.",
			Changed:  "the score's accents in the touch",
			Listen:   "nothing in this score, which has no accents for the piano", Needs: fromWritings,
		},
	} {
		habit := expr.TouchHabit(h)
		about.Name, about.Key, about.Source = habit.String(), habit.Key(), corpora
		about.Most = expr.Bound{AnyDB: expr.MaxTouchDB}
		if about.Changed == "" {
			about.Changed = "the touch's " + about.Name
		}
		all = append(all, Touch{habit, &about})
	}
	return all
}
