package musicxml

import (
	"cmp"
	"math"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/ornament"
)

// maxLength bounds a piece: none is as long, and what seems to be has a damaged tempo
// or duration.
const maxLength = 48 * time.Hour

// perform plays the score out.
func (r *score) perform() (*Document, error) {
	if len(r.parts) == 0 {
		return nil, refused("the score has no parts: export it again")
	}
	leaveCues(len(r.frames), r.parts)
	for _, p := range r.parts {
		if len(p.cues) > 0 {
			r.note(&SyntaxError{Part: p.id}, "small notes are taken as a cue, by which a player follows another part, and are not played: measures %s", r.frames.listed(p.cues))
		}
	}
	starts := r.lengths()
	order, err := r.order()
	if err != nil {
		return nil, err
	}
	end := int64(0)
	for i := range order {
		order[i].at = end
		end += r.frames[order[i].measure].length
	}
	if err := r.countPlayed(order); err != nil {
		return nil, err
	}
	c := newClock(r.frames, starts, order, tempoLine(r.frames, starts))
	s := &expr.Score{Bars: r.bars(order, c), End: c.time(end)}
	if s.End > maxLength {
		return nil, refused("the score lasts %v, and at most %v can be played: a tempo or a duration is damaged; export it again", s.End.Round(time.Second), maxLength)
	}
	d := &Document{Title: r.name(), Score: s}
	for _, p := range r.parts {
		p.settle()
		p.soundHarmonics()
		for _, notes := range p.measures {
			slices.SortStableFunc(notes, func(a, b note) int { return cmp.Compare(a.at, b.at) })
		}
		p.phrase(starts)
		s.Parts = append(s.Parts, p.title())
		for _, x := range p.instruments {
			d.Instruments = append(d.Instruments, Instrument{
				Part: uint16(p.index), Name: x.name, Sound: x.sound,
				Port: uint16(x.port), Channel: uint8(x.channel), Program: x.program,
			})
		}
		play := &player{p: p, clock: c, notes: s.Notes, first: len(s.Notes), ornaments: d.Ornaments, joining: joining{rolls: d.Rolls, glides: d.Glides, caesuras: d.Caesuras}}
		play.all(order)
		if play.broken > 0 {
			r.note(&SyntaxError{Part: p.id}, "slurs are not ended or end where none began; %d were left out", play.broken)
		}
		s.Notes, d.Ornaments = play.notes, play.ornaments
		d.Rolls, d.Glides, d.Caesuras = play.rolls, play.glides, play.caesuras
		d.Pedals = append(d.Pedals, p.pressed(order, end, c)...)
		for _, w := range p.ways(order) {
			x := &p.instruments[w.instrument]
			d.Changes = append(d.Changes, Change{
				Part: uint16(p.index), Port: uint16(x.port), Channel: uint8(x.channel), At: c.time(w.at), Beat: quarters(w.at), Program: w.program,
			})
		}
	}
	d.sort()
	s.Signs = r.frames.signed(order)
	slices.SortStableFunc(d.Changes, func(a, b Change) int { return cmp.Compare(a.At, b.At) })
	slices.SortStableFunc(d.Pedals, func(a, b Pedal) int { return cmp.Compare(a.On, b.On) })
	s.Signs = signPedals(s.Signs, d.Pedals)
	d.Warnings = r.warnings
	return d, nil
}

// sort puts the notes in their order, and leaves the ornaments upon them.
func (d *Document) sort() {
	notes := d.Score.Notes
	of := make([]int, len(notes)) // where each comes from
	for i := range of {
		of[i] = i
	}
	slices.SortStableFunc(of, func(i, j int) int { return notes[i].Compare(&notes[j]) })
	sorted := make([]expr.Written, len(notes))
	to := make([]int, len(notes))
	for k, i := range of {
		sorted[k], to[i] = notes[i], k
	}
	d.Score.Notes = sorted
	for i := range d.Ornaments {
		d.Ornaments[i].Note = to[d.Ornaments[i].Note]
	}
	d.sortAcross(to)
	slices.SortFunc(d.Ornaments, func(a, b Ornament) int { return cmp.Compare(a.Note, b.Note) })
}

// lengths settles how long each measure is, and is where it starts as written, in ticks.
// A measure is as long as its longest part; one in which nothing stands but whole rests is as
// long as its time signature says. Rests and empty time do not lengthen it beyond the time
// signature: what a program leaves over at the end of a voice is not heard.
func (r *score) lengths() []int64 {
	starts := make([]int64, len(r.frames))
	at := int64(0)
	metre, free := int64(4*quarterTicks), false
	for k := range r.frames {
		f := &r.frames[k]
		if f.beats > 0 || f.free {
			free = f.free
		}
		if f.beats > 0 {
			metre = 4 * quarterTicks * int64(f.beats) / int64(f.unit)
		}
		if !free {
			f.rested = min(f.rested, metre)
		}
		f.length = max(f.length, f.rested)
		if f.length == 0 {
			f.length = metre
		}
		starts[k] = at
		at += f.length
	}
	return starts
}

// countPlayed checks how much the measures hold as they are played.
func (r *score) countPlayed(order []played) error {
	count := make([]int, len(r.frames))
	for k := range r.frames {
		count[k] = len(r.frames[k].tempos) + len(r.frames[k].signs)
	}
	for _, p := range r.parts {
		for k := range p.measures {
			count[k] += len(p.measures[k])
		}
		for _, m := range p.pedals {
			count[m.measure]++
		}
		for _, m := range p.changes {
			count[m.measure]++
		}
	}
	sum := 0
	for i := range order {
		if sum += count[order[i].measure]; sum > maxNotes {
			return refused("the repeats play out to over %d notes and signs: check how many times they are played", maxNotes)
		}
	}
	return nil
}

