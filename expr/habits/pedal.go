package habits

import (
	"swellbox/expr"
	"swellbox/expr/pedalling"
)

// Pedal has the foot, or the hand that damps, do what no pedal mark says: hold what
// belongs to one harmony, and change with it. Pedals that come in win.
//
// Sources: Repp 1997 (when the foot lifts and treads), Harte et al. 2006 (the change of
// harmony); see package pedalling.
type Pedal struct{}

// Name is the rule's name in counts and reports.
func (Pedal) Name() string { return "pedal" }

// Shape reports whether the note is played by one who pedals.
func (Pedal) Shape(n *expr.Note, _ *expr.Gesture) bool {
	p := &n.Profile.Habits.Pedal
	return p.K != 0 && p.Kind != expr.NoPedal
}

var pedalKinds = [...]pedalling.Kind{
	expr.NoPedal: pedalling.None, expr.PianoPedal: pedalling.Piano, expr.HarpDamping: pedalling.Harp,
	expr.CelestaPedal: pedalling.Celesta, expr.BarPedal: pedalling.Vibraphone,
}

// Pedal is what the kind of pedal asks for.
func (Pedal) Pedal(p *expr.Profile) *pedalling.Planner {
	h := &p.Habits.Pedal
	if h.K <= 0 || h.Kind == expr.NoPedal {
		return nil
	}
	return pedalling.New(pedalKinds[h.Kind], h.Half, h.K)
}
