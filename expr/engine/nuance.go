package engine

import (
	"time"

	"swellbox/expr"
)

// nuanceTime is how long after a note the next one is still measured by it. Ours.
const nuanceTime = 2 * time.Second

// bound adds up what the habits have said of the level of a part's note, within its bounds.
func (p *part) bound(g *expr.Gesture, leads bool, now time.Duration) {
	nuance := min(max(g.NuanceDB, -expr.MaxNuanceDB), expr.MaxNuanceDB)
	if p.nuanceAt != expr.Unknown && now-p.nuanceAt <= nuanceTime {
		nuance = min(max(nuance, p.nuance-expr.MaxNuanceStepDB), p.nuance+expr.MaxNuanceStepDB)
	}
	p.nuance, p.nuanceAt = nuance, now
	g.LevelDB += nuance + g.VoicedDB + p.boundTouch(g, leads, now)
}

// boundTouch is what the touch adds, within its bounds.
func (p *part) boundTouch(g *expr.Gesture, leads bool, now time.Duration) float64 {
	touch := min(max(g.TouchDB, -expr.MaxTouchDB), expr.MaxTouchDB)
	if leads {
		if p.touchAt != expr.Unknown && now-p.touchAt <= nuanceTime {
			touch = min(max(touch, p.touch-expr.MaxTouchStepDB), p.touch+expr.MaxTouchStepDB)
		}
		p.touch, p.touchAt = touch, now
	}
	return touch + min(max(g.SignDB, -expr.MaxTouchDB), expr.MaxTouchDB)
}
