package quiz

import (
	"fmt"
	"slices"
	"sort"
	"time"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

const (
	// passageLength bounds a passage; with its ring, two takes are 12 s to listen to.
	passageLength = 5 * time.Second
	// ring is how long a take goes on after its passage.
	ring = time.Second
	// maxPassages bounds what a piece is cut into; bars beyond are not asked about.
	maxPassages = 20_000
)

// Score is a piece to ask about. The parts play by the built-in profiles, whatever
// profiles the user has, so that thresholds stay comparable.
type Score struct {
	parts    []Part
	notes    []Note      // in the order of their starts
	piece    *expr.Score // as who plays musically knows it
	events   []expr.Event
	ports    int
	passages []Passage
}

// Part is one part of a score.
type Part struct {
	perform.Part
	Instrument *expr.Profile
	Voice      string  // as the demonstration sounds it
	Pan        float64 // -1 left to +1 right
}

// Note is one note of a score. Two notes of one key may overlap; the one that
// began first then ends first.
type Note struct {
	Part          int // index
	From, To      time.Duration
	Key, Velocity uint8
}

// Passage is a few bars, or where there are none a few seconds.
type Passage struct {
	From, To time.Duration
	Bar      int // from 1; 0: the piece has no bars
	LastBar  int
}

// String is how a passage is called.
func (p Passage) String() string {
	switch {
	case p.Bar == 0:
		return fmt.Sprintf("from %d:%02d on", int(p.From.Minutes()), int(p.From.Seconds())%60)
	case p.Bar == p.LastBar:
		return fmt.Sprintf("bar %d", p.Bar)
	}
	return fmt.Sprintf("bars %d–%d", p.Bar, p.LastBar)
}

// NewScore reads a piece; of a file of independent tracks, the first. pan says where a
// profile sits between left (-1) and right (+1).
func NewScore(f *smf.File, pan func(name string, p *expr.Profile) float64) (*Score, error) {
	timeline, err := offline.NewTimeline(f, 0)
	if err != nil {
		return nil, err
	}
	library, err := profiles.NewLibrary()
	if err != nil {
		return nil, err
	}
	cast := perform.Cast{Library: library}
	s := &Score{piece: timeline.Score(), events: timeline.Events, ports: timeline.Ports}
	index := map[[2]int]int{} // port and channel to part
	for _, hint := range timeline.Hints {
		part, profile, err := cast.Choose(hint)
		if err != nil {
			return nil, err
		}
		index[[2]int{part.Port, part.Channel}] = len(s.parts)
		s.parts = append(s.parts, Part{Part: part, Instrument: profile, Voice: library.Voice(part.Profile), Pan: pan(part.Profile, profile)})
	}
	s.readNotes(index, timeline.End)
	s.cut(timeline)
	return s, nil
}

// readNotes pairs the starts and ends of notes.
func (s *Score) readNotes(index map[[2]int]int, end time.Duration) {
	open := map[[3]int][]int{} // port, channel and key to notes
	for i := range s.events {
		e := &s.events[i]
		at := [3]int{int(e.Port), e.Channel(), int(e.Msg[1])}
		switch {
		case e.IsNoteOn():
			open[at] = append(open[at], len(s.notes))
			s.notes = append(s.notes, Note{Part: index[[2]int{at[0], at[1]}], From: e.At, To: end, Key: e.Msg[1], Velocity: e.Msg[2]})
		case e.IsNoteOff() && len(open[at]) > 0:
			s.notes[open[at][0]].To = e.At
			open[at] = open[at][1:]
		}
	}
}

// cut finds the passages: from every bar on, as many whole bars as there is room for.
func (s *Score) cut(t *offline.Timeline) {
	if t.Bars == nil {
		for from := time.Duration(0); from < t.End && len(s.passages) < maxPassages; from += passageLength {
			s.passages = append(s.passages, Passage{From: from, To: min(from+passageLength, t.End)})
		}
		return
	}
	var starts []time.Duration
	for bar := 1; bar <= maxPassages; bar++ {
		at := t.Tempo.At(t.Bars.BarStart(bar))
		if at >= t.End {
			break
		}
		starts = append(starts, at)
	}
	starts = append(starts, t.End)
	for i, from := range starts[:len(starts)-1] {
		next := i + 1
		for next+1 < len(starts) && starts[next+1]-from <= passageLength {
			next++
		}
		to := min(starts[next], from+passageLength)
		s.passages = append(s.passages, Passage{From: from, To: to, Bar: i + 1, LastBar: next})
	}
}

// within are the notes that begin in a passage.
func (s *Score) within(p Passage) []Note {
	at := func(t time.Duration) int {
		return sort.Search(len(s.notes), func(i int) bool { return s.notes[i].From >= t })
	}
	return s.notes[at(p.From):at(p.To)]
}

// sounding are the parts with notes in a passage, in score order.
func (s *Score) sounding(p Passage) []int {
	var parts []int
	for _, n := range s.within(p) {
		if !slices.Contains(parts, n.Part) {
			parts = append(parts, n.Part)
		}
	}
	slices.Sort(parts)
	return parts
}

// longest is the longest note of a part in a passage, as much of it as is heard.
func (s *Score) longest(p Passage, part int) time.Duration {
	long := time.Duration(0)
	for _, n := range s.within(p) {
		if n.Part == part {
			long = max(long, min(n.To, p.To)-n.From)
		}
	}
	return long
}
