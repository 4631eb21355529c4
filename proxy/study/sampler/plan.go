package sampler

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"swellbox/expr"
)

// Subject is one part that is probed.
type Subject struct {
	Name          string
	Port, Channel int // from 0
	Program       int // 1..128; 0: none is sent
	ProfileName   string
	Profile       *expr.Profile
	Players       int
	Low, High     uint8 // the keys that it plays
}

// middle is the key on which its responses are measured.
func (s *Subject) middle() uint8 { return s.Low + (s.High-s.Low)/2 }

// sustains reports whether its tone is held, so that it can be bent and given a vibrato.
func (s *Subject) sustains() bool {
	return s.Profile.Dynamics.Carrier != expr.CarryVelocity || s.Profile.Amounts.Of(expr.KeyVibrato) > 0
}

// dynamics is the controller that is taken to carry its level.
func (s *Subject) dynamics() int {
	if c := &s.Profile.Sampler.Level; c.Has() {
		return c.Number
	}
	return expression
}

const (
	modulation = 1
	expression = 11
	brightness = 74
)

// aim is what a note of a probe is to show.
type aim uint8

const (
	ofSync     aim = iota
	ofVelocity     // its level at a velocity, all else full
	ofKey          // at a key, at the velocity of mf
	ofDynamics     // at a value of the controller that carries the level
	ofBoth         // at a velocity and a value of that controller: whether the two add up
	ofVolume       // at a value of the channel volume
	ofVibrato      // a held note: straight, then with the depth controller at two values
	ofBend         // a held note: straight, bent up, bent down
	ofBright       // at a value of the brightness controller
	ofShort        // a short note, and the same again at once
	ofLong         // a long one

	// What follows is of a [Trial].
	ofMark     // a note at a written dynamic
	ofHeld     // one that is long enough for a vibrato
	ofTogether // all parts at once
)

// note is one note of a probe.
type note struct {
	aim           aim
	subject       int
	at, length    time.Duration
	key, velocity uint8
	value         int // of the controller in question
}

// message is one message of a probe that is no note.
type message struct {
	at      time.Duration
	subject int
	data    [3]byte
	length  int
}

// Plan is a probe: what is played, and when.
type Plan struct {
	Subjects []Subject
	Thorough bool
	Length   time.Duration

	notes    []note
	messages []message
	sync     int // the subject that plays the pattern
	from     []time.Duration
	to       []time.Duration // by subject: when its notes begin and end
}

// effort is how much is measured.
type effort struct {
	note, gap     time.Duration
	key, keyGap   time.Duration // of the notes that compare keys, which are many
	velocities    []uint8
	keys          int // over the range
	dynamics      []int
	both          [][2]int // velocity and controller
	vibrato, bend time.Duration
	silence       time.Duration
}

var quick = effort{
	note: 400 * time.Millisecond, gap: 110 * time.Millisecond, key: 400 * time.Millisecond, keyGap: 60 * time.Millisecond,
	velocities: []uint8{16, 32, 48, 64, 80, 96, 112, 127}, keys: 11,
	dynamics: []int{18, 36, 64, 100}, both: [][2]int{{48, 64}},
	vibrato: 800 * time.Millisecond, bend: 250 * time.Millisecond, silence: 500 * time.Millisecond,
}

var thorough = effort{
	note: 700 * time.Millisecond, gap: 250 * time.Millisecond, key: 400 * time.Millisecond, keyGap: 150 * time.Millisecond,
	velocities: []uint8{8, 16, 24, 32, 40, 48, 56, 64, 72, 80, 88, 96, 104, 112, 120, 127}, keys: 128,
	dynamics: []int{8, 18, 27, 36, 50, 64, 80, 100, 114}, both: [][2]int{{32, 36}, {32, 64}, {48, 64}, {64, 36}, {96, 64}, {112, 36}},
	vibrato: 1600 * time.Millisecond, bend: 500 * time.Millisecond, silence: 1500 * time.Millisecond,
}

// mf is the velocity that stands for mf.
const mf = 80

// lead is the silence before the pattern, by which the noise is measured.
const lead = time.Second

// The pattern: uneven steps, which nothing else has; a thorough probe's is another, so that a
// recording says which of the two it is of.
var patterns = [2][]time.Duration{
	{0, 300 * time.Millisecond, 720 * time.Millisecond, 950 * time.Millisecond, 1500 * time.Millisecond},
	{0, 420 * time.Millisecond, 650 * time.Millisecond, 1200 * time.Millisecond, 1500 * time.Millisecond},
}

