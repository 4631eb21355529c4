package musicxml

import "swellbox/expr"

// line is the notes of one voice of a part in the order in which they are played.
type line struct {
	notes  []int             // indices of the notes
	groups []int             // where in notes each group starts: notes that start together
	last   int64             // tick of the last group
	open   [maxSlurs + 1]int // by number: the group in which a slur began, from 1; 0 if none is open
}

// add adds a note that starts at a tick, and is its group.
func (l *line) add(note int, at int64) int32 {
	if len(l.groups) == 0 || at != l.last {
		l.groups = append(l.groups, len(l.notes))
		l.last = at
	}
	l.notes = append(l.notes, note)
	return int32(len(l.groups) - 1)
}

// group is the notes of a group.
func (l *line) group(i int) []int {
	end := len(l.notes)
	if i+1 < len(l.groups) {
		end = l.groups[i+1]
	}
	return l.notes[l.groups[i]:end]
}

// slur is a slur with both its ends. It lies over the groups of the voice it begins in,
// up to one of that voice or of another.
type slur struct {
	voice, from, to int // to is the last group of voice that it lies over
	endVoice, end   int
}

// slur follows the slurs that begin and end at a note, of a group of a voice.
func (y *player) slur(n *note, voice, group int) {
	if n.starts|n.stops == 0 {
		return
	}
	for number := 1; number <= maxSlurs; number++ {
		if n.stops&(1<<number) != 0 {
			y.end(voice, number, group)
		}
	}
	l := &y.lines[voice]
	for number := 1; number <= maxSlurs; number++ {
		if n.starts&(1<<number) == 0 {
			continue
		}
		if l.open[number] > 0 {
			y.broken++
		}
		l.open[number] = group + 1
	}
}

// end ends the slur of a number: of the voice, or else of another, for a slur may lead
// from voice to voice.
func (y *player) end(voice, number, group int) {
	from := voice
	if y.lines[voice].open[number] == 0 {
		for from = range y.lines {
			if y.lines[from].open[number] > 0 {
				break
			}
		}
	}
	l := &y.lines[from]
	if l.open[number] == 0 {
		y.broken++
		return
	}
	s := slur{voice: from, from: l.open[number] - 1, to: len(l.groups) - 1, endVoice: voice, end: group}
	if from == voice {
		s.to = group - 1
	}
	l.open[number] = 0
	y.slurs = append(y.slurs, s)
}

// applySlurs marks the notes under each slur.
func (y *player) applySlurs() {
	for _, s := range y.slurs {
		if s.voice == s.endVoice && s.from >= s.end {
			continue // over the parts of one tied note
		}
		l := &y.lines[s.voice]
		y.put(l.group(s.from), expr.SlurBegins)
		for g := s.from; g <= s.to; g++ {
			y.put(l.group(g), expr.SlurGoesOn)
		}
		y.put(y.lines[s.endVoice].group(s.end), expr.SlurEnds)
	}
}

func (y *player) put(notes []int, marks expr.Marks) {
	for _, i := range notes {
		y.notes[i].Marks |= marks
	}
}
