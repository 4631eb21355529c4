package players

import (
	"bytes"
	"cmp"
	"context"
	"math"
	"math/bits"
	"slices"
	"strconv"

	"swellbox/expr"
	"swellbox/proxy/formats/match"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// What a flat file is like.
const (
	flatDivision = 960 // ticks in a quarter note
	flatVelocity = 64
)

// tempo is the tempo of the flat file, in quarter notes a minute: the players' median.
func (p *Piece) tempo() float64 {
	var lasted []float64
	for i := range p.Takes {
		first, last := math.Inf(1), math.Inf(-1)
		for _, n := range p.Notes {
			if s, ok := p.Takes[i].Notes[n.ID]; ok {
				first, last = min(first, s.On), max(last, s.On)
			}
		}
		lasted = append(lasted, last-first)
	}
	first, last := p.span()
	return 60 * (last - first) * 4 / float64(p.Metres[0].Unit) / median(lasted)
}

// Flat is the piece as a notation program exports it without dynamics: on one channel, at one
// tempo and one velocity.
func (p *Piece) Flat() *smf.File {
	first, _ := p.span()
	shift := -min(0, first)
	tick := func(beat float64) int64 {
		return int64(math.RoundToEven((beat + shift) * (4 / float64(p.Metres[0].Unit)) * flatDivision))
	}
	us := uint32(6e7 / p.tempo())
	head := smf.Track{Events: []smf.Event{{Data: []byte{0xFF, smf.MetaTempo, byte(us >> 16), byte(us >> 8), byte(us)}}}}
	for _, m := range p.Metres {
		at := max(head.End, tick(m.At))
		head.Events = append(head.Events, smf.Event{Tick: at, Data: []byte{0xFF, smf.MetaTimeSignature, byte(m.Beats), byte(bits.Len(uint(m.Unit)) - 1), 24, 8}})
		head.End = at
	}
	piano := smf.Track{Events: []smf.Event{{Data: append([]byte{0xFF, smf.MetaTrackName}, "Piano"...)}, {Data: []byte{0xC0, 0}}}}
	var notes []smf.Event
	for _, n := range p.Notes {
		on, off := tick(n.Onset), tick(n.End)
		notes = append(notes, smf.Event{Tick: on, Data: []byte{0x90, n.Key, flatVelocity}},
			smf.Event{Tick: max(off-1, on+1), Data: []byte{0x80, n.Key, flatVelocity}})
	}
	slices.SortStableFunc(notes, func(a, b smf.Event) int { return cmp.Or(cmp.Compare(a.Tick, b.Tick), bytes.Compare(a.Data, b.Data)) })
	piano.Events = append(piano.Events, notes...)
	piano.End = notes[len(notes)-1].Tick
	return &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: flatDivision}, Tracks: []smf.Track{head, piano}}
}

// PieceOf is the piece of a score, one unit of whose time is a quarter note. Each note's ID is its
// number.
func PieceOf(s *expr.Score) *Piece {
	p := &Piece{Metres: []match.Metre{{Beats: 4, Unit: 4}}}
	for _, n := range s.Notes {
		p.Notes = append(p.Notes, Note{Onset: n.Beat, End: n.Beat + n.Length, Key: n.Key})
	}
	slices.SortStableFunc(p.Notes, func(a, b Note) int { return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(a.Key, b.Key)) })
	for i := range p.Notes {
		p.Notes[i].ID = strconv.Itoa(i)
	}
	return p
}

// Render has the flat piece performed in a manner. What is written in the score beside it is known
// where the manner's Piece is that score.
func (p *Piece) Render(ctx context.Context, cast *perform.Cast, manner perform.Manner) (Take, error) {
	return p.Perform(ctx, p.Flat(), cast, manner)
}

// Perform has a file of the piece performed in a manner.
func (p *Piece) Perform(ctx context.Context, file *smf.File, cast *perform.Cast, manner perform.Manner) (Take, error) {
	out, _, err := offline.Render(ctx, file, cast, manner)
	if err != nil {
		return Take{}, err
	}
	line, err := offline.NewTimeline(out, 0)
	if err != nil {
		return Take{}, err
	}
	return p.takeFrom(line), nil
}

// takeFrom finds the piece's notes in what was rendered: those of one key in their order.
func (p *Piece) takeFrom(line *offline.Timeline) Take {
	take := Take{Player: "swellbox", Notes: map[string]Sound{}, Pedal: PedalOf(line)}
	var sounds [128][]Sound
	var open [128][]int
	for i := range line.Events {
		e := &line.Events[i]
		at := e.At.Seconds()
		switch {
		case e.IsNoteOn():
			k := e.Msg[1]
			open[k] = append(open[k], len(sounds[k]))
			sounds[k] = append(sounds[k], Sound{at, at + 0.1, float64(e.Msg[2])})
		case e.IsNoteOff():
			if k := e.Msg[1]; len(open[k]) > 0 {
				sounds[k][open[k][0]].Off = at
				open[k] = open[k][1:]
			}
		}
	}
	byKey := slices.Clone(p.Notes)
	slices.SortStableFunc(byKey, func(a, b Note) int { return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(a.End, b.End)) })
	for _, n := range byKey {
		if s := sounds[n.Key]; len(s) > 0 {
			take.Notes[n.ID], sounds[n.Key] = s[0], s[1:]
		}
	}
	return take
}

// PedalOf is the damper pedal of a performance.
func PedalOf(line *offline.Timeline) (pedal []Pedal) {
	for i := range line.Events {
		if e := &line.Events[i]; isSustain(e) {
			pedal = append(pedal, Pedal{e.At.Seconds(), float64(e.Msg[2])})
		}
	}
	return pedal
}

// sustain is the controller of the damper pedal (MIDI 1.0).
const sustain = 64

func isSustain(e *expr.Event) bool { return e.Len == 3 && e.Msg[0]&0xF0 == 0xB0 && e.Msg[1] == sustain }

// Pace is how long a beat of the flat file lasts, in seconds.
func (p *Piece) Pace() float64 { return 60 / p.tempo() * 4 / float64(p.Metres[0].Unit) }

// Written finds each note in the score of the flat file; -1 for one that it does not have.
func (p *Piece) Written(s *expr.Score) []int {
	byKey := map[uint8][]int{}
	for i := range s.Notes {
		byKey[s.Notes[i].Key] = append(byKey[s.Notes[i].Key], i)
	}
	order := make([]int, len(p.Notes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &p.Notes[a], &p.Notes[b]
		return cmp.Or(cmp.Compare(x.Onset, y.Onset), cmp.Compare(x.End, y.End))
	})
	of := make([]int, len(p.Notes))
	for _, i := range order {
		of[i] = -1
		if left := byKey[p.Notes[i].Key]; len(left) > 0 {
			of[i], byKey[p.Notes[i].Key] = left[0], left[1:]
		}
	}
	return of
}
