package musicxml

import (
	"fmt"
	"strconv"
	"strings"

	"swellbox/expr"
	"swellbox/expr/ornament"
)

// unsaid stands for a number that the file does not say.
const unsaid = -1

const (
	// maxMeasures bounds the measures of a score, as written and as played.
	maxMeasures = 100_000
	// maxStaves bounds the staves of a part.
	maxStaves = 16
)

// played is a measure as it is played.
type played struct {
	measure int
	pass    int   // which time through its repeat, from 1
	at      int64 // ticks since the start
}

// frames are the measures of a score.
type frames []frame

// frame is a measure, as far as it is common to the parts.
type frame struct {
	name     string // as the file has it
	implicit bool   // it is not counted
	beats    int    // of a time signature that stands here; 0 if none does
	unit     int
	free     bool  // it has no time signature from here on
	length   int64 // ticks, as far as notes go
	rested   int64 // ticks, as far as rests and empty time go

	repeating
	bracket
	jumps
	opening
	final bool   // a final bar line ends it
	mark  string // the rehearsal mark over it

	tempos []tempoMark
	signs  []signMark
}

// repeating is what repeat signs say of a measure.
type repeating struct {
	forwardNext bool // a repeat starts with the next measure
	forward     bool // a repeat starts here
	backward    int  // a repeat ends here, to be played so many times; 0 if none does
	afterJump   bool // also after a da capo or a dal segno
}

// bracket is what the bracket of an ending says of a measure.
type bracket struct {
	ending uint64 // an ending of these times starts here, as bits; see starts
	starts bool
	ends   bool // an ending ends here
}

// jumps are the orders to go elsewhere, and the marks that they lead to.
type jumps struct {
	dacapo      jump
	dalsegno    jump
	tocoda      jump
	segno, coda []string // names of the marks that stand here
	fine        bool
}

// opening is what stands at the start of a measure as it does at the start of a movement.
type opening struct {
	metre, key, tempo bool
	middle            bool // words call it the middle part of a movement, such as a trio
	movement          bool // one starts here, as far as can be told
}

// number is the number that a measure says to have; "12a" counts as 12.
func (f *frame) number() (int, bool) {
	digits := len(f.name) - len(strings.TrimLeft(f.name, "0123456789"))
	n, err := strconv.Atoi(f.name[:digits])
	return n, err == nil && n <= maxMeasures
}

// listed are the names of measures, those in a row as a range.
func (fs frames) listed(measures []int) string {
	const most = 12
	var out []string
	for i := 0; i < len(measures); {
		j := i
		for j+1 < len(measures) && measures[j+1] == measures[j]+1 {
			j++
		}
		if len(out) == most {
			out = append(out, "…")
			break
		}
		from, to := fs[measures[i]].name, fs[measures[j]].name
		if i == j {
			out = append(out, fmt.Sprintf("%.40s", from))
		} else {
			out = append(out, fmt.Sprintf("%.40s–%.40s", from, to))
		}
		i = j + 1
	}
	return strings.Join(out, ", ")
}

// jump is an order to go elsewhere.
type jump struct {
	set   bool
	to    string
	times uint64 // through a repeat in which it holds, as bits; 0 for any
}

// tempoMark is a sign that changes the tempo.
type tempoMark struct {
	at    int64 // ticks since the start of the measure, and later of the score
	kind  tempoKind
	value float64 // quarter notes a minute; of a ratio and a gradual change: to the tempo before
}

// tempoKind is in the order of trust: of marks at one place the last kind holds.
type tempoKind uint8

const (
	gradual  tempoKind = iota // by and by to a share of the tempo before
	back                      // to the last tempo that was stated
	backHome                  // to the first tempo that was stated
	named                     // a tempo by its word
	ratio                     // the beat becomes another
	metronome
	sounding
)

// signMark is a sign of all parts in a measure, before repeats are played out.
type signMark struct {
	at    int64 // ticks since the start of the measure
	kind  expr.SignKind
	value float64
}

