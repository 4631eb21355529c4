package voices

// settle closes the open moment: now that all its notes are there, it compares them.
// Nothing in it depends on their order, but for equals.
func (e *Ensemble) settle() {
	if !e.open {
		return
	}
	e.open = false
	if len(e.members) == 0 { // its notes were taken back, and none has a line of its own
		return
	}
	e.moments++
	e.gather()
	for _, i := range e.members {
		p := &e.parts[i]
		p.now.echo(e.told.echoes(&p.now, int(i)))
		p.now.score, p.stale = e.score(p), false
	}
	e.unions.begin(e.clock.moment)
	for _, i := range e.members {
		l := &e.parts[i].now
		e.told.keep(l, int(i))
		e.unions.add(l)
	}
	best := nobody
	for _, i := range e.members {
		p := &e.parts[i]
		p.now.score = e.unions.best(&p.now)
		p.before = p.now
		if best == nobody || e.before(int(i), best) {
			best = int(i)
		}
	}
	e.members = e.members[:0]
	if best != nobody && e.overtakes(best) {
		e.holder = best
	}
}

// before reports whether of two parts of one moment the first is more salient: the
// higher of equals.
func (e *Ensemble) before(a, b int) bool {
	x, y := &e.parts[a].now, &e.parts[b].now
	return x.score > y.score || x.score == y.score && x.key > y.key
}

// gather takes in what the notes of the open moment are together.
func (e *Ensemble) gather() {
	n := float64(len(e.members))
	first := &e.parts[e.members[0]].now
	top, bottom, entrants := first.key, first.key, 0.0
	var keys int
	var level, news float64
	for _, i := range e.members {
		l := &e.parts[i].now
		top, bottom = max(top, l.key), min(bottom, l.key)
		keys += l.key
		level += l.level
		news += l.news()
		entrants += truth(l.since == 1)
	}
	toward(&e.middle, float64(keys)/n, e.moments)
	toward(&e.loud, level/n, e.moments)
	e.news += (news - e.news) * shares[min(e.moments, paceMemory)]
	for _, i := range e.members {
		l := &e.parts[i].now
		toward(&l.apart, 1/n, l.heard)
		if top > bottom {
			l.shared++
			toward(&l.high, truth(l.key == top), usual.notes+l.shared)
			toward(&l.low, truth(l.key == bottom), usual.notes+l.shared)
		}
		if l.since == 1 {
			l.entrance /= entrants
			if l.entrance >= realEntrance {
				e.entered = l.entered
			}
		}
	}
}

// realEntrance is how much of an entrance puts the earlier ones in the shade.
const realEntrance = 0.5

// Each note of an imitation halves what is missing to certainty, each other note takes
// some of it away.
const (
	echoGain = 1.0 / 2
	echoLoss = 1.0 / 6
)

// echo takes in whether the line's latest note ends a motive of another's. A figure that
// goes round is no imitation, however often it was heard elsewhere.
func (l *line) echo(heard bool) {
	if heard {
		l.imitates += (l.free - l.imitates) * echoGain
	} else {
		l.imitates -= l.imitates * echoLoss
	}
}

// unions finds the lines that have gone together for some notes, in unison or octaves:
// they are equally salient. A slot counts only if it was written in this moment.
type unions struct {
	slots  []union
	moment uint64
}

type union struct {
	moment uint64
	path   [unisonNotes]uint64
	score  float64
}

func newUnions(parts int) unions {
	n := 2
	for n < 2*parts {
		n *= 2
	}
	return unions{slots: make([]union, n)}
}

func (u *unions) begin(moment uint64) { u.moment = moment }

// slot is where a line's union stands, or may.
func (u *unions) slot(l *line) *union {
	hash := uint64(0)
	for _, p := range l.path {
		hash = (hash ^ p) * 0x100000001B3 // FNV-1a's prime (Fowler, Noll, Vo; from memory)
	}
	for i := hash ^ hash>>29; ; i++ {
		s := &u.slots[i&uint64(len(u.slots)-1)]
		if s.moment != u.moment || s.path == l.path {
			return s
		}
	}
}

// add takes in a line.
func (u *unions) add(l *line) {
	if l.heard < unisonNotes {
		return
	}
	s := u.slot(l)
	if s.moment != u.moment {
		*s = union{u.moment, l.path, l.score}
	}
	s.score = max(s.score, l.score)
}

// best is the best score of the lines that go with one.
func (u *unions) best(l *line) float64 {
	if l.heard < unisonNotes {
		return l.score
	}
	return u.slot(l).score
}
