package habits

import (
	"swellbox/expr"
	"swellbox/expr/pedalling"
)

// Pedal has the foot, or the hand that damps, do what no pedal mark says: hold what
// belongs to one harmony, and change with it. Pedals that come in win.
//
// On a piano the foot does what pianists were measured to do with such notes; what is muddy as the
// harmony changes it clears in any case.
//
// Sources: package pedalling, which is fitted to pianists; for the other instruments Repp 1997
// (when the foot lifts and treads), Harte et al. 2006 (the change of harmony).
type Pedal struct{}

var aboutPedal = expr.About{
	Name: "pedal", Key: "pedal",
	Sentence: "The foot holds what belongs to one harmony, and changes with it.",
	Changed:  "the pedal",
	Listen:   "the piano's chords ring on and change with the harmony, bars 7 to 12",
	Heard:    "chords ring on, and the pedal changes with the harmony", Ease: 5,
	Needs: expr.Grades{
		None:      "as far as the harmony has sounded",
		Lookahead: "changes before what it shows",
		Score:     "all of it",
	},
	Source: "fitted to 433 performances by pianists; Repp 1997; Harte et al. 2006",
	Settings: []expr.Setting{
		{Key: "kind", About: "what it damps", Changed: "pedal of the kind", Words: pedalWords[:],
			At: func(p *expr.Profile) *uint8 { return (*uint8)(&p.Pedal.Kind) }},
		{Key: "half", About: "the sampler answers to half a pedal", Changed: "the pedal goes down", Words: []string{"wholly", "wholly or halfway"},
			At: func(p *expr.Profile) *bool { return &p.Pedal.Half }},
	},
}

// About says what the habit is.
func (Pedal) About() *expr.About { return &aboutPedal }

// Shape reports whether the note is played by one who pedals.
func (Pedal) Shape(n *expr.Note, _ *expr.Gesture) bool {
	return n.Amount != 0 && n.Profile.Pedal.Kind != expr.NoPedal
}

// pedalWords are what documents call the kinds.
var pedalWords = [...]string{
	expr.NoPedal: "none", expr.PianoPedal: "piano", expr.HarpDamping: "harp",
	expr.CelestaPedal: "celesta", expr.BarPedal: "vibraphone",
}

var pedalKinds = [...]pedalling.Kind{
	expr.NoPedal: pedalling.None, expr.PianoPedal: pedalling.Piano, expr.HarpDamping: pedalling.Harp,
	expr.CelestaPedal: pedalling.Celesta, expr.BarPedal: pedalling.Vibraphone,
}

// Pedal is what the kind of pedal asks for.
func (Pedal) Pedal(p *expr.Profile) *pedalling.Planner {
	amount, h := p.Amounts.Of(aboutPedal.Key), &p.Pedal
	if amount <= 0 || h.Kind == expr.NoPedal {
		return nil
	}
	foot := pedalling.New(pedalKinds[h.Kind], h.Half, amount)
	if h.Kind == expr.PianoPedal {
		foot.Listen()
	}
	return foot
}
