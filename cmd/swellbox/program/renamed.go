package program

import (
	"fmt"
	"strings"

	"swellbox/profiles"
	"swellbox/proxy/perform"
)

// RenamedIn says which documents of a library have old keys: a warning for each, that names the
// keys and what they are called now.
func RenamedIn(lib *profiles.Library) (warnings []string) {
	return renamedOf(lib.Renamed())
}

// RenamedInCast says so of all that a cast was read from.
func RenamedInCast(c *perform.Cast) []string { return renamedOf(oldWords(c)) }

// oldWords are the old keys in all that a cast was read from.
func oldWords(c *perform.Cast) profiles.Problems {
	all := c.Library.Renamed()
	if c.Seating != nil {
		all = append(all, c.Seating.Renamed...)
	}
	return all
}

func renamedOf(all profiles.Problems) (warnings []string) {
	for len(all) > 0 {
		file := all[0].File
		var told []string
		var rest profiles.Problems
		for _, p := range all {
			if p.File != file {
				rest = append(rest, p)
				continue
			}
			told = append(told, fmt.Sprintf("line %d: %s: %s", p.Line, p.Key, p.Text))
		}
		warnings = append(warnings, fmt.Sprintf("%s has old names of keys, which still work; swellbox profile update %s writes the present ones: %s",
			file, file, strings.Join(told, "; ")))
		all = rest
	}
	return warnings
}
