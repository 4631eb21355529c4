package live

import (
	"swellbox/expr"
	"swellbox/proxy/perform"
)

// sideOf is what the parts play, all in all.
func sideOf(s *perform.Stage) string {
	raw := 0
	for _, p := range s.Parts {
		if s.Side(p.Port, p.Channel) == expr.Raw {
			raw++
		}
	}
	switch parts := len(s.Parts); {
	case parts == 0:
		return s.Side(0, 0).String()
	case raw == 0:
		return "shaped"
	case raw == parts:
		return "raw"
	}
	return "mixed"
}

// placeOf is how the parts stand, all in all.
func placeOf(s *perform.Stage) string {
	all := s.Place(0, 0)
	for i, p := range s.Parts {
		switch place := s.Place(p.Port, p.Channel); {
		case i == 0:
			all = place
		case place != all:
			return "mixed"
		}
	}
	return all.String()
}
