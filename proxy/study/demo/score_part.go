package demo

import "fmt"

// Part is one part of the score: one channel of one port, on one track or, for
// the piano's two hands, on two.
type Part struct {
	Name    string
	Port    int // 0-based
	Channel int // 0-based
	Program int // General MIDI 1 program, 0-based
	Players int // how many players the part stands for
}

// part is a part with its music.
type part struct {
	Part
	staves []staff
	swells []swell
}

// staff is one track: as many voices as are written on it.
type staff struct {
	name   string
	voices [][]phrase
}

// read gives the notes of each voice. It panics on an error: the text is our own,
// and the tests read all of it.
func (s *staff) read() [][]note {
	out := make([][]note, len(s.voices))
	for i, v := range s.voices {
		var err error
		if out[i], err = readVoice(v); err != nil {
			panic(fmt.Sprintf("demo: %s: %v", s.name, err))
		}
	}
	return out
}

// swell is a crescendo that the notation program itself plays with controller
// 11, from value low at the start of bar from to 127 at the end of bar to.
type swell struct {
	from, to int
	low      uint8
}

// one is a part on one staff.
func one(name string, program, players int, voices ...[]phrase) part {
	return part{
		Part:   Part{Name: name, Program: program, Players: players},
		staves: []staff{{name, voices}},
	}
}
