package engine

import (
	"time"

	"swellbox/expr"
)

// nuanceTime is how long after a note the next one is still measured by it. Ours.
const nuanceTime = 2 * time.Second

// bound adds up what the habits have said of the level of a part's note, within its bounds.
func (p *part) bound(g *expr.Gesture, now time.Duration) {
	nuance := min(max(g.NuanceDB, -expr.MaxNuanceDB), expr.MaxNuanceDB)
	if p.nuanceAt != expr.Unknown && now-p.nuanceAt <= nuanceTime {
		nuance = min(max(nuance, p.nuance-expr.MaxNuanceStepDB), p.nuance+expr.MaxNuanceStepDB)
	}
	p.nuance, p.nuanceAt = nuance, now
	g.LevelDB += nuance + g.VoicedDB
}
