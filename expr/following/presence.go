package following

import "math"

// How likely a part's notes are to sound. Ours, not published.
const (
	unheard     = 0.35 // while nothing of the part was heard: it may be muted
	awake       = 0.90 // at least, from when a channel of its own sounds
	presentRate = 0.12 // by which each note that sounds or is missing changes it
	leastThere  = 0.03
	mostThere   = 0.97
)

// presence is how likely a part's notes are to sound: muted parts have little.
type presence struct {
	there        float64
	hit, missing float64 // what a note that sounds or is missing says, in nats
}

func (p *presence) set(there float64) {
	p.there = min(max(there, leastThere), mostThere)
	p.hit, p.missing = math.Log(p.there), math.Log1p(-p.there)
}

// learn takes 1 for a note that sounded and 0 for a missing one.
func (p *presence) learn(sounded float64) { p.set(p.there + presentRate*(sounded-p.there)) }
