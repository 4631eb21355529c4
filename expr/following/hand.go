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
	person  = hand{jitter: 0.025, reach: 0.150, wander: 0.250, chordGap: 0.040, twinScore: 0.030, seekJitter: 0.060, seekDrift: 0.12}
)

const (
	atOnce        = 0.005 // seconds between notes that a program sends as one chord, at most, on a busy machine
	nearlySo      = 0.040 // seconds between notes that a person strikes as one
	spreadRate    = 0.1   // by which a gap between two notes of a chord that is spread changes what is known,
	spreadMost    = 0.3   // and by which at most: with each share of the score's notes that are in chords as much more
	atOnceRate    = 0.15  // and one between two that are not: a person strikes some notes so, a program spreads none
	byHand        = 0.5   // share of chords that are spread from which on somebody plays
	byProgram     = 0.4   // and under which a program does
	unheardSpread = 0.3   // while nothing was heard
	forgetRate    = 0.02  // by which each note that is no chord brings that back
)

// listener tells from the times between notes who plays.
type listener struct {
	hand
	spread float64 // share of the recent chords that were not struck as one
	rate   float64 // by which a spread chord changes that
}

// newListener listens to who plays a score. Where it has no chords none can be spread, and notes that are near each
// other are two that a jump lies between.
func newListener(x *index) listener {
	chords := 0
	for i := 1; i < len(x.notes); i++ {
		if x.notes[i].on-x.notes[i-1].on < simultaneous {
			chords++
		}
	}
	share := float64(chords) / float64(max(len(x.notes), 1))
	return listener{hand: program, spread: unheardSpread, rate: min(spreadRate+share, spreadMost)}
}

// listen takes the time between two notes.
func (l *listener) listen(gap float64) {
	switch {
	case gap > nearlySo:
		l.spread += forgetRate * (unheardSpread - l.spread)
	case gap > atOnce:
		l.spread += l.rate * (1 - l.spread)
	default:
		l.spread -= atOnceRate * l.spread
	}
	switch {
	case l.spread > byHand:
		l.hand = person
	case l.spread < byProgram:
		l.hand = program
	}
}
