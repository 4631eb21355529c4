package pedalling

import "time"

// group is the notes that start together, and the foot's plans as they were before.
type group struct {
	open     bool
	on       time.Duration
	keys     keys
	harmony  keys // but for the melody
	top      int
	staccato bool
	unsure   bool // a note's length or the next onset is not known

	length time.Duration // of its shortest note, Unknown; the melody's only where there is no other
	next   time.Duration // to the next onset of its slowest line, Unknown; likewise

	heard
	verdict     verdict
	lift, press plan
	lifted      bool // its own plan to lift was carried out
}

// heard is what a group makes of what was before it.
type heard struct {
	blur  blur
	steps int // notes before it that lead up to it in quick steps
	leaps int // and in leaps
	moved bool
}

// line is the succession of groups.
type line struct {
	on           time.Duration
	top          int
	beforeTop    int
	known        int // of the two tops
	steps, leaps int
	interval     time.Duration // between the last two groups; 0 if not known
}

func (g *group) known() bool { return !g.keys.empty() }

func (g *group) add(key int, length, next time.Duration, staccato, melody bool) {
	switch {
	case !g.known(), g.harmony.empty() && !melody:
		g.length, g.next = length, next
	case !melody || g.harmony.empty():
		g.next = max(g.next, next)
		if length >= 0 && (g.length < 0 || length < g.length) {
			g.length = length
		}
	}
	g.unsure = g.unsure || length < 0 || next < 0
	g.keys.add(key)
	g.top = max(g.top, key)
	if !melody {
		g.harmony.add(key)
	}
	g.staccato = g.staccato || staccato
}

// lasts is the known length, or as a bound the time to the next onset, or Unknown.
func (g *group) lasts() time.Duration {
	if g.length >= 0 {
		return g.length
	}
	return g.next
}

// listener hears what the notes of a part make.
type listener struct {
	style style
	half  bool // the sample player answers to half a pedal
	k     float64
	ringing
	harmony
	group group // the notes that started last, together
	line  line
}

// listen judges the group as far as it is known, with the pedal so deep.
func (l *listener) listen(depth float64) {
	g := &l.group
	g.steps, g.leaps = l.line.motion(g)
	g.moved = l.hasMoved(g, depth)
	g.blur = clean
	for k := g.keys; !k.empty(); {
		g.blur = max(g.blur, l.blurOf(k.pop(), depth))
	}
}

// forget makes what comes a beginning.
func (l *listener) forget() {
	l.chord, l.added, l.recent, l.broken, l.line = 0, 0, [4]classes{}, false, line{}
	l.group = group{}
	l.ring = l.held
	l.tune = keys{}
}

// openGroup starts a group, when the one before has been closed.
func (l *listener) openGroup(at time.Duration, f *foot) {
	l.group = group{open: true, on: at, lift: f.lift, press: f.press}
	if l.line.known > 0 {
		l.line.interval = at - l.line.on
	}
}

// closeGroup draws the lesson of a group that is complete.
func (l *listener) closeGroup() {
	g := &l.group
	if !g.open {
		return
	}
	h := l.harmonyOf(g)
	c := h.classes()
	rest := l.held.without(l.tune).without(g.keys).classes()
	switch {
	case g.verdict == leave:
	case g.moved, g.verdict == change && rest&l.chord == 0: // nothing of the old harmony is left
		l.chord, l.added = c|rest, 0
		l.recent = [4]classes{}
	case !l.fits(c, c.count()):
	case l.chord.count() < 3:
		l.chord |= c
	default:
		l.added |= c
	}
	for ; c != 0; c &= c - 1 {
		l.remember(c & -c)
	}
	switch {
	case g.steps >= 2 || h.count() >= 3:
		l.broken = false
	case g.leaps >= 2 && l.chord.count() >= 3:
		l.broken = true
	}
	l.line = line{on: g.on, top: g.top, beforeTop: l.line.top, known: min(l.line.known+1, 2),
		steps: g.steps, leaps: g.leaps, interval: l.line.interval}
}

// pace is the time to the next chord, as far as one can know.
func (l *listener) pace() time.Duration {
	switch {
	case l.group.next >= 0:
		return l.group.next
	case l.line.interval > 0 && l.line.interval <= maxTail:
		return l.line.interval
	}
	return usualPace
}

// motion is how many quick steps in a row lead to the group, and how many leaps. To and fro
// between two notes is a trill, and no run.
func (l *line) motion(g *group) (steps, leaps int) {
	if l.known == 0 || g.keys.count() >= 3 {
		return 0, 0
	}
	interval := max(g.top-l.top, l.top-g.top)
	trill := l.known == 2 && g.top == l.beforeTop
	switch {
	case interval == 0 || interval <= 2 && (trill || l.interval > fastStep):
		return 0, 0
	case interval <= 2:
		return l.steps + 1, 0
	}
	return 0, l.leaps + 1
}
