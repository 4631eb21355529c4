package offline

import (
	"slices"

	"swellbox/profiles"
	"swellbox/profiles/names"
)

// EmptySeats says which seats of a seating no part of a piece takes, in sentences; a file of
// several pieces has a timeline for each. Without a seating it says nothing.
func EmptySeats(s *profiles.Seating, pieces ...*Timeline) []string {
	if s == nil {
		return nil
	}
	var parts []names.Hint
	for _, t := range pieces {
		parts = append(parts, t.called()...)
	}
	return s.Empty(parts)
}

// called are the hints of the channels, again for each program that comes later.
func (t *Timeline) called() []names.Hint {
	parts := slices.Clone(t.Hints)
	seen := map[[3]int]bool{}
	for i := range t.Events {
		e := &t.Events[i]
		if !e.IsChannel() || e.Msg[0]&0xF0 != 0xC0 {
			continue
		}
		program := [3]int{int(e.Port) + 1, e.Channel() + 1, int(e.Msg[1]) + 1}
		if seen[program] {
			continue
		}
		seen[program] = true
		for _, h := range t.Hints {
			if h.Port == program[0] && h.Channel == program[1] {
				h.Program, h.HasProgram = program[2], true
				parts = append(parts, h)
			}
		}
	}
	return parts
}
