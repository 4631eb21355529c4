package musicxml

import (
	"cmp"
	"slices"
	"strings"
)

// way is a way to play an instrument, where General MIDI has a program of its own for it.
type way uint8

const (
	unknownWay way = iota
	usual          // bowed, open
	plucked
	muted
)

// General MIDI 1's programs (from memory), from 1.
const (
	plainTrumpet = 57
	mutedTrumpet = 60
	pluckedBow   = 46
)

// bowedPrograms are the programs of bowed instruments by the standard's sounds, for files that do not say one.
var bowedPrograms = []struct {
	sound   string
	program int
}{
	{"strings.violin", 41}, {"strings.viola", 42}, {"strings.cello", 43}, {"strings.contrabass", 44}, {"strings.group", 49},
}

// wayOf reads words that ask for a way to play. Languages: Italian, German, French, English.
func wayOf(words string) way {
	words = strings.ToLower(strings.TrimSpace(words))
	starts := func(with ...string) bool {
		return slices.ContainsFunc(with, func(w string) bool { return strings.HasPrefix(words, w) })
	}
	switch {
	case starts("pizz"):
		return plucked
	case starts("con sord", "mit dämpfer", "gestopft", "avec sourdine", "muted"):
		return muted
	case starts("arco", "senza sord", "ohne dämpfer", "ôtez la sourdine", "sans sourdine", "open", "coll'arco", "col arco"):
		return usual
	}
	return unknownWay
}

// maxChanges bounds the changes of a part's ways to play; further ones are ignored.
const maxChanges = 10_000

// programChange is a change of program as it is played.
type programChange struct {
	at         int64 // ticks since the start
	instrument int
	program    int
}

// ways are the changes of the part's programs as they are played. Where a repeat or a jump leads to,
// the part plays as it does there on the page.
func (p *part) ways(order []played) []programChange {
	if len(p.changes) == 0 {
		return nil
	}
	slices.SortStableFunc(p.changes, func(a, b programMark) int {
		return cmp.Or(cmp.Compare(a.measure, b.measure), cmp.Compare(a.at, b.at))
	})
	var out []programChange
	now := make([]int, len(p.instruments))
	for i := range now {
		now[i] = p.instruments[i].program
	}
	set := func(i, program int, at int64) {
		if program == 0 || now[i] == program {
			return
		}
		now[i] = program
		out = append(out, programChange{at, i, program})
	}
	written := make([]int, len(p.instruments))
	for n, o := range order {
		if n > 0 && order[n-1].measure != o.measure-1 {
			for i := range written {
				written[i] = p.instruments[i].program
			}
			for _, m := range p.changes {
				if m.measure < o.measure {
					written[m.instrument] = m.program
				}
			}
			for i, program := range written {
				set(i, program, o.at)
			}
		}
		from, _ := slices.BinarySearchFunc(p.changes, o.measure, func(m programMark, k int) int { return cmp.Compare(m.measure, k) })
		for _, m := range p.changes[from:] {
			if m.measure != o.measure {
				break
			}
			set(m.instrument, m.program, o.at+m.at)
		}
	}
	return out
}

// way has the part's first instrument play in another way from here on, if there is a program for it.
func (h *hand) way(w way) {
	if len(h.p.instruments) == 0 {
		return
	}
	x := &h.p.instruments[0]
	if x.program == 0 {
		for _, b := range bowedPrograms {
			if strings.HasPrefix(x.sound, b.sound) {
				x.program = b.program
			}
		}
	}
	bowed := x.program >= 41 && x.program <= 45 || x.program >= 49 && x.program <= 52
	switch {
	case w == usual:
		h.change(0, x.program)
	case w == plucked && bowed:
		h.change(0, pluckedBow)
	case w == muted && x.program == plainTrumpet:
		h.change(0, mutedTrumpet)
	}
}

// change has an instrument play by another program from here on.
func (h *hand) change(instrument, program int) {
	if program == 0 || len(h.p.changes) == maxChanges {
		return
	}
	h.p.changes = append(h.p.changes, programMark{h.k, h.at(), instrument, program})
}
