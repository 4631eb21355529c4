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

	blur        blur
	verdict     verdict
	steps       int // notes before it that lead up to it in quick steps
	leaps       int // and in leaps
	moved       bool
	lift, press plan
	lifted      bool // its own plan to lift was carried out
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

// openGroup starts a group, when the one before has been closed.
func (p *Planner) openGroup(at time.Duration) {
	p.group = group{open: true, on: at, lift: p.foot.lift, press: p.foot.press}
	if l := &p.line; l.known > 0 {
		l.interval = at - l.on
	}
}

// closeGroup draws the lesson of a group that is complete.
func (p *Planner) closeGroup() {
	g := &p.group
	if !g.open {
		return
	}
	h := p.harmonyOf(g)
	c := h.classes()
	rest := p.held.without(p.tune).without(g.keys).classes()
	switch {
	case g.verdict == leave:
	case g.moved, g.verdict == change && rest&p.chord == 0: // nothing of the old harmony is left
		p.chord, p.added = c|rest, 0
		p.recent = [4]classes{}
	case !p.fits(c, c.count()):
	case p.chord.count() < 3:
		p.chord |= c
	default:
		p.added |= c
	}
	for ; c != 0; c &= c - 1 {
		p.remember(c & -c)
	}
	switch {
	case g.steps >= 2 || h.count() >= 3:
		p.broken = false
	case g.leaps >= 2 && p.chord.count() >= 3:
		p.broken = true
	}
	p.line = line{on: g.on, top: g.top, beforeTop: p.line.top, known: min(p.line.known+1, 2),
		steps: g.steps, leaps: g.leaps, interval: p.line.interval}
}

// remember puts a pitch class at the head of the recent ones.
func (p *Planner) remember(c classes) {
	i := 0
	for i < len(p.recent)-1 && p.recent[i] != c {
		i++
	}
	copy(p.recent[1:i+1], p.recent[:i])
	p.recent[0] = c
}

// pace is the time to the next chord, as far as one can know.
func (p *Planner) pace() time.Duration {
	switch {
	case p.group.next >= 0:
		return p.group.next
	case p.line.interval > 0 && p.line.interval <= maxTail:
		return p.line.interval
	}
	return usualPace
}

// motion is how many quick steps in a row lead to the group, and how many leaps. To and fro
// between two notes is a trill, and no run.
func (p *Planner) motion(g *group) (steps, leaps int) {
	l := &p.line
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
