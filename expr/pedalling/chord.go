package pedalling

import "swellbox/expr/listening"

// harmony is what lies under the pedal.
type harmony struct {
	threshold float64    // of the tonal centroid's distance, from which harmony is new
	chord     classes    // the harmony
	added     classes    // what chords have added to it that were not far from it
	recent    [4]classes // its latest notes, the latest first; single classes
	broken    bool       // it is broken into single notes
}

// fits reports whether n notes of some pitch classes belong to the harmony. While it is
// still being built up, seconds do so only where they are struck together or within
// a broken chord.
func (h *harmony) fits(c classes, n int) bool {
	switch {
	case c.within(h.chord | h.added):
		return true
	case h.chord.count() < 3:
		return h.chord.within(c) ||
			(h.chord|c).isStacked() && (h.broken || n >= 3 || !c.touches(h.chord&^c) && !(c&^h.chord).touches(c))
	case n >= 3:
		return !h.farFrom(c)
	}
	return false
}

// farFrom reports whether some pitch classes are another harmony than the one under the pedal.
func (h *harmony) farFrom(c classes) bool {
	a, b := c.chroma(), h.chord.chroma()
	return listening.Distance(a.Centroid(), b.Centroid()) > h.threshold
}

// breaks reports whether the latest single notes are the chord of another harmony.
func (h *harmony) breaks(c classes) bool {
	if c.within(h.chord) || !c.isStacked() || c.count() == 2 && c.touches(c) {
		return false
	}
	evidence := c
	for _, r := range h.recent {
		if r == 0 || r.touches(evidence) || !(evidence | r).isStacked() {
			break
		}
		evidence |= r
	}
	return (evidence&^h.chord).count() >= 2 && h.farFrom(evidence)
}

// remember puts a pitch class at the head of the recent ones.
func (h *harmony) remember(c classes) {
	i := 0
	for i < len(h.recent)-1 && h.recent[i] != c {
		i++
	}
	copy(h.recent[1:i+1], h.recent[:i])
	h.recent[0] = c
}
