package expr

import (
	"math"
	"time"
)

// Gesture is how one note is played, in physical units. Habits fill it at the
// note's start; what moves during the note moves by formula, so its value at any
// age can be asked for.
type Gesture struct {
	LevelDB float64 // at the start, re the instrument's mf
	HallDB  float64 // added in a hall, for the part's weight among others; it makes nobody brighter

	// NuanceDB is what the habits of musicianship add to LevelDB in sum, before it is
	// held within MaxNuanceDB, and within MaxNuanceStepDB of the note before.
	NuanceDB float64
	TouchDB  float64 // what the habits of the touch add, before it is held within MaxTouchDB
	SignDB   float64 // what written dynamics and signs add, before it is held within MaxTouchDB
	VoicedDB float64 // what the note has over, or under, the other voices of its part

	GlideDB float64       // a straight line in dB from the start, so much by the end of Glide, and held
	Glide   time.Duration //
	Arc     Arc           // a rise to the middle of a note and back

	Dip Dip // a fall to the next note of a bow

	Sounding time.Duration // how long it sounds from its own start; 0: as it came in
	Overlap  time.Duration // by which its end is put off if a next note follows at once

	SwellDB      float64       // rise above the start's level by the end of Swell
	Swell        time.Duration //
	DecayDBPerS  float64       // fall after Swell, dB a second
	DecayLimitDB float64       // where the fall ends, dB under the top

	VibratoCents  float64       // full depth, peak to peak
	VibratoHz     float64       //
	VibratoOnset  time.Duration // straight tone before it begins
	VibratoGrowth time.Duration // from none to full depth
	VibratoEnd    time.Duration // it has died away by this age; 0: it goes on
}

// Arc is a rise to the middle of a stretch from a note's start and back, in the form of a sine.
type Arc struct {
	DB   float64
	Over time.Duration
}

// Dip is a fall between two ages of a note, held from the second on.
type Dip struct {
	DB       float64
	From, To time.Duration
}

// MaxNuanceDB is the most that the habits of musicianship add to a note's level, or take
// from it, in sum, and MaxNuanceStepDB the most by which that differs from the part's note
// before: more than a dynamic mark would not be a nuance. Ours, by marks of 4.2 dB.
const (
	MaxNuanceDB     = 5
	MaxNuanceStepDB = 3.5
)

// MaxTouchDB is the most that the habits of the touch add to a note's level, or take from it,
// and as much again what is written: players' levels have standard deviations of 3 to 5 dB about
// their means (190 pieces; see package nuance). MaxTouchStepDB is the most by which the line on top
// goes from note to note where nothing is written: theirs goes by 2.5 dB in the mean.
const (
	MaxTouchDB     = 12
	MaxTouchStepDB = 5
)

// LevelAt is the level in dB re the instrument's mf at an age of the note.
func (g *Gesture) LevelAt(age time.Duration) float64 {
	level := g.LevelDB
	if g.SwellDB != 0 || g.DecayDBPerS != 0 {
		level += g.swellAt(age)
	}
	switch {
	case g.GlideDB == 0:
	case age >= g.Glide:
		level += g.GlideDB
	default:
		level += g.GlideDB * float64(age) / float64(g.Glide)
	}
	if g.Arc.DB != 0 && age < g.Arc.Over {
		level += g.Arc.DB * math.Sin(math.Pi*float64(age)/float64(g.Arc.Over))
	}
	if d := &g.Dip; d.DB != 0 && age > d.From {
		level -= d.DB * easeInOut(min(float64(age-d.From)/float64(d.To-d.From), 1))
	}
	return level
}

// swellAt is what swell and decay add, dB.
func (g *Gesture) swellAt(age time.Duration) float64 {
	if age < g.Swell {
		return g.SwellDB * easeInOut(float64(age)/float64(g.Swell))
	}
	fall := g.DecayDBPerS * (age - g.Swell).Seconds()
	return g.SwellDB - math.Min(fall, g.DecayLimitDB)
}

// Lasts is how long a note sounds as far as the habits have come; Unknown.
func (g *Gesture) Lasts(n *Note) time.Duration {
	if g.Sounding > 0 {
		return g.Sounding
	}
	return n.Length
}

// Detached reports whether a note is known to end before the next one of its line starts, so that
// its length may be changed without parting or joining the two.
func (g *Gesture) Detached(n *Note) bool {
	length := g.Lasts(n)
	return length > 0 && g.Overlap == 0 && (n.ToNext < 0 || length < n.ToNext-JointTime)
}

// VibratoAt is the depth of the vibrato, peak to peak in cents, at an age of
// the note.
func (g *Gesture) VibratoAt(age time.Duration) float64 {
	depth := g.VibratoCents
	switch {
	case age <= g.VibratoOnset || g.VibratoEnd > 0 && age >= g.VibratoEnd:
		return 0
	case age < g.VibratoOnset+g.VibratoGrowth:
		depth *= easeInOut(float64(age-g.VibratoOnset) / float64(g.VibratoGrowth))
	}
	if left := g.VibratoEnd - age; g.VibratoEnd > 0 && left < VibratoFade {
		depth *= easeInOut(float64(left) / float64(VibratoFade))
	}
	return depth
}

// VibratoFade is how long a vibrato takes to die away that a player ends. Ours, not published.
const VibratoFade = 120 * time.Millisecond

// PitchAt is the deviation of the pitch in cents that the vibrato makes at an
// age of the note. It starts downward.
//
// Source of the direction: Allen, Geringer and MacLeod 2009.
func (g *Gesture) PitchAt(age time.Duration) float64 {
	depth := g.VibratoAt(age)
	if depth == 0 {
		return 0
	}
	return -depth / 2 * math.Sin(2*math.Pi*g.VibratoHz*(age-g.VibratoOnset).Seconds())
}

// Settled is the age from which level and vibrato depth no longer change.
func (g *Gesture) Settled() time.Duration {
	var level, vibrato time.Duration
	if g.SwellDB != 0 || g.DecayDBPerS != 0 {
		level = g.Swell
		if g.DecayDBPerS > 0 {
			level += time.Duration(g.DecayLimitDB / g.DecayDBPerS * float64(time.Second))
		}
	}
	if g.GlideDB != 0 {
		level = max(level, g.Glide)
	}
	if g.Arc.DB != 0 {
		level = max(level, g.Arc.Over)
	}
	if g.Dip.DB != 0 {
		level = max(level, g.Dip.To)
	}
	if g.VibratoCents > 0 {
		vibrato = max(g.VibratoOnset+g.VibratoGrowth, g.VibratoEnd)
	}
	return max(level, vibrato)
}

// easeInOut goes from 0 to 1 without a corner at either end (3t² - 2t³).
func easeInOut(t float64) float64 { return t * t * (3 - 2*t) }
