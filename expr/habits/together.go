package habits

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/listening"
)

// Together has each player stand in time in a way of its own: a little before or
// after the beat, wandering slowly, and drawn to the others. Where a hammer strikes, louder notes
// come earlier by what its travel takes less. It needs lookahead, and does nothing
// without.
//
// Sources: Hennig et al. 2011 (1/f deviations), Wing et al. 2014 (phase correction),
// Goebl 2001 (the hammer); see package timing.
type Together struct{}

var aboutTogether = expr.About{
	Name: "together", Key: "together",
	Sentence: "Players start together as people do, each a little before or after the beat.",
	Changed:  "the players' own time",
	Listen:   "players start together as people do and not as a machine does: the brass, bars 19 to 24",
	Needs: expr.Grades{
		None:      "nothing",
		Lookahead: "all of it, within half of it",
		Score:     "all of it, within half of the lookahead",
	},
	Source: "Hennig et al. 2011; Wing et al. 2014; Goebl 2001",
	Settings: []expr.Setting{
		{Key: "spread_ms", About: "how far one musician's notes stray in time, as a standard deviation", Changed: "straying of the notes in time", Unit: "ms", Most: 60,
			At: func(p *expr.Profile) *time.Duration { return &p.Together.SD }},
		{Key: "chord_spread_ms", About: "how far the notes of one chord stray from each other, as a standard deviation", Changed: "straying of a chord's notes in time", Unit: "ms", Most: 60,
			At: func(p *expr.Profile) *time.Duration { return &p.Together.Chord }},
		{Key: "louder_earlier", About: "louder notes are earlier, as hammers travel faster", Changed: "louder notes are", Words: []string{"in time", "earlier, as on a piano"},
			At: func(p *expr.Profile) *bool { return &p.Together.Hammer }},
	},
}

// About says what the habit is.
func (Together) About() *expr.About { return &aboutTogether }

// Shape reports whether the note is played at a time of its own, which was decided
// before it sounds.
func (Together) Shape(n *expr.Note, _ *expr.Gesture) bool { return n.Shift != n.Warp }

// Spread is as the profile has it.
func (Together) Spread(p *expr.Profile) (sd time.Duration, on bool) {
	amount := p.Amounts.Of(aboutTogether.Key)
	return time.Duration(amount * float64(p.Together.SD)), amount != 0
}

// ChordSpread is as the profile has it.
func (Together) ChordSpread(p *expr.Profile) time.Duration {
	return time.Duration(p.Amounts.Of(aboutTogether.Key) * float64(p.Together.Chord))
}

// leadShare is how much of what a hammer's travel takes less a louder note is earlier: measured on 240,000
// chords of 439 performances (Goebl 1999; Hu and Widmer 2023; Peter et al. 2023), notes within 60 ms,
// as the slope of the lead of the highest note over the travel of the rest, 0.41. Goebl 2001 found all of it
// in what fingers do, before hands make up for it.
const leadShare = 0.41

// Lead is what a louder note is earlier. What makes the melody louder thereby makes it
// lead.
//
// Source: Goebl 2001, where the lead is mostly an effect of the velocity; see package
// listening.
func (Together) Lead(p *expr.Profile, velocity, struck uint8) time.Duration {
	if !p.Together.Hammer {
		return 0
	}
	return time.Duration(leadShare * float64(listening.Lead(velocity, struck)))
}