// syncVelocity is soft: the probe begins with it.
const syncVelocity = 48

// mostSubjects is how many parts a probe takes.
const mostSubjects = 256

// NewPlan is a probe of some parts. It is the same for the same parts.
func NewPlan(subjects []Subject, long bool) (*Plan, error) {
	if len(subjects) == 0 || len(subjects) > mostSubjects {
		return nil, fmt.Errorf("found %d parts to measure, wanted 1 to %d", len(subjects), mostSubjects)
	}
	p := &Plan{Subjects: subjects, Thorough: long, sync: quickest(subjects)}
	e, pattern := &quick, patterns[0]
	if long {
		e, pattern = &thorough, patterns[1]
	}
	at := p.pattern(pattern, lead)
	for i := range subjects {
		p.setUp(i, at-settingTime)
		p.from = append(p.from, at)
		at = p.subject(i, e, at)
		p.to = append(p.to, at)
		at += e.silence
	}
	p.Length = p.pattern(pattern, at) + lead
	return p, nil
}

// quickest is the part whose notes begin most at once, as far as its family tells.
func quickest(subjects []Subject) int {
	order := []string{"percussion", "keyboard", "plucked", "brass", "woodwind", "other", "voice", "strings"}
	rank := func(s *Subject) int {
		i := slices.Index(order, s.Profile.Family)
		if i < 0 || s.Profile.Dynamics.Carrier == expr.CarryVelocity && i > 2 {
			return len(order)
		}
		return i
	}
	best := 0
	for i := range subjects {
		if rank(&subjects[i]) < rank(&subjects[best]) {
			best = i
		}
	}
	return best
}

// settingTime is how long before its notes a part is set up: a program may take its time to load.
const settingTime = 300 * time.Millisecond

// setUp has a part stand as it is measured.
func (p *Plan) setUp(i int, at time.Duration) {
	s := &p.Subjects[i]
	p.control(i, at, 121, 0)
	if s.Program > 0 {
		p.say(i, at, 0xC0, byte(s.Program-1), 0, 2)
	}
	p.control(i, at, expr.CCVolume, 100)
	p.control(i, at, expression, 127)
	p.control(i, at, modulation, 0)
	if d := s.dynamics(); d != expression {
		p.control(i, at, d, 127)
	}
	for _, c := range [][2]int{{101, 0}, {100, 0}, {6, 2}, {38, 0}, {101, 127}, {100, 127}} {
		p.control(i, at, c[0], c[1])
	}
}

func (p *Plan) pattern(steps []time.Duration, at time.Duration) (end time.Duration) {
	p.setUp(p.sync, at-settingTime)
	key := p.Subjects[p.sync].middle()
	for _, step := range steps {
		p.note(note{aim: ofSync, subject: p.sync, at: at + step, length: 150 * time.Millisecond, key: key, velocity: syncVelocity})
	}
	return at + steps[len(steps)-1] + 700*time.Millisecond
}

// setting is a note with where the controllers stand for it.
type setting struct {
	note
	gap              time.Duration // after it
	dynamics, volume int
	db               float64 // about how loud, by General MIDI's law
}

// levels are the notes that show levels: those at full controllers from the softest to the loudest,
// so that none is heard in the tail of a louder one, then those with controllers by how far these
// are up, as a controller that rises lifts the tail of the note before it too.
func (s *Subject) levels(i int, e *effort) []setting {
	var all []setting
	add := func(what aim, key, velocity uint8, dynamics, volume, value int) {
		db := law(float64(velocity)) + law(float64(dynamics)) + law(float64(volume)) - law(rest)
		all = append(all, setting{note{aim: what, subject: i, length: e.note, key: key, velocity: velocity, value: value}, e.gap, dynamics, volume, db})
	}
	mid := s.middle()
	for _, v := range e.dynamics {
		add(ofDynamics, mid, mf, v, rest, v)
	}
	for _, b := range e.both {
		add(ofBoth, mid, uint8(b[0]), b[1], rest, b[1])
	}
	add(ofVolume, mid, mf, 127, 64, 64)
	for _, v := range e.velocities {
		add(ofVelocity, mid, v, 127, rest, 0)
	}
	for _, k := range s.keys(e.keys) {
		add(ofKey, k, mf, 127, rest, 0)
		last := &all[len(all)-1]
		last.length, last.gap = e.key, e.keyGap
	}
	slices.SortStableFunc(all, func(a, b setting) int {
		full := func(s *setting) int { // 0 for the first series, 1 for the second
			if s.dynamics == 127 && s.volume == rest {
				return 0
			}
			return 1
		}
		return cmp.Or(cmp.Compare(full(&a), full(&b)), full(&a)*cmp.Compare(a.dynamics, b.dynamics), cmp.Compare(a.db, b.db))
	})
	return all
}

