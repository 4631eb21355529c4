package pedalling

import "time"

// Unknown stands for a duration that nobody can know yet.
const Unknown = -1

// A Planner plans the pedal of one part. It holds all the memory that it needs,
// and is not safe for use by several goroutines. It is told by its steps: the listener hears
// what the notes make, the guide advises, the rests say how long nothing comes, and the foot has the plans.
type Planner struct {
	listener
	Guide
	rests
	foot foot
	on   bool
	now  time.Duration

	begins time.Duration // the chord of the note that is told next; Unknown: with it

	mark struct { // the notation has pedalled
		on, down bool
		at       time.Duration
	}
}

// New makes a planner. half says that the sample player answers to half a pedal. k is 1 as
// described in the package's comment; with less the foot clears more, with up to
// 2 it puts up with more roughness. At 0 and less nothing is ever planned.
func New(kind Kind, half bool, k float64) *Planner {
	p := &Planner{begins: Unknown}
	p.half, p.k, p.beat = half, min(k, 2), usualBeat
	if int(kind) < len(styles) && kind != None && k > 0 {
		p.style, p.on = styles[kind], true
		p.threshold = p.style.threshold
	}
	p.foot.due = make([]action, 0, 16)
	return p
}

// Beat tells how long a beat is; before, it is 700 ms. It only bears on rests.
func (p *Planner) Beat(d time.Duration) {
	if d > 0 {
		p.beat = d
	}
}

// Begins tells when the chord of the note that is told next begins, where its player strays from that.
func (p *Planner) Begins(at time.Duration) { p.begins = max(at, 0) }

// Note tells of a note that starts. key and velocity are 0 to 127 and 1 to 127, others
// are not heard. length is the note's, toNext the time to the next onset of its line;
// Unknown if so. staccato says that it is played short on purpose, melody that it
// is the tune over other voices of the part. A time before that of an earlier call is taken for that one's.
func (p *Planner) Note(at time.Duration, key, velocity int, length, toNext time.Duration, staccato, melody bool) {
	if !p.on || key < 0 || key > 127 || velocity < 1 || velocity > 127 {
		return
	}
	at = p.arrive(at)
	on := at
	if p.begins >= 0 {
		on, p.begins = p.begins, Unknown
	}
	if p.standsBack(at) {
		p.start(key, velocity, melody)
		return
	}
	if p.held.empty() && at-p.silent > p.tail(&p.style) {
		p.forget()
	}
	if !p.group.open || on-p.group.on > chordTime {
		p.closeGroup()
		p.openGroup(on, &p.foot)
	}
	p.expect(on, length, toNext, !p.group.known())
	p.hear(on, key)
	p.group.add(key, length, toNext, staccato, melody)
	p.start(key, velocity, melody)
	p.plan()
	p.advice = 0
}

// Off tells that a key goes up.
func (p *Planner) Off(at time.Duration, key int) {
	if !p.on || key < 0 || key > 127 || p.count[key] == 0 {
		return
	}
	at = p.arrive(at)
	if p.stop(key, p.foot.depth > 0); !p.held.empty() || p.count[key] > 0 {
		return
	}
	p.silent = at
	if p.foot.depth > 0 && p.style.tail == 0 && p.nextOn-at > p.beat { // a rest that is known to be long
		p.foot.press = plan{}
		p.foot.planLift(at, 0, p.now)
	}
}

// Marked tells that the notation itself moves the pedal. Its marks win: the planner lifts its
// own pedal at this very time, which is to be sent before the mark, and stands back as
// long as the notation pedals: until no mark has come for eight seconds while it is up.
func (p *Planner) Marked(at time.Duration, down bool) {
	if !p.on {
		return
	}
	at = p.arrive(at)
	p.mark.on, p.mark.down, p.mark.at = true, down, at
	p.clear(at)
}

// Reset tells that the music was stopped and all keys are up: the foot comes up at
// this very time, and all that was heard is forgotten.
func (p *Planner) Reset(at time.Duration) {
	if !p.on {
		return
	}
	at = p.arrive(at)
	p.held, p.count = keys{}, [128]uint8{}
	p.mark.on, p.mark.down = false, false
	p.nextOn, p.until, p.silent = 0, 0, at
	p.clear(at)
}

// Next is when the planner next has something to do, which may turn out to be nothing; ok
// is false if it has not, as far as it knows.
func (p *Planner) Next() (at time.Duration, ok bool) {
	if a := p.foot.first(); a != nil {
		return a.at, true
	}
	at, todo := p.pending()
	return at, todo != nothing
}

// Pull gives the next movement that is due by a time: when, and how deep the pedal then
// is, 1 down, 0.5 half, 0 up. It is called until ok is false. No movement lies before
// what had been told or pulled when it was planned. But for those of Marked and Reset, two are at
// least 60 ms apart.
func (p *Planner) Pull(until time.Duration) (at time.Duration, depth float64, ok bool) {
	p.advance(until)
	a := p.foot.first()
	if a == nil || a.at > until {
		return 0, 0, false
	}
	at, depth = a.at, a.depth
	p.foot.drop()
	return at, depth, true
}

// arrive brings the planner to the time of something that happens, and returns that time.
func (p *Planner) arrive(at time.Duration) time.Duration {
	at = max(at, p.now)
	p.advance(at - 1)
	p.now = at
	return at
}

// standsBack reports whether the notation pedals.
func (p *Planner) standsBack(at time.Duration) bool {
	if p.mark.on && !p.mark.down && at-p.mark.at >= standBack {
		p.mark.on = false
	}
	return p.mark.on
}

// clear lifts the foot at once, and forgets what was planned and heard but for the keys that are down.
func (p *Planner) clear(at time.Duration) {
	p.foot.lift, p.foot.press = plan{}, plan{}
	p.move(at, 0)
	p.forget()
}
