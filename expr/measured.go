package expr

import "time"

// Measured is what a recording has shown of how one part's sampler sounds, beyond its responses:
// how loud it is among the others, which no response says. Levels are such that a sampler with
// zeros here and General MIDI's responses is as loud as all parts are held to.
type Measured struct {
	LevelDB  float64      // by how much it is louder than others at the same numbers, dB
	KeyDB    [128]float64 // by key: what comes on top of that, dB
	ByVolume bool         // the channel volume carries as much of LevelDB as it can, so that the steps of the level controller stay fine
	Even     bool         // KeyDB was measured, so that the keys can be evened and registers be the instrument's own

	Attack       time.Duration // by how much later than of the quickest part its notes are heard
	VibratoCents float64       // vibrato that its sound has by itself, peak to peak
}
