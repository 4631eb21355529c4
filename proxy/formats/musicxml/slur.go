package musicxml

import "swellbox/expr"

// line is the notes of one voice of a part in the order in which they are played.
type line struct {
	notes  []int                // indices of the notes
	groups []int                // where in notes each group starts: notes that start together
	last   int64                // tick of the last group
	begun  [2]int64             // ticks of the last two groups that are no grace notes, the last first
	open   [maxSlurs + 1]opened // by number
}

// spot is where a note stands: a group of a voice. A tie may lead from voice to voice, and
// a note stands in the one in which it began.
type spot struct{ voice, group int }

// opened is a slur that has begun in a voice and not ended.
type opened struct {
	is    bool
	begin spot
	from  int // the first group of the voice that it lies over
}

// add adds a note that starts at a tick, and is its group.
func (l *line) add(note int, at int64) int {
	if len(l.groups) == 0 || at != l.last {
		l.groups = append(l.groups, len(l.notes))
		l.last = at
	}
	l.notes = append(l.notes, note)
	return len(l.groups) - 1
}

// group is the notes of a group.
func (l *line) group(i int) []int {
	end := len(l.notes)
	if i+1 < len(l.groups) {
		end = l.groups[i+1]
	}
	return l.notes[l.groups[i]:end]
}

// slur is a slur with both its ends. Between them it lies over groups of the voice in
// which it was begun, up to one of that voice or of another.
type slur struct {
	begin, end      spot
	voice, from, to int // to is the last group that it lies over
}

// slur follows the slurs that begin and end at a note that is written at a tick and stands at a spot.
func (y *player) slur(n *note, at int64, s spot) {
	if n.starts|n.stops == 0 {
		return
	}
	for number := 1; number <= maxSlurs; number++ {
		if n.stops&(1<<number) != 0 {
			y.end(int(n.voice), number, s)
		}
	}
	l := &y.lines[n.voice]
	for number := 1; number <= maxSlurs; number++ {
		if n.starts&(1<<number) == 0 {
			continue
		}
		if l.open[number].is {
			y.broken++
		}
		from := s.group
		if s.voice != int(n.voice) {
			from = l.next(at)
		}
		l.open[number] = opened{true, s, from}
	}
}

// next is the first group of a line that starts at a tick or is still to come.
func (l *line) next(at int64) int {
	if n := len(l.groups); n > 0 && l.last == at {
		return n - 1
	}
	return len(l.groups)
}

// end ends the slur of a number at a spot: one of the voice, or else of another, for a slur
// may lead from voice to voice.
func (y *player) end(voice, number int, at spot) {
	from := voice
	if !y.lines[voice].open[number].is {
		for from = range y.lines {
			if y.lines[from].open[number].is {
				break
			}
		}
	}
	l := &y.lines[from]
	o := &l.open[number]
	if !o.is {
		y.broken++
		return
	}
	s := slur{begin: o.begin, end: at, voice: from, from: o.from, to: len(l.groups) - 1}
	if from == at.voice {
		s.to = at.group - 1
	}
	o.is = false
	y.slurs = append(y.slurs, s)
}

// applySlurs marks the notes under each slur.
func (y *player) applySlurs() {
	for _, s := range y.slurs {
		if s.begin.voice == s.end.voice && s.begin.group >= s.end.group {
			continue // over the parts of one tied note
		}
		y.put(s.begin, expr.SlurBegins|expr.SlurGoesOn)
		for g := s.from; g <= s.to; g++ {
			y.put(spot{s.voice, g}, expr.SlurGoesOn)
		}
		y.put(s.end, expr.SlurEnds)
	}
}

func (y *player) put(at spot, marks expr.Marks) {
	for _, i := range y.lines[at.voice].group(at.group) {
		y.notes[i].Marks |= marks
	}
}
