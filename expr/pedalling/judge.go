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
func (l *listener) harmonyOf(g *group) keys {
	if l.accompanied() {
		return g.harmony
	}
	return g.keys
}

// hasMoved reports whether the harmony changes with the group.
func (l *listener) hasMoved(g *group, depth float64) bool {
	h := l.harmonyOf(g)
	c := h.classes()
	if l.chord == 0 || c == 0 {
		return false
	}
	if l.chord.count() < 3 {
		single := c.count() < 3 && (l.style.damps || l.resting(depth))
		return !single && !l.fits(c, c.count())
	}
	if l.bassMoves(h.lowest(), c.count() < 3) {
		return true
	}
	if c.count() >= 3 {
		return !l.fits(c, c.count())
	}
	return l.breaks(c)
}

// bassMoves reports whether a key is a new bass: a step from the lowest that rings, or, where it
// starts by itself, a foreign note under that or no further above it than a hand has the bass. By
// itself a note of the harmony is none.
func (l *listener) bassMoves(key int, single bool) bool {
	others := l.ring.without(l.group.keys)
	if key >= middleC || others.empty() {
		return false
	}
	bass := others.lowest()
	under := l.held.without(l.group.keys).below(key)
	if under.has(bass) {
		under.remove(bass)
	}
	if !under.empty() || key == bass {
		return false
	}
	if single && classOf(key).within(l.chord|l.added) {
		return false
	}
	if key >= bass-2 && key <= bass+2 {
		return true
	}
	return single && key <= bass+reach && !l.held.has(bass)
}

// resting reports whether the foot rests at half under single notes.
func (l *listener) resting(depth float64) bool {
	return depth == 0.5 && l.half && l.style.single == 0.5
}

// blurOf is how a key that starts mixes with what only the pedal holds.
func (l *listener) blurOf(key int, depth float64) blur {
	if depth == 0 {
		return clean
	}
	pedalled := l.ring.without(l.held).without(l.group.keys)
	if pedalled.empty() {
		return clean
	}
	h := l.harmonyOf(&l.group).classes()
	harmony := l.chord | l.added
	if l.fits(h, h.count()) {
		harmony |= h
	}
	own := classOf(key).within(harmony)
	limit := l.k * l.style.blur
	worst := clean
	var foreign classes
	for rest := pedalled; !rest.empty(); {
		other := rest.pop()
		foreign |= classOf(other) &^ harmony
		rough := listening.Clash(other, key) * l.under(other, key)
		switch {
		case rough > limit*harmonyRoughness:
			return muddy
		case own && classOf(other).within(harmony), other < key-2, other > key+2:
		case !l.floats(key):
			if rough > limit*foreignRoughness {
				return muddy
			}
		case rough > 2*limit*foreignRoughness || !l.loses(key, pedalled):
			return muddy
		case rough > limit*foreignRoughness:
			worst = passing
		}
	}
	if harmony.count() >= 3 && !own && (foreign|classOf(key)).count() > l.style.foreign {
		return muddy
	}
	return worst
}

// floats reports whether a key is a tune's over a chord: it is melody, or high.
func (l *listener) floats(key int) bool {
	return l.tune.has(key) && l.accompanied() || key >= high && l.chord.count() >= 3
}

// loses reports whether notes of the harmony under a key, which only the pedal holds, would be
// lost if the foot came up.
func (l *listener) loses(key int, pedalled keys) bool {
	under := pedalled.without(l.tune).below(key - 2)
	return under.classes()&l.chord != 0
}

// ornaments reports whether a group is the quick note before a main one, which then is judged
// with it: the first quick one after a slower.
func (l *listener) ornaments(g *group) bool {
	return g.keys.count() == 1 && g.next >= 0 && g.next < ornament && l.line.interval > ornament
}

// organPoint reports whether a bass that only the pedal holds lies under a chord that changes.
func (l *listener) organPoint(g *group) bool {
	only := l.ring.without(l.held)
	if only.empty() || g.keys.count() < 2 {
		return false
	}
	bass := only.lowest()
	return bass < bassBelow && g.keys.lowest() > bass+reach
}
