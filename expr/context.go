package expr

import (
	"time"

	"swellbox/expr/pedalling"
)

// Unknown stands for a duration, a key or a number that nobody can know yet, or that there is none
// of, and for what nobody has said.
const Unknown = -1

// Grade says how much is known of a note's future when it is shaped.
type Grade uint8

const (
	// Causal knows what has sounded, and nothing of what comes.
	Causal Grade = iota
	// Ahead knows what comes within the lookahead.
	Ahead
	// Scored knows the piece: a score is loaded and the note has been found in it.
	Scored
)

// String names the grade in the words of the command line.
func (g Grade) String() string {
	switch g {
	case Ahead:
		return "lookahead"
	case Scored:
		return "score"
	}
	return "none"
}

// AsPlayed is what pianists were measured to do with a note.
type AsPlayed struct {
	Held float64          // share of its length for which a finger holds it; 0 where nobody can tell
	Foot pedalling.Advice // what the foot does about it; 0 where nobody can tell
}

// Context is what is known of the music around a note when the note is shaped. Its
// grade says by what means; what is not known is Unknown. A habit that lacks what it
// needs does less or nothing.
//
// Line is the succession of onsets that the note belongs to: its part, or one voice
// of it where several play on one channel.
type Context struct {
	Grade Grade

	Length     time.Duration // from the note's start to its end; Unknown
	ToNext     time.Duration // to the next onset of its line; Unknown, also where none comes
	FromLast   time.Duration // from the onset before; Unknown for the first
	RestBefore time.Duration // silence of the line before it; 0 if none or the first
	SinceRest  time.Duration // from the first onset after the line's last rest in which one can breathe; 0 if that is this one
	RestAfter  time.Duration // silence of the line after it; Unknown
	LastKey    int           // MIDI note before it in the line; Unknown
	NextKey    int           // MIDI note after it in the line; Unknown
	LastDB     float64       // written level of the note before, dB re mf; only where LastKey is known
	NextDB     float64       // written level of the note after, dB re mf; only where NextKey is known
	MeanKey    float64       // running mean of the line's MIDI notes, this one included
	Last       bool          // no note of the piece comes after it; false where that is not known

	Phrase    Span // between two strong boundaries
	SubPhrase Span // between two boundaries of any strength

	Accent      float64 // melodic accent, 0..1 (Thomassen); Unknown
	MeanAccent  float64 // running mean of the line's known melodic accents
	Beat        float64 // quarter notes since the piece's start; Unknown
	BeatLevel   int     // 0 off the beat or not known, 1 beat, 2 strong beat, 3 first of the bar
	BeatSure    float64 // how sure BeatLevel is, 0..1
	MeanBeat    float64 // running mean of what the line's notes have over level 1, as far as that is sure
	Group       int     // notes in the group of equal notes that it is the first of (3: triplet); 0 otherwise
	GroupRising bool    // that group rises

	Root   int     // pitch class of the sounding chord's root, 0 is C; Unknown
	Tonic  int     // pitch class of the key's tonic; Unknown
	Minor  bool    // of the key
	Remote float64 // how remote the chord is in the key; 0 where it is not known

	Role     Role    // among the voices of its own part
	Voices   int     // that sound or start together on its part, this one included
	Touch    Touch   // what each habit of the touch adds, dB; 0 where that is not known
	Leads    bool    // it is the highest of its part that sounds; only where Touch is known
	Salience float64 // of its part now, 0..1; Unknown
	Tune     float64 // salience of the most salient part now, 0..1; Unknown

	AsPlayed
	Marks Marks // written over it, where a score says so

	Shift time.Duration // by which the player plays it later than it came in
	Warp  time.Duration // as much of that as the whole ensemble is late
}

// Role is what a note is among the voices that sound together on its part.
type Role uint8

const (
	Alone Role = iota // one voice, or nobody can tell
	Melody
	Inner
	Bass
)

// Span is a phrase or a part of one, and where the note stands in it.
type Span struct {
	Since time.Duration // from the span's first onset; Unknown before any boundary was found
	Until time.Duration // to the end of the span's last note; Unknown
	End   float64       // strength of the boundary at its end, 0..1; 0 where it is not known
	Final bool          // the note is the span's last
}

// Known reports whether both ends of the span are known.
func (s *Span) Known() bool { return s.Since >= 0 && s.Until > 0 }

// At is where the note starts in its span: 0 at its start, 1 at its end. It has a
// meaning only where the span is known.
func (s *Span) At() float64 { return float64(s.Since) / float64(s.Since+s.Until) }

// Marks are written signs that change how a note is played.
type Marks uint16

const (
	Staccato      Marks = 1 << iota // a dot
	Staccatissimo                   // a wedge
	Tenuto
	Accented
	Marcato
	SlurBegins // it is the first under a slur
	SlurGoesOn // it is joined to the next under a slur
	SlurEnds   // it is the last under a slur
	Fermata
	BreathAfter // a breath mark or a caesura after it
	Grace
	Louder   // under a crescendo
	Softer   // under a diminuendo
	Spread   // an arpeggiated chord
	Ornament // a trill, a mordent or a turn
	Separate // under no slur, in a part that has slurs
)

// Has reports whether all of some marks are written.
func (m Marks) Has(some Marks) bool { return m&some == some }

// NothingKnown is the context of a note of which nobody knows anything.
var NothingKnown = Context{
	Length: Unknown, ToNext: Unknown, FromLast: Unknown, RestAfter: Unknown,
	LastKey: Unknown, NextKey: Unknown, Accent: Unknown, Beat: Unknown,
	Phrase: Span{Since: Unknown, Until: Unknown}, SubPhrase: Span{Since: Unknown, Until: Unknown},
	Root: Unknown, Tonic: Unknown, Salience: Unknown, Tune: Unknown,
}
