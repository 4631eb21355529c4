package demo

import (
	"cmp"
	"slices"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// Heard is something to listen for, and in which parts it shows most.
type Heard struct {
	Habit string // that does it
	What  string
	Who   []string
}

// ToldByEar are the habits that can be told by ear, those first that are heard most easily.
func ToldByEar() []*expr.About {
	told := slices.DeleteFunc(habits.All(), func(about *expr.About) bool { return about.Ease == 0 })
	slices.SortStableFunc(told, func(a, b *expr.About) int { return cmp.Compare(a.Ease, b.Ease) })
	return told
}

// MostWho is how many parts are named of each thing.
const MostWho = 2

// ListenFor is what to listen for in a piece, each in those parts where it shows best.
func ListenFor(r *offline.Report) (all []Heard) {
	for _, about := range ToldByEar() {
		parts := slices.DeleteFunc(slices.Clone(r.Parts), func(p perform.PartReport) bool { return shows(about.Flag(), &p) == 0 })
		slices.SortStableFunc(parts, func(a, b perform.PartReport) int {
			return cmp.Compare(shows(about.Flag(), &b), shows(about.Flag(), &a))
		})
		if len(parts) == 0 {
			continue
		}
		h := Heard{Habit: about.Flag(), What: about.Heard}
		for _, part := range parts[:min(len(parts), MostWho)] {
			h.Who = append(h.Who, part.Name)
		}
		all = append(all, h)
	}
	return all
}

// shows is how well a habit can be heard in a part, 0 to 1: by the share of its notes, most
// in who has the tune, which is who seldom steps back, and of phrases only in who holds
// notes at all. Ours, not published.
func shows(habit string, p *perform.PartReport) float64 {
	share := func(habit string) float64 { return float64(p.Habits[habit]) / float64(max(p.Notes, 1)) }
	switch {
	case habit == stepsBack:
		return share(habit)
	case habit == "phrase" && p.Habits["bloom"]+p.Habits["pedal"] == 0:
		return 0
	}
	return share(habit) * (1.1 - min(share(stepsBack), 1))
}

// stepsBack is the habit by which a part gives way to the tune.
const stepsBack = "step-back"