// player plays a part out.
type player struct {
	p     *part
	clock *clock
	notes []expr.Written
	first int // index in notes of the part's first

	ties   [128][]tied // by key: notes that are tied to one that is still to come
	lines  []line      // by voice
	spots  []spot      // by note, from first
	slurs  []slur
	broken int // slurs that were left out

	ornaments []Ornament
	joining
}

// maxTies bounds the notes of one key that are tied at one time; further ones end.
const maxTies = 64

// tied is a note that waits for its other end.
type tied struct {
	note  int
	end   int64 // where it has to come, in ticks, unless the note is held
	voice uint16
	again bool // the key is struck again, so that the note is not held
}

func (y *player) all(order []played) {
	y.lines = make([]line, max(len(y.p.voices), 1))
	for _, at := range order {
		if at.measure >= len(y.p.measures) {
			continue
		}
		notes := y.p.measures[at.measure]
		for i := range notes {
			n := &notes[i]
			if n.times == 0 || n.times&(1<<min(at.pass, maxTimes)) != 0 {
				y.play(n, at.at+n.at)
			}
		}
	}
	for v := range y.lines {
		for _, o := range y.lines[v].open {
			if o.is {
				y.broken++
			}
		}
	}
	y.applySlurs()
}

// play plays a note at a tick: on its own, or as the rest of one that is tied to it.
func (y *player) play(n *note, at int64) {
	if at = max(at, 0); n.at < 0 {
		y.makeWay(n.voice, at, at-n.at)
	}
	waiting := y.waiting(n, at)
	index := 0
	if waiting != nil {
		index = waiting.note
		w := &y.notes[index]
		w.Off = y.clock.time(at + n.length)
		w.Length = quarters(at+n.length) - w.Beat
		w.Marks |= n.marks
	} else {
		for i := range y.ties[n.key] {
			t := &y.ties[n.key][i]
			t.again = t.again || t.end <= at
		}
		x := &y.p.instruments[n.instrument]
		index = len(y.notes)
		y.notes = append(y.notes, expr.Written{
			On: y.clock.time(at), Off: y.clock.time(at + n.length),
			Beat: quarters(at), Length: quarters(n.length),
			Part: uint16(y.p.index), Port: uint16(x.port), Channel: uint8(x.channel),
			Key: n.key, Velocity: n.velocity, Staff: n.staff, Marks: n.marks, Solo: n.leads,
		})
		if o := n.ornament; o.Kind != ornament.None {
			y.ornaments = append(y.ornaments, Ornament{index, o.Sign, o.ends})
		}
		l := &y.lines[n.voice]
		if !n.marks.Has(expr.Grace) && at != l.begun[0] {
			l.begun[1], l.begun[0] = l.begun[0], at
		}
		y.spots = append(y.spots, spot{int(n.voice), l.add(index, at)})
	}
	y.join(index, n, waiting == nil)
	ties := &y.ties[n.key]
	switch {
	case n.tied&tieStart == 0 && waiting != nil:
		*ties = slices.DeleteFunc(*ties, func(t tied) bool { return t.note == index })
	case n.tied&tieStart != 0 && waiting != nil:
		waiting.end = at + n.length
	case n.tied&tieStart != 0 && len(*ties) < maxTies:
		*ties = append(*ties, tied{note: index, end: at + n.length, voice: n.voice})
	}
	y.slur(n, at, y.spots[index-y.first])
}

// waiting is the note that a note is the rest of, and nil where it starts. One that ends there goes
// before one that is held, and that of its own voice before others, for a tie may lead from voice to voice.
func (y *player) waiting(n *note, at int64) *tied {
	ties := &y.ties[n.key]
	stops := n.tied&tieStop != 0
	*ties = slices.DeleteFunc(*ties, func(t tied) bool { return t.end < at && !(stops && y.held(&t, at)) })
	if !stops {
		return nil
	}
	var found *tied
	for i := range *ties {
		t := &(*ties)[i]
		if t.end > at {
			continue
		}
		if found == nil || t.end > found.end || t.end == found.end && t.voice == n.voice && found.voice != n.voice {
			found = t
		}
	}
	return found
}

// heldMost is over how many ticks of other notes of its voice a tied note is held: the other end of the
// tie may be far away where a chord is written out note by note. Ours, no published source.
const heldMost = 8 * quarterTicks

// held reports whether a note whose tie has its other end later than where it ends is held until then: in
// a chord that is written out, where the next notes of its voice begin meanwhile.
func (y *player) held(t *tied, until int64) bool {
	l := &y.lines[t.voice]
	begun := l.begun[0]
	if begun >= until {
		begun = l.begun[1]
	}
	return !t.again && until-t.end <= heldMost && begun >= t.end
}

// makeWay ends the notes of a voice that would sound on into a grace note before a bar line.
func (y *player) makeWay(voice uint16, from, bar int64) {
	const back = 64 // notes that are looked at
	for i := len(y.notes) - 1; i >= max(y.first, len(y.notes)-back); i-- {
		w := &y.notes[i]
		end := w.Beat + w.Length
		if y.spots[i-y.first].voice == int(voice) && math.Abs(end-quarters(bar)) < 1e-6 && w.Beat < quarters(from) {
			w.Off, w.Length = y.clock.time(from), quarters(from)-w.Beat
		}
	}
}