// rest is where the channel volume stands until it is moved (General MIDI).
const rest = 100

// law is General MIDI's for velocity, volume and expression, dB re full.
func law(v float64) float64 { return 40 * math.Log10(max(v, 1)/127) }

// subject plays one part from a time on.
func (p *Plan) subject(i int, e *effort, at time.Duration) time.Duration {
	s := &p.Subjects[i]
	mid, dyn := s.middle(), s.dynamics()
	// A controller is moved in the silence before a note, so that what is smooth has arrived.
	before := func(controller, value int) { p.control(i, at-e.keyGap/2, controller, value) }
	dynamics, volume := 127, rest
	for _, l := range s.levels(i, e) {
		if l.dynamics != dynamics {
			dynamics = l.dynamics
			before(dyn, dynamics)
		}
		if l.volume != volume {
			volume = l.volume
			before(expr.CCVolume, volume)
		}
		l.at = at
		p.note(l.note)
		at += l.length + l.gap
	}
	before(dyn, 127)
	before(expr.CCVolume, rest)
	if c := &s.Profile.Sampler.Brightness; c.Has() {
		for _, v := range []int{20, 108} {
			before(c.Number, v)
			p.note(note{ofBright, i, at, e.note, mid, mf, v})
			at += e.note + e.gap
		}
		before(c.Number, 64)
	}
	for range 2 {
		p.note(note{ofShort, i, at, 100 * time.Millisecond, mid, mf, 0})
		at += 200 * time.Millisecond
	}
	at += 2 * e.gap
	if !s.sustains() {
		p.note(note{ofLong, i, at, 3 * e.note, mid, mf, 0})
		return at + 3*e.note
	}
	p.note(note{ofVibrato, i, at, 3 * e.vibrato, mid, mf, 0})
	if dyn != modulation {
		p.control(i, at+e.vibrato, modulation, 64)
		p.control(i, at+2*e.vibrato, modulation, 127)
	}
	at += 3*e.vibrato + 2*e.gap
	if dyn != modulation {
		p.control(i, at-e.gap, modulation, 0)
	}
	p.note(note{ofBend, i, at, 3 * e.bend, mid, mf, 0})
	p.say(i, at+e.bend, 0xE0, 127, 127, 3)
	p.say(i, at+2*e.bend, 0xE0, 0, 0, 3)
	at += 3 * e.bend
	p.say(i, at+2*e.gap, 0xE0, 0, 64, 3)
	return at
}

// allKeys is how many semitones a range may have for all its keys to be measured: kettles and the
// like, where neighbours are of different sounds.
const allKeys = 13

// keys are as many keys over the range, both ends among them.
func (s *Subject) keys(n int) []uint8 {
	var keys []uint8
	span := int(s.High) - int(s.Low)
	if n = min(n, span+1); span < allKeys {
		n = span + 1
	}
	for i := range n {
		k := s.Low
		if n > 1 {
			k += uint8((span*i + (n-1)/2) / (n - 1))
		}
		keys = append(keys, k)
	}
	if i, found := slices.BinarySearch(keys, s.middle()); !found { // all others are held against it
		keys = slices.Insert(keys, i, s.middle())
	}
	return keys
}

func (p *Plan) note(n note) { p.notes = append(p.notes, n) }

func (p *Plan) control(subject int, at time.Duration, number, value int) {
	p.say(subject, at, 0xB0, byte(number), byte(value), 3)
}

func (p *Plan) say(subject int, at time.Duration, status, d1, d2 byte, length int) {
	s := &p.Subjects[subject]
	p.messages = append(p.messages, message{max(at, 0), subject, [3]byte{status | byte(s.Channel), d1, d2}, length})
}

// Loud is when a velocity of over 100 is first played.
func (p *Plan) Loud() time.Duration {
	for i := range p.notes {
		if p.notes[i].velocity > 100 {
			return p.notes[i].at
		}
	}
	return p.Length
}
