package pedalling

import "swellbox/expr/listening"

// blur says how what newly sounds mixes with what only the pedal holds.
type blur uint8

const (
	clean   blur = iota
	passing      // rougher than harmony should be, but put up with under a tune
	muddy
)

// harmonyOf is the notes of a group that make harmony. The melody does not, where
// something else sounds.
func (p *Planner) harmonyOf(g *group) keys {
	if p.accompanied() {
		return g.harmony
	}
	return g.keys
}

// accompanied reports whether anything but melody sounds.
func (p *Planner) accompanied() bool {
	rest := p.ring.without(p.tune)
	return !rest.empty()
}

// fits reports whether n notes of some pitch classes belong to the harmony. While it is
// still being built up, seconds do so only where they are struck together or within
// a broken chord.
func (p *Planner) fits(c classes, n int) bool {
	switch {
	case c.within(p.chord | p.added):
		return true
	case p.chord.count() < 3:
		return p.chord.within(c) ||
			(p.chord|c).isStacked() && (p.broken || n >= 3 || !c.touches(p.chord&^c) && !(c&^p.chord).touches(c))
	case n >= 3:
		return !p.farFrom(c)
	}
	return false
}

// farFrom reports whether some pitch classes are another harmony than the one under the pedal.
func (p *Planner) farFrom(c classes) bool {
	a, b := c.chroma(), p.chord.chroma()
	return listening.Distance(a.Centroid(), b.Centroid()) > p.style.threshold
}

// hasMoved reports whether the harmony changes with the group.
func (p *Planner) hasMoved(g *group) bool {
	h := p.harmonyOf(g)
	c := h.classes()
	if p.chord == 0 || c == 0 {
		return false
	}
	if p.chord.count() < 3 {
		single := c.count() < 3 && (p.style.damps || p.resting())
		return !single && !p.fits(c, c.count())
	}
	if p.bassMoves(h.lowest(), c.count() < 3) {
		return true
	}
	if c.count() >= 3 {
		return !p.fits(c, c.count())
	}
	return p.breaks(c)
}

// breaks reports whether the latest single notes are the chord of another harmony.
func (p *Planner) breaks(c classes) bool {
	if c.within(p.chord) || !c.isStacked() || c.count() == 2 && c.touches(c) {
		return false
	}
	evidence := c
	for _, r := range p.recent {
		if r == 0 || r.touches(evidence) || !(evidence | r).isStacked() {
			break
		}
		evidence |= r
	}
	return (evidence&^p.chord).count() >= 2 && p.farFrom(evidence)
}

// bassMoves reports whether a key is a new bass: a step from the lowest that rings, or, where it
// starts by itself, a foreign note under that or no further above it than a hand has the bass. By
// itself a note of the harmony is none.
func (p *Planner) bassMoves(key int, single bool) bool {
	others := p.ring.without(p.group.keys)
	if key >= middleC || others.empty() {
		return false
	}
	bass := others.lowest()
	under := p.held.without(p.group.keys).below(key)
	if under.has(bass) {
		under.remove(bass)
	}
	if !under.empty() || key == bass {
		return false
	}
	if single && classOf(key).within(p.chord|p.added) {
		return false
	}
	if key >= bass-2 && key <= bass+2 {
		return true
	}
	return single && key <= bass+reach && !p.held.has(bass)
}

// resting reports whether the foot rests at half under single notes.
func (p *Planner) resting() bool {
	return p.foot.depth == 0.5 && p.half && p.style.single == 0.5
}

// blurOf is how a key that starts mixes with what only the pedal holds.
func (p *Planner) blurOf(key int) blur {
	if p.foot.depth == 0 {
		return clean
	}
	pedalled := p.ring.without(p.held).without(p.group.keys)
	if pedalled.empty() {
		return clean
	}
	h := p.harmonyOf(&p.group).classes()
	harmony := p.chord | p.added
	if p.fits(h, h.count()) {
		harmony |= h
	}
	own := classOf(key).within(harmony)
	limit := p.k * p.style.blur
	worst := clean
	var foreign classes
	for rest := pedalled; !rest.empty(); {
		other := rest.pop()
		foreign |= classOf(other) &^ harmony
		rough := listening.Clash(other, key) * p.under(other, key)
		switch {
		case rough > limit*harmonyRoughness:
			return muddy
		case own && classOf(other).within(harmony), other < key-2, other > key+2:
		case !p.floats(key):
			if rough > limit*foreignRoughness {
				return muddy
			}
		case rough > 2*limit*foreignRoughness || !p.loses(key, pedalled):
			return muddy
		case rough > limit*foreignRoughness:
			worst = passing
		}
	}
	if harmony.count() >= 3 && !own && (foreign|classOf(key)).count() > p.style.foreign {
		return muddy
	}
	return worst
}

// under is how much of a ringing key is heard beside one that starts louder: its amplitude
// by comparison, as the square of the velocities. Source: Dannenberg 2006.
func (p *Planner) under(other, key int) float64 {
	if p.loud[other] >= p.loud[key] {
		return 1
	}
	r := float64(p.loud[other]) / float64(p.loud[key])
	return r * r
}

// floats reports whether a key is a tune's over a chord: it is melody, or high.
func (p *Planner) floats(key int) bool {
	return p.tune.has(key) && p.accompanied() || key >= high && p.chord.count() >= 3
}

// loses reports whether notes of the harmony under a key, which only the pedal holds, would be
// lost if the foot came up.
func (p *Planner) loses(key int, pedalled keys) bool {
	under := pedalled.without(p.tune).below(key - 2)
	return under.classes()&p.chord != 0
}
