package profiles

import (
	"fmt"
	"time"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/profiles/reading"
)

// The keys of the habits are made of what the habits say of themselves: those that are a
// section of their own, and all others under "habits".

// ownSections are the sections of habits that have one of their own, with further keys that
// a section has beside.
func ownSections(beside map[string][]reading.Key[draft]) (sections []reading.Key[draft]) {
	for _, about := range habits.All() {
		if about.Own {
			sections = append(sections, reading.Section(about.Key, about.Sentence, append(habitKeys(about), beside[about.Key]...)...))
		}
	}
	return sections
}

// ownNames are the names of those sections.
func ownNames() (names []string) {
	for _, about := range habits.All() {
		if about.Own {
			names = append(names, about.Key)
		}
	}
	return names
}

// habitsKey is how players shape a line: what makes a phrase of notes.
var habitsKey = func() reading.Key[draft] {
	var keys []reading.Key[draft]
	for _, about := range habits.All() {
		switch {
		case about.Own, about.All:
		case len(about.Settings) == 0:
			keys = append(keys, amount(about.Key, about.Sentence+" "+amounts, about.Key))
		default:
			keys = append(keys, reading.Section(about.Key, about.Sentence, habitKeys(about)...))
		}
	}
	return reading.Section("habits", "how players shape a line", keys...)
}()

// amounts is what an amount means.
const amounts = "0 off, 1 normal, 2 twice as much"

// amount is a key for how much of a habit the players have.
func amount(name, about, habit string) reading.Key[draft] {
	return reading.Key[draft]{Name: name, About: about, Form: reading.NumberForm(0, expr.MostAmount), Read: func(r *reading.Reader, n *yaml.Node, path string, to *draft) {
		if v, ok := r.Within(n, path, 0, expr.MostAmount, ""); ok {
			to.profile.Amounts.Set(habit, v)
		}
	}}
}

// habitKeys are the keys of a habit's section: its amount, and what it must know.
func habitKeys(about *expr.About) []reading.Key[draft] {
	keys := []reading.Key[draft]{amount("amount", "how much of the habit the players have: "+amounts, about.Key)}
	for i := range about.Settings {
		keys = append(keys, settingKey(&about.Settings[i]))
	}
	return keys
}

// settingKey is the key of something that a habit must know.
func settingKey(s *expr.Setting) reading.Key[draft] {
	switch at := s.At.(type) {
	case func(*expr.Profile) *float64:
		to := func(d *draft) *float64 { return at(&d.profile) }
		if s.Percent() {
			return reading.Percent(s.Key, s.About, s.Least, s.Most, s.Unit, to)
		}
		return reading.Number(s.Key, s.About, s.Least, s.Most, s.Unit, to)
	case func(*expr.Profile) *time.Duration:
		return reading.Milliseconds(s.Key, s.About, s.Least, s.Most, func(d *draft) *time.Duration { return at(&d.profile) })
	case func(*expr.Profile) *bool:
		return reading.Word(s.Key, s.About, switches, func(d *draft) *bool { return at(&d.profile) })
	case func(*expr.Profile) *uint8:
		choices := make([]reading.Choice[uint8], len(s.Words))
		for i, w := range s.Words {
			choices[i] = reading.Choice[uint8]{Word: w, Value: uint8(i)}
		}
		return reading.Word(s.Key, s.About, choices, func(d *draft) *uint8 { return at(&d.profile) })
	case func(*expr.Profile) *[]uint8:
		return reading.Key[draft]{Name: s.Key, About: s.About, Form: reading.ListForm(reading.WholeForm(0, 127), 0, stringsLimit), Read: func(r *reading.Reader, n *yaml.Node, path string, to *draft) {
			if notes, ok := readNotes(r, n, path); ok {
				*at(&to.profile) = notes
			}
		}}
	}
	panic(fmt.Sprintf("the setting %s has a kind that documents do not know: %T", s.Key, s.At))
}

// stringsLimit is the most strings of one instrument.
const stringsLimit = 12

func readNotes(r *reading.Reader, n *yaml.Node, path string) (notes []uint8, ok bool) {
	if n.Kind != yaml.SequenceNode || len(n.Content) > stringsLimit {
		r.Fault(n, path, "found %s, wanted a list of at most %d MIDI notes", reading.Counted(n), stringsLimit)
		return nil, false
	}
	notes = make([]uint8, 0, len(n.Content))
	for _, c := range n.Content {
		if v, ok := r.WholeWithin(c, path, 0, 127); ok {
			notes = append(notes, uint8(v))
		}
	}
	return notes, true
}
