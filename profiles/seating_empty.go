package profiles

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

// toldSeats is how many empty seats are told each with its reason; more are told in one sentence,
// as a seating for a whole orchestra has many in a piece for a few. Our choice.
const toldSeats = 3

// Empty says which seats no part of a piece takes, why, and what to do, in sentences. parts are
// all that is known of the parts: a part whose program changes stands there once for each.
func (s *Seating) Empty(parts []names.Hint) []string {
	taken := make([]bool, len(s.Seats))
	for _, h := range parts {
		if i := s.find(h); i >= 0 {
			taken[i] = true
		}
	}
	return s.empty(func(i int) string {
		if taken[i] {
			return ""
		}
		return s.unmet(i, parts)
	})
}

// Unheard says so of the seats that live music on so many ports never takes. Live music has no
// track names. Without a seating it says nothing.
func (s *Seating) Unheard(ports int) []string {
	if s == nil {
		return nil
	}
	return s.empty(func(i int) string {
		switch seat := &s.Seats[i]; {
		case seat.Track != "":
			return "what comes in live has no names of tracks; give it a port and a channel in place of the track"
		case seat.Port > ports:
			return fmt.Sprintf("it is on port %d, and swellbox listens to %d; correct its port, or start swellbox with as many inputs", seat.Port, ports)
		}
		return ""
	})
}

// empty makes sentences of the seats for which there is a reason.
func (s *Seating) empty(reason func(i int) string) (sentences []string) {
	var names []string
	for i := range s.Seats {
		if why := reason(i); why != "" {
			names = append(names, s.nameOf(i))
			sentences = append(sentences, fmt.Sprintf("%s: nobody plays by %s: %s", s.name(), s.nameOf(i), why))
		}
	}
	if len(names) <= toldSeats {
		return sentences
	}
	return []string{fmt.Sprintf("%s: nobody plays by %d of %d seats: %s; where one of them should play, correct its port, channel, track or program",
		s.name(), len(names), len(s.Seats), strings.Join(names, ", "))}
}

// unmet says why no part takes a seat, and what to do.
func (s *Seating) unmet(i int, parts []names.Hint) string {
	seat := &s.Seats[i]
	with := func(is func(h names.Hint) bool) (found []names.Hint) {
		for _, h := range parts {
			if is(h) {
				found = append(found, h)
			}
		}
		return found
	}
	if found := with(seat.agrees); len(found) > 0 {
		first := s.find(found[0])
		return fmt.Sprintf("%s, which stands before it, has its parts already; put this one first, or take it out", s.nameOf(first))
	}
	if seat.Track != "" {
		found := with(func(h names.Hint) bool { return trackKey(h.Track) == trackKey(seat.Track) })
		if len(found) == 0 {
			return fmt.Sprintf("no track with notes is called %q%s; correct its track, or take it out", reading.Printable(seat.Track), tracksOf(parts))
		}
		if seat.Port != 0 && seat.Port != found[0].Port || seat.Channel != 0 && seat.Channel != found[0].Channel {
			return fmt.Sprintf("the track %q plays on port %d, channel %d; correct its port or channel, or leave them out", reading.Printable(seat.Track), found[0].Port, found[0].Channel)
		}
	}
	place := fmt.Sprintf("port %d, channel %d", seat.Port, seat.Channel)
	switch {
	case seat.Port == 0 && seat.Channel == 0:
		place = ""
	case seat.Port == 0:
		place = fmt.Sprintf("channel %d", seat.Channel)
	case seat.Channel == 0:
		place = fmt.Sprintf("port %d", seat.Port)
	}
	there := *seat
	there.Program = 0
	if seat.Program == 0 || len(with(there.agrees)) == 0 {
		return fmt.Sprintf("there are no notes on %s; correct its port or channel, or take it out", cmp.Or(place, "its track"))
	}
	if place != "" {
		place = " on " + place
	}
	return fmt.Sprintf("program %d is never called%s; correct its program, or take it out", seat.Program, place)
}

// tracksOf lists names to choose from, if there are few.
func tracksOf(parts []names.Hint) string {
	var names []string
	for _, h := range parts {
		if name := reading.Printable(h.Track); name != "" && !slices.Contains(names, fmt.Sprintf("%q", name)) {
			names = append(names, fmt.Sprintf("%q", name))
		}
	}
	switch n := len(names); {
	case n == 0:
		return ", as none has a name"
	case n > 8:
		return fmt.Sprintf(" (there are %s and %d more)", strings.Join(names[:6], ", "), n-6)
	default:
		return " (there are " + strings.Join(names, ", ") + ")"
	}
}

// nameOf is how a seat is found in its document.
func (s *Seating) nameOf(i int) string {
	seat := &s.Seats[i]
	name := cmp.Or(reading.Printable(seat.Part), reading.Printable(seat.Track), seat.Profile)
	if i < len(s.places) {
		return fmt.Sprintf("%s (seat %d, line %d)", name, i+1, s.places[i].Line)
	}
	return fmt.Sprintf("%s (seat %d)", name, i+1)
}

func (s *Seating) name() string { return cmp.Or(s.file, "the seating") }
