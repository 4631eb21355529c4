package change

import (
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/expr/habits"
)

// habits is how what players do differs, in the words of the habits themselves: those that are
// sections of their own first, as in a document.
func (ls *lines) habits(a, b *expr.Profile) {
	for _, own := range [...]bool{true, false} {
		for _, about := range habits.All() {
			if about.Own == own && !about.All {
				ls.habit(about, a, b)
			}
		}
	}
}

func (ls *lines) habit(about *expr.About, a, b *expr.Profile) {
	ls.amount("amount of "+about.Changed, "", a.Amounts.Of(about.Key), b.Amounts.Of(about.Key))
	if about.Key == expr.KeyMarks {
		ls.dynamics(a, b)
	}
	for i := range about.Settings {
		ls.setting(&about.Settings[i], a, b)
	}
}

// setting is how something differs that a habit must know.
func (ls *lines) setting(s *expr.Setting, a, b *expr.Profile) {
	unit := s.Unit
	if s.ChangedUnit != "" {
		unit = s.ChangedUnit
	}
	switch at := s.At.(type) {
	case func(*expr.Profile) *float64:
		x, y := *at(a), *at(b)
		switch {
		case s.Percent():
			ls.plain(s.Changed, unit, 100*x, 100*y)
		case unit == "as a MIDI note":
			ls.words(s.Changed, Note(x), Note(y))
		case strings.HasPrefix(unit, "dB") && !strings.HasPrefix(unit, "dB a "):
			ls.level(s.Changed, unit, x, y)
		default:
			ls.amount(s.Changed, unit, x, y)
		}
	case func(*expr.Profile) *time.Duration:
		ls.time(s.Changed, *at(a), *at(b))
	case func(*expr.Profile) *bool:
		said := map[bool]string{false: s.Words[0], true: s.Words[1]}
		ls.words(s.Changed, said[*at(a)], said[*at(b)])
	case func(*expr.Profile) *uint8:
		ls.words(s.Changed, s.Words[*at(a)], s.Words[*at(b)])
	case func(*expr.Profile) *[]uint8:
		ls.words(s.Changed, notes(*at(a)), notes(*at(b)))
	}
}
