package following

// hand is how exactly a stream keeps time, in seconds. A notation program keeps it to the
// millisecond; what is wider then is for the tempo, which the user may change. Somebody at a
// keyboard spreads chords, and takes every beat a little later or sooner. Ours, not published; the
// second is tried with players (cmd/follow).
type hand struct {
	jitter    float64 // deviation of a note from its place, live time
	reach     float64 // a note further off than this and three deviations is another
	wander    float64 // by which the tempo's ratio may wander in a second, of itself
	chordGap  float64 // live time between notes of one chord at most
	twinScore float64 // time of the score by which two hypotheses that are one may differ

	seekJitter float64 // time of the score that a note may be off when a place is looked for
	seekDrift  float64 // share of the distance to it, if the tempo is known
}

var (
	program = hand{jitter: 0.004, reach: 0.050, wander: 0.012, chordGap: 0.025, twinScore: 0.015, seekJitter: 0.030, seekDrift: 0.02}
	person  = hand{jitter: 0.025, reach: 0.150, wander: 0.120, chordGap: 0.040, twinScore: 0.030, seekJitter: 0.060, seekDrift: 0.12}
)

const (
	atOnce        = 0.005 // seconds between notes that a program sends as one chord, at most, on a busy machine
	nearlySo      = 0.040 // seconds between notes that a person strikes as one
	spreadRate    = 0.15  // by which a gap between two notes of a chord changes what is known
	byHand        = 0.5   // share of chords that are spread from which on somebody plays
	byProgram     = 0.4   // and under which a program does
	unheardSpread = 0.3   // while nothing was heard
	forgetRate    = 0.02  // by which each note that is no chord brings that back
)

// listener tells from the times between notes who plays.
type listener struct {
	hand
	spread float64 // share of the recent chords that were not struck as one
}

// listen takes the time between two notes.
func (l *listener) listen(gap float64) {
	switch {
	case gap > nearlySo:
		l.spread += forgetRate * (unheardSpread - l.spread)
	case gap > atOnce:
		l.spread += spreadRate * (1 - l.spread)
	default:
		l.spread -= spreadRate * l.spread
	}
	switch {
	case l.spread > byHand:
		l.hand = person
	case l.spread < byProgram:
		l.hand = program
	}
}
