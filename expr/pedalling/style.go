package pedalling

import (
	"time"

	"swellbox/expr/thresholds"
)

// Kind says what the pedal, or the hand in its place, damps.
type Kind uint8

const (
	None       Kind = iota // there is none: nothing is ever planned
	Piano                  // legato pedalling by harmony
	Harp                   // strings ring until hands damp them; down lets ring
	Celesta                // as the piano's, changed more seldom
	Vibraphone             // the bar pedal: down through a phrase, changed with the harmony
)

// style is how a kind of player uses the foot. All of it is ours, not published, but for
// the piano's threshold.
type style struct {
	threshold float64       // of the tonal centroid's distance, from which harmony is new
	blur      float64       // factor on the roughness that is put up with
	foreign   int           // pitch classes foreign to the harmony that may ring on
	advised   bool          // as pianists were measured to do, where somebody says what that is
	atOnset   bool          // the foot goes down with the first note, not after it
	damps     bool          // changes are made by hands with the onset, and single notes are left to ring
	single    float64       // depth under single notes where there is a half pedal
	tail      time.Duration // after which it comes up when no finger is down; 0: a beat
}

// The smallest distance between two triads is 0.799, an added seventh moves by 0.543: 0.7
// parts them (Harte, Sandler and Gasser 2006, threshold ours). The celesta's 1.0 lets
// triads with two notes in common run together, and not those a fifth apart (1.213).
var styles = [...]style{
	Piano:      {threshold: 0.7, blur: 1, foreign: 2, single: 1, advised: true},
	Harp:       {threshold: 0.7, blur: 2, foreign: 12, single: 1, atOnset: true, damps: true, tail: maxTail},
	Celesta:    {threshold: 1.0, blur: 2, foreign: 3, single: 1},
	Vibraphone: {threshold: 0.7, blur: 1.5, foreign: 3, single: 0.5, atOnset: true},
}

// Roughness that is put up with at amount 1, of one pair of keys. Ours, not published: a whole
// tone passes the first from F sharp 4 up, a third passes the second from about F 2 up.
const (
	foreignRoughness = 2.0
	harmonyRoughness = 5.0
)

// Registers, as MIDI keys. Common practice, no published source.
const (
	middleC   = 60
	high      = 72 // from here a note over a chord is taken for a tune if nobody says
	bassBelow = 48 // an organ point lies under this
	reach     = 7  // semitones above the bass that a note may have and still be the new bass
)

// A chord's notes start within chordTime of its first. Quick steps follow each other within
// fastStep, an ornament's within ornament. A single note shorter than longSingle gets no
// pedal of its own, nor one shorter than shortNote that is low, which may be the bass of a chord
// to come, nor a chord as short that does not come again. All ours, not published.
const (
	chordTime  = thresholds.Foot
	fastStep   = 250 * time.Millisecond
	ornament   = 100 * time.Millisecond
	longSingle = 400 * time.Millisecond
	shortNote  = 250 * time.Millisecond
)

// A beat is taken as usualBeat if nobody says: the preferred tempo (Parncutt 1994, from
// memory). The foot waits a beat with no finger down, within bounds of ours.
const (
	usualBeat = 700 * time.Millisecond
	minTail   = 250 * time.Millisecond
	maxTail   = 2 * time.Second
)

// The planner stands back while the notation pedals, and so long after its last mark. Ours.
const standBack = 8 * time.Second
