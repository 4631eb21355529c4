package main

import (
	"fmt"
	"slices"
	"strings"

	"swellbox/proxy/offline"
)

// timingTold is what a render did to when its notes are played, in words.
func timingTold(t offline.Timing) string {
	within := ""
	if t.WithinMS > 0 {
		within = fmt.Sprintf(", within %.0f ms", t.WithinMS)
	}
	switch t.Breath {
	case "tempos":
		return "the tempo breathes in the tempo map; notes keep their bars" + within
	case "notes":
		return "the tempo breathes by moving the notes; players stay with it" + within
	}
	if within == "" {
		return "every note stands where it is written"
	}
	return "the tempo is as written; notes keep their bars" + within
}

// sentTold is which controllers the players of a render move, in words.
func sentTold(r *offline.Report) string {
	var kinds []string
	added := map[string]bool{}
	numbers := map[string][]string{}
	for i := range r.Parts {
		for _, m := range r.Parts[i].Controllers {
			if m.InFile == "kept" {
				continue
			}
			if numbers[m.What] == nil {
				kinds = append(kinds, m.What)
			}
			added[m.What] = added[m.What] || m.InFile == "added"
			on := fmt.Sprint(m.Controller)
			if m.Controller == 0 {
				on = "pitch bend"
			}
			if !slices.Contains(numbers[m.What], on) {
				numbers[m.What] = append(numbers[m.What], on)
			}
		}
	}
	if kinds == nil {
		return "none, velocities only"
	}
	for i, kind := range kinds {
		kinds[i] = kind + " on " + strings.Join(numbers[kind], " and ")
		if added[kind] {
			kinds[i] += " (added to what the file moves there)"
		}
	}
	return strings.Join(kinds, ", ")
}
