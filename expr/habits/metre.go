package habits

import (
	"time"

	"swellbox/expr"
)

// Metre plays strong beats louder than weak ones, and the first note of a rising group of
// equal notes (a triplet, four semiquavers) louder than the rest of the group. The two are not
// summed: where a group starts off the beat, its accent stands and the metre's does not.
//
// A level of metre is worth 0.75 dB, as far as the metre is sure, and the first of a group 1
// dB. A beat that is not strong has nothing, what is off the beat has less, so that the mean
// over a bar of quavers lies within 0.15 dB of the written level, and within 0.4 dB in
// compound metres. What a line's notes have on average is taken off, so that a part that only
// plays on strong beats is not louder for that.
//
// The strokes of a roll have no accents.
//
// Foreknowledge. None and lookahead: as far as the beat has been found, and groups where their
// notes have come in. Score: the written metre.
//
// Sources: groups are the most consistent accents and prevail where they contradict the metre,
// C. Drake and C. Palmer, "Accent structures in music performance", Music Perception 10 (1993)
// 343-378; strong beats louder, J. A. Sloboda 1983, from memory. No published amounts: ours,
// and within 3 dB in all.
type Metre struct{}

const (
	beatLevelDB = 0.75
	plainBeat   = 1 // the level of metre that is as written
	groupDB     = 1
	maxMetreDB  = 3

	// rollTime is the most time between the strokes of a roll or a tremolo, which has no
	// beats. Ours.
	rollTime = 130 * time.Millisecond
)

var aboutMetre = expr.About{
	Name: "metre", Key: "metre",
	Sentence: "The beats of the bar, and the first of a group, can be felt.",
	Changed:  "the accents of the metre",
	Listen:   "the two beats of the bar can be felt, the first more than the second: violins I, bars 16 to 23",
	Needs: expr.Grades{
		None:      "as far as the beat has been found",
		Lookahead: "as far as the beat has been found, and groups that have come in",
		Score:     "the written metre",
	},
	Source: "Drake and Palmer 1993; Sloboda 1983, from memory",
	Most:   expr.Bound{AnyDB: maxMetreDB},
}

// About says what the habit is.
func (Metre) About() *expr.About { return &aboutMetre }

// Shape adds the level of the note's place in bar or group.
func (Metre) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Amount
	if k == 0 {
		return false
	}
	if n.FromLast >= 0 && n.FromLast < rollTime && n.LastKey == int(n.Key) {
		return false
	}
	db := beatLevelDB * (n.BeatSure*float64(n.BeatLevel-plainBeat) - n.MeanBeat)
	if n.Group > 1 && n.GroupRising {
		db = max(db, groupDB)
	}
	g.NuanceDB += min(max(k*db, -maxMetreDB), maxMetreDB)
	return db != 0
}
