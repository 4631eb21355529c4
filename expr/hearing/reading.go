package hearing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"swellbox/expr"
	"swellbox/expr/foot"
	"swellbox/expr/listening"
	"swellbox/expr/nuance"
	"swellbox/expr/pedalling"
	"swellbox/expr/touch"
	"swellbox/expr/voices"
)

// reading is a score as a musician has read it: all its notes have been heard before
// the first one sounds.
type reading struct {
	score *expr.Score
	lines []Line
	ear   ear
	notes []place // of the score's notes

	slurred []bool // by part: slurs are written there

	// What only one who pedals is asked, part by part; nil before anybody is.
	held    []float32 // shares of the notes' lengths for which a pianist holds them
	foot    []pedalling.Advice
	pedals  []bool            // by part: that is known
	touches []*nuance.Reading // by part; nil where nobody has asked
}

// place is where a note of a score stands in the reading.
type place struct {
	tone        int64
	line        int32
	phrase, sub expr.Span // in which it stands
}

// read reads a score from beginning to end.
func read(s *expr.Score, trial expr.Trial) *reading {
	r := &reading{score: s, notes: make([]place, len(s.Notes))}
	sizes := make([]int, 1)
	for i := range s.Notes {
		for int(s.Notes[i].Part) >= len(sizes) {
			sizes = append(sizes, 0)
		}
		sizes[s.Notes[i].Part]++
	}
	parts := len(sizes)
	r.lines = make([]Line, parts)
	for i := range r.lines {
		r.lines[i].trial = trial
		r.lines[i].init()
		r.lines[i].readWhole(sizes[i])
	}
	for i := 1; i < len(s.Notes); i++ { // those that will need their voices told apart
		if a, b := &s.Notes[i-1], &s.Notes[i]; a.Part == b.Part && b.On-a.On <= expr.JointTime && !a.Calls && !b.Calls && r.lines[b.Part].separator == nil {
			r.lines[b.Part].separator = voices.NewSeparator()
		}
	}
	r.slurred = make([]bool, parts)
	r.ear.init(parts, trial)
	r.ear.whole = true
	bars, marked := s.Bars, make([]lastMarks, parts)
	ends := make([]int32, len(s.Notes)) // the notes in the order of their ends
	for i := range ends {
		ends[i] = int32(i)
	}
	slices.SortStableFunc(ends, func(a, b int32) int { return cmp.Compare(s.Notes[a].Off, s.Notes[b].Off) })
	for i := range s.Notes {
		n := &s.Notes[i]
		for len(ends) > 0 && s.Notes[ends[0]].Off <= n.On {
			r.end(ends[0])
			ends = ends[1:]
		}
		if n.Calls {
			continue
		}
		r.slurred[n.Part] = r.slurred[n.Part] || n.Marks.Has(expr.SlurBegins)
		number := r.ear.hear(&r.lines[n.Part], int(n.Part), n.Channel == expr.DrumChannel, n.Key, cmp.Or(n.Velocity, usualVelocity), n.On)
		r.notes[i] = place{tone: number, line: int32(n.Part)}
		if m := marked[n.Part].take(n); n.Marks.Has(expr.SlurBegins) || m.Has(expr.BreathAfter) {
			l := &r.lines[n.Part]
			l.bound(l.Tone(number), slurStrength)
		}
		for len(bars) > 1 && bars[1].Beat <= n.Beat+expr.BeforeBar {
			bars = bars[1:]
		}
		if len(bars) > 0 {
			b := &bars[0]
			r.lines[n.Part].beat(number, n.Beat, listening.BeatLevel(n.Beat-b.Beat, b.Beats, b.Unit), 1)
		}
	}
	for _, i := range ends {
		r.end(i)
	}
	r.sing()
	r.phrase(StartsPhrase, func(p *place) *expr.Span { return &p.phrase })
	r.phrase(startsSub, func(p *place) *expr.Span { return &p.sub })
	return r
}

// sing tells the notes who has the tune by the whole of the score, in place of what was heard note by note.
func (r *reading) sing() {
	if r.ear.tuneFault != nil {
		return
	}
	defer expr.Lose(&r.ear.tuneFault, expr.OfTune)
	tunes := tunesOf(r.score)
	if tunes == nil {
		return
	}
	for i := range r.lines {
		r.lines[i].gapAt = expr.Unknown
	}
	for i := range r.notes {
		n, p := &r.score.Notes[i], &r.notes[i]
		if p.tone == 0 || math.IsNaN(n.Beat) {
			continue
		}
		l := &r.lines[p.line]
		if t := l.Tone(p.tone); t.Salience != expr.Unknown {
			t.Tune, t.Salience = 1, 1-l.stepsBack(tunes.lacks(n), n.On)
		}
	}
}

// phrase finds where the notes stand in their phrases, or in their parts of one.
func (r *reading) phrase(kind starting, of func(*place) *expr.Span) {
	lines := make([][]expr.Span, len(r.lines))
	for i := range lines {
		lines[i] = spans(len(r.lines[i].all), r.lines[i].Tone, kind)
	}
	for i := range r.notes {
		p := &r.notes[i]
		if p.tone != 0 {
			*of(p) = lines[p.line][p.tone-1]
		}
	}
}

