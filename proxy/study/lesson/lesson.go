package lesson

import (
	"html/template"
	"time"

	"swellbox/proxy/study/audition"
)

// Lesson is a page.
type Lesson struct {
	Title     string
	Unit      string        // "bar", or "second"
	Intro     template.HTML // the teacher's words before all bars
	Where     string        // the hall and the seat
	Stretches []*Stretch
	Questions []*Question
	States    []StateKey
	Kbps      int  // of each take, kbit/s
	Own       bool // the takes are recordings of one's own
	Stereo    bool
}

// StateKey is a state of the balance report, to be explained.
type StateKey struct{ Class, Letter, Name, Meaning string }

// Stretch is some bars that follow each other.
type Stretch struct {
	ID     string // of its section in the page
	Name   string // "bars 9–16"
	Bars   []Bar
	Length float64 // s, without what rings on
	Onset  float64 // s: when the first take is heard first
	Takes  []*Take
	Parts  []*Part
	Listen []Advice
	Notes  []Note

	heardMost   []string // habits, the most easily told first
	first, last int      // bars of the piece, from 0
	from, to    time.Duration
}

// Bar is one bar of a stretch.
type Bar struct {
	Number     string
	At, Length float64 // s from the start of the stretch
}

// Take is the bars as they are played in one way.
type Take struct {
	Name, Says string
	Audio      template.HTML // base64 of MP3

	sound *audition.Take
}

// Advice is something to listen for.
type Advice struct {
	What, Why, Try string
	Bars           string  // where, if not all over
	At             float64 // s
}

// Note is what the teacher says at some bars.
type Note struct {
	Bars string
	At   float64 // s
	Text template.HTML
}

// at is a time of the piece in the stretch, s.
func (s *Stretch) at(t time.Duration) float64 { return (t - s.from).Seconds() }

// covers reports whether the stretch has bars, counted from 0, and from when on.
func (s *Stretch) covers(first, last int) (at float64, ok bool) {
	if last < s.first || first > s.last {
		return 0, false
	}
	return s.Bars[max(first, s.first)-s.first].At, true
}

// Part is one part of a stretch, as it is drawn.
type Part struct {
	Name  string
	Plot  template.HTML // what an SVG of plotWidth by plotHeight shows
	Says  string        // the same in words, for who does not see it
	Cells []Cell        // by bar
	View  string
}

// Cell is how a part is heard in a bar.
type Cell struct {
	Class, Letter, Says string
	At, Length          float64 // s
}

// Question is two takes that differ in one thing, by a known amount.
type Question struct {
	Skill       string  `json:"skill"`
	About       string  `json:"about"` // what is learnt
	Unit        string  `json:"unit"`
	Amount      float64 `json:"amount"`
	Words       string  `json:"words"`
	Explanation string  `json:"explanation"`
	Answer      string  `json:"answer"` // A or B

	Audio [2]template.HTML `json:"-"` // base64 of MP3
	takes [2]*audition.Take
}