// note is a note as it is written, in its measure.
type note struct {
	at, length int64  // ticks; at since the start of the measure
	stolen     int64  // ticks by which grace notes have moved its start
	times      uint64 // through a repeat in which it is played, as bits; 0 for all
	starts     uint32 // slurs by number, as bits
	stops      uint32
	voice      uint16
	instrument uint16
	marks      expr.Marks
	key        uint8
	velocity   uint8 // that the note itself says; 0 where it does not
	staff      uint8
	tied       tie
	small      small
	standing
}

// standing is what stands over a note or across notes.
type standing struct {
	ornament ornamented
	across   across
	leads    bool // it is marked solo
}

// tie says to what a note is tied, as bits.
type tie uint8

const (
	tieStart tie = 1 << iota
	tieStop
)

// ornamented is an ornament on a note, as it is to be played.
type ornamented struct {
	ornament.Sign
	ends bool // it is the second of the two of an ornament.Alternate
}

// small says of a note whether it is written as a cue note. The standard has one element for
// two things: notes that are played and printed small, as in a cadenza, and notes of another
// part that a player only follows by. Programs play the first and are silent about the second.
type small uint8

const (
	ordinary     small = iota
	cue                // written small
	cueOverRests       // and the part itself rests meanwhile
)

// mark is a sign that rules the notes of a staff from a place on.
type mark struct {
	measure  int
	at       int64 // ticks since the start of the measure
	staff    int   // 0 for all of the part
	kind     kind
	velocity uint8 // of level, and of accent for the notes that begin here
	number   int   // of a hairpin; inWords for one in words
}

// inWords is the number of a hairpin that is written as a word, such as "cresc.". It ends with
// the next level, hairpin or such word.
const inWords = 0

type kind uint8

const (
	level kind = iota
	accent
	growing
	fading
	ended     // of a hairpin
	leading   // solo, soli
	following // tutti, a 2
)

// programMark is where the way of playing changes, and with it the MIDI program.
type programMark struct {
	measure    int
	at         int64 // ticks since the start of the measure
	instrument int
	program    int // 1..128; 0 for that with which the part starts
}

// stretch is a stretch of time, in ticks since the start of the score as written.
type stretch struct{ from, to int64 }

// part is one part of the score, and where its reading stands.
type part struct {
	id, name    string
	index       int
	instruments []instrument
	byID        map[string]int // of instruments

	divisions float64 // of a quarter note
	staves
	free     bool              // without a time signature
	voices   map[string]uint16 // by name
	measures [][]note          // by measure, in the order of the file until performed
	cues     []int             // measures whose small notes are not played
	changes  []programMark     // in the order of the file
	marks    []mark
	pedals   []pedalMark
}

// staves is what is said of each staff of a part, from 1.
type staves struct {
	transpose [maxStaves + 1]int  // semitones
	fifths    [maxStaves + 1]int  // sharps of the key signature, or flats below 0
	aside     [maxStaves + 1]bool // it holds another way to play, or a cue, and is not played

	manyStaves bool // there are notes on others than the first
}

type instrument struct {
	id, name, sound string
	port, channel   int // from 0; unsaid
	program         int // from 1; 0 where the file does not say
	unpitched       int // MIDI note; unsaid
}

// pedalMark is a pedal sign where it is written.
type pedalMark struct {
	measure int
	at      int64 // ticks since the start of the measure
	kind    string
}

// across is what a note has a share in beside others.
type across struct {
	roll     RollWay
	number   uint8  // of the roll; 0 where the file does not say
	starts   uint32 // glides by number, as bits; see glideBit
	stops    uint32
	fifths   int8
	caesura  bool // a pause of all follows
	harmonic harmonic
}

// maxNumber is the last number that a sign across notes may have (number-level in the standard).
const maxNumber = 16

// glideBit is the place of a glide among the bits: glissandi by number, then slides.
func glideBit(smooth bool, number int) uint32 {
	if smooth {
		number += maxNumber
	}
	return 1 << (number - 1)
}

// harmonic is what a file says of a harmonic.
type harmonic struct {
	is, artificial bool
	pitch          harmonicPitch // which of its pitches the note is
}

type harmonicPitch uint8

const (
	unsaidPitch   harmonicPitch = iota
	basePitch                   // of the string, open or stopped
	touchingPitch               // where a finger touches the string
	soundingPitch
)