// slurStrength is the strength of the boundary where a slur begins or a breath is marked: it
// bounds a part of a phrase, and no more by itself. Ours.
const slurStrength = 0.6

// lastMarks are the marks of the latest moment of a part, and of the one before it.
type lastMarks struct {
	on            time.Duration
	marks, before expr.Marks
}

// take takes the next note, and returns the marks of the moment before its own.
func (m *lastMarks) take(n *expr.Written) expr.Marks {
	if n.On-m.on > expr.ChordTime {
		m.on, m.before, m.marks = n.On, m.marks, 0
	}
	m.marks |= n.Marks
	return m.before
}

// usualVelocity stands for a note of a score that does not say how loud: the middle of
// MIDI 1.0's range.
const usualVelocity = 64

func (r *reading) end(i int32) {
	if n := &r.score.Notes[i]; r.notes[i].tone != 0 { // not one that ends before it begins
		r.ear.hearEnd(&r.lines[n.Part], int(n.Part), n.Key, n.Off)
	}
}

// describe tells of a note of the score, at a pace: how much faster than written the
// music goes; what the habits of the touch add to it where its player touches keys; and what hands and
// foot do where its player pedals.
func (r *reading) describe(n *expr.Note, i int, pace float64, touches, pedals bool) {
	p := &r.notes[i]
	l := &r.lines[p.line]
	t := l.Tone(p.tone)
	l.describe(n, t)
	n.Phrase, n.SubPhrase = p.phrase, p.sub
	r.ear.describe(&n.Context, t, r.score.End+time.Second)
	c, w := &n.Context, &r.score.Notes[i]
	c.Grade = expr.Scored
	if touches {
		r.touch(c, i)
	}
	c.Marks = w.Marks
	if r.slurred[w.Part] && w.Marks&(expr.SlurBegins|expr.SlurGoesOn|expr.SlurEnds) == 0 {
		c.Marks |= expr.Separate
	}
	c.Beat = w.Beat
	if pedals {
		r.readPedals(w.Part)
		if h := r.held[i]; h > 0 { // not one of which nothing is known
			c.Held = float64(h)
		}
		c.Foot = r.foot[i]
	}
	c.Last = w.On >= r.score.Notes[len(r.score.Notes)-1].On-expr.ChordTime
	atPace(c, pace)
}

// atPace has all durations be those of music that goes so much faster.
func atPace(c *expr.Context, pace float64) {
	if pace == 1 || pace <= 0 {
		return
	}
	for _, d := range [...]*time.Duration{
		&c.Length, &c.ToNext, &c.FromLast, &c.RestBefore, &c.SinceRest, &c.RestAfter,
		&c.Phrase.Since, &c.Phrase.Until, &c.SubPhrase.Since, &c.SubPhrase.Until,
	} {
		if *d > 0 {
			*d = time.Duration(float64(*d) / pace)
		}
	}
}

// touch tells the same of a note of the score by its index. A part is read when it is first
// asked for: most parts of a score have no keys to strike.
func (r *reading) touch(c *expr.Context, index int) {
	part := r.score.Notes[index].Part
	read := r.readTouch(part)
	if number, ok := read.Number(index); ok {
		c.Leads = read.Touch(number, &c.Touch)
	}
}

// readTouch reads a part for its touch, unless that is done.
func (r *reading) readTouch(part uint16) *nuance.Reading {
	if r.touches == nil {
		r.touches = make([]*nuance.Reading, len(r.lines))
	}
	if r.touches[part] == nil {
		r.touches[part] = nuance.Read(r.score, part)
	}
	return r.touches[part]
}

// readPedals reads a part for its hands and its foot, unless that is done.
func (r *reading) readPedals(part uint16) {
	if r.pedals == nil {
		r.held, r.foot, r.pedals = touch.NoShares(r.score), make([]pedalling.Advice, len(r.score.Notes)), make([]bool, len(r.lines))
	}
	if !r.pedals[part] {
		r.pedals[part] = true
		touch.SharesOf(r.score, int(part), r.held)
		foot.Advise(r.score, int(part), r.foot)
	}
}

// prepare reads beforehand what one who plays a channel will ask for, so that no note waits for it.
func (r *reading) prepare(channel int, touches, pedals bool) {
	for i := range r.score.Notes {
		if n := &r.score.Notes[i]; int(n.Port)*16+int(n.Channel) == channel {
			if touches {
				r.readTouch(n.Part)
			}
			if pedals {
				r.readPedals(n.Part)
			}
		}
	}
}

// lost is which knowledge of a score was lost when it was read, or nil.
func (r *reading) lost() error {
	first, more := error(nil), 0
	for i := range r.lines {
		switch err := r.lines[i].fault(); {
		case err == nil:
		case first == nil:
			first = fmt.Errorf("of %s in the score: %w", r.name(i), err)
		default:
			more++
		}
	}
	if more > 0 {
		first = fmt.Errorf("%w; and %d more parts of it likewise", first, more)
	}
	return expr.InOne(r.ear.tuneFault, r.ear.harmonyFault, first)
}

// name is that of a part of the score.
func (r *reading) name(part int) string {
	if part < len(r.score.Parts) {
		return strconv.Quote(r.score.Parts[part])
	}
	return fmt.Sprintf("part %d", part+1)
}
