package perform

import (
	"fmt"
)

// PartReport is what was made of one part. Its JSON form is an interface that scripts rely on.
type PartReport struct {
	Name    string            `json:"name"`
	Profile string            `json:"profile"`
	Players int               `json:"players"`
	By      string            `json:"players_by"`      // how the number was found: "named", "plural", "usual size of a section" …
	Port    int               `json:"port"`            // from 1
	Channel int               `json:"channel"`         // 1..16
	Why     string            `json:"why"`             // how the profile was found
	Doubt   string            `json:"doubt,omitempty"` // why it may be wrong; only where it may
	Else    []string          `json:"else,omitempty"`  // profiles that it may be as well
	Origin  string            `json:"origin"`          // where the profile comes from
	Notes   uint64            `json:"notes"`
	Passed  uint64            `json:"passed"` // notes out of its range, which passed as they came
	Habits  map[string]uint64 `json:"habits"` // notes that each habit shaped

	Controllers []Moved `json:"controllers,omitzero"` // that the players move; nil only where there is no file
}

// Doubts are what was guessed of the part on doubtful ground.
func (p *PartReport) Doubts() []string {
	part := Part{Name: p.Name, Profile: p.Profile, Why: p.Why, Players: p.Players, By: p.By, Doubt: p.Doubt, Else: p.Else}
	return part.Doubts()
}

// Report says what was made of each part, in the order of Parts, and what is to be said of them.
func (s *Stage) Report() (parts []PartReport, warnings []string) {
	names := s.engine.HabitNames()
	for _, p := range s.Parts {
		counts := s.engine.Counts(p.Port, p.Channel)
		pr := PartReport{
			Name: p.Name, Profile: p.Profile, Players: p.Players, By: p.By, Doubt: p.Doubt, Else: p.Else, Port: p.Port + 1, Channel: p.Channel + 1,
			Why: p.Why, Origin: p.Origin, Notes: counts.Notes, Passed: counts.Passed, Habits: make(map[string]uint64, len(names)),
		}
		if profile, err := s.cast.of(p); err == nil && s.uses != nil {
			pr.Controllers = moved(profile, &s.uses[p.Port*16+p.Channel])
		}
		for i, name := range names {
			pr.Habits[name] = counts.Habits[i]
		}
		parts = append(parts, pr)
		if said := OutOfRange(pr.Name, pr.Profile, pr.Notes, pr.Passed, "passed as they came"); said != "" {
			warnings = append(warnings, said)
		}
		if err := s.engine.Fault(p.Port, p.Channel); err != nil {
			warnings = append(warnings, fmt.Sprintf("part %q: %v", p.Name, err))
		}
	}
	if err := s.engine.Lost(); err != nil {
		warnings = append(warnings, err.Error())
	}
	return parts, warnings
}

// OutOfRange says how many notes of a part are out of the range of its profile, and what became of
// them; empty if there are none. Keyswitches are fewer than the notes they are for: where they are
// most of them, somebody else plays.
func OutOfRange(part, profile string, played, passed uint64, became string) string {
	switch {
	case passed == 0:
		return ""
	case passed > played:
		return fmt.Sprintf("%s: %s of %d out of the range of %s %s: is it the right instrument?", part, counted(passed, "note"), played+passed, profile, became)
	}
	return fmt.Sprintf("%s: %s out of range %s: keyswitches?", part, counted(passed, "note"), became)
}

// counted is a number with what it counts.
func counted(n uint64, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
