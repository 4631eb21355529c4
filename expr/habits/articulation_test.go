package habits

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// Bresin 2001 (from memory), computed at K = 1: 20, 36, 59, 62 ms for 125, 250, 500, 1000 ms
// between onsets.
func TestKeyOverlap(t *testing.T) {
	for _, c := range []struct {
		ioi  time.Duration
		k    float64
		want float64
	}{
		{0, 1, 0}, {125 * exprtest.Thousandth, 1, 20}, {250 * exprtest.Thousandth, 1, 36}, {500 * exprtest.Thousandth, 1, 59}, {time.Second, 1, 62},
		{5 * time.Second, 1, 62},           // held
		{500 * exprtest.Thousandth, 2, 64}, // (1e-6-0.11e-3)·250000 + (0.0221+0.16063)·500 = 64.1
	} {
		exprtest.Near(t, c.ioi.String(), KeyOverlap(c.ioi, c.k).Seconds()*1000, c.want, 0.6)
	}
}

// Bresin and Battel 2000: staccato sounds for 40 % of the time between onsets, repeated notes
// for 60 %.
func TestArticulation(t *testing.T) {
	const ioi = 500 * exprtest.Thousandth
	legato := KeyOverlap(ioi, 1)
	struck := func(n *expr.Note) { p := *n.Profile; p.Dynamics.Carrier = expr.CarryVelocity; n.Profile = &p }
	same := func(n *expr.Note) { n.NextKey = int(n.Key) }
	marked := func(m expr.Marks) func(*expr.Note) { return func(n *expr.Note) { n.Marks = m } }
	lasting := func(d time.Duration) func(*expr.Note) { return func(n *expr.Note) { n.Length = d } }
	scored := func(m expr.Marks, joined bool) func(*expr.Note) {
		return func(n *expr.Note) { n.Grade, n.Marks, n.Slurred = expr.Scored, m, joined }
	}
	type tell = []func(*expr.Note)
	for _, c := range []struct {
		what     string
		k        float64
		tell     tell
		sounding time.Duration
		overlap  time.Duration
	}{
		{"legato", 1, tell{}, 0, legato},
		{"legato, half", 0.5, tell{}, 0, legato / 2},
		{"legato, amount 2", 2, tell{}, 0, KeyOverlap(ioi, 2)},
		{"laps over a little already", 1, tell{lasting(520 * exprtest.Thousandth)}, 0, legato - 20*exprtest.Thousandth},
		{"laps over enough already", 1, tell{lasting(570 * exprtest.Thousandth)}, 0, 0},
		{"detached", 1, tell{lasting(450 * exprtest.Thousandth)}, 0, 0},
		{"slurred, but played short", 1, tell{lasting(450 * exprtest.Thousandth), marked(expr.SlurGoesOn)}, ioi + legato, 0},
		{"slurred, but played short, half", 0.5, tell{lasting(450 * exprtest.Thousandth), marked(expr.SlurGoesOn)}, (450*exprtest.Thousandth + ioi + legato) / 2, 0},
		{"a rest under a slur", 1, tell{lasting(300 * exprtest.Thousandth), marked(expr.SlurGoesOn)}, 0, 0},
		{"last under its slur", 1, tell{lasting(450 * exprtest.Thousandth), marked(expr.SlurEnds)}, 0, 0},

		{"scored, slurred", 1, tell{scored(expr.SlurBegins, false)}, 0, legato},
		{"scored, no slur", 1, tell{scored(0, false)}, 0, 0},
		{"scored, no slur, but joined", 1, tell{scored(0, true)}, 0, legato},
		{"scored, last under its slur", 1, tell{scored(expr.SlurEnds, true)}, 0, 0},
		{"scored, between two slurs", 1, tell{scored(expr.SlurEnds|expr.SlurBegins, true)}, 0, legato},

		{"staccato", 1, tell{marked(expr.Staccato)}, 200 * exprtest.Thousandth, 0},
		{"staccato, half", 0.5, tell{marked(expr.Staccato)}, 350 * exprtest.Thousandth, 0},
		{"staccato, amount 2", 2, tell{marked(expr.Staccato)}, 200 * exprtest.Thousandth, 0},
		{"staccato before a rest", 1, tell{marked(expr.Staccato), lasting(250 * exprtest.Thousandth)}, 100 * exprtest.Thousandth, 0},
		{"staccato, and nothing after", 1, tell{marked(expr.Staccato), alone}, 200 * exprtest.Thousandth, 0},
		{"staccato of unknown length", 1, tell{marked(expr.Staccato), lasting(expr.Unknown)}, 0, 0},
		{"staccatissimo", 1, tell{marked(expr.Staccatissimo)}, 125 * exprtest.Thousandth, 0},
		{"portato", 1, tell{marked(expr.Staccato | expr.SlurGoesOn)}, 0, 0},
		{"tenuto", 1, tell{marked(expr.Tenuto)}, 0, 0},
		{"grace", 1, tell{marked(expr.Grace)}, 0, 0},

		{"repeated, struck", 1, tell{same, struck}, 300 * exprtest.Thousandth, 0},
		{"repeated, struck, half", 0.5, tell{same, struck}, 400 * exprtest.Thousandth, 0},
		{"repeated, bow or breath", 1, tell{same}, 440 * exprtest.Thousandth, 0},
		{"repeated, fast, bow or breath", 1, tell{same, func(n *expr.Note) { n.Length, n.ToNext = 100*exprtest.Thousandth, 100*exprtest.Thousandth }}, 60 * exprtest.Thousandth, 0},
		{"repeated under a slur", 1, tell{same, marked(expr.SlurGoesOn)}, 0, 0},
		{"repeated tenuto", 1, tell{same, struck, marked(expr.Tenuto)}, 0, 0},
		{"repeated, parted already", 1, tell{same, struck, lasting(450 * exprtest.Thousandth)}, 0, 0},

		{"causal, slurred", 1, tell{causal, func(n *expr.Note) { n.Slurred, n.FromLast = true, 250*exprtest.Thousandth }}, 0, KeyOverlap(250*exprtest.Thousandth, 1)},
		{"causal, not slurred", 1, tell{causal, func(n *expr.Note) { n.FromLast = 250 * exprtest.Thousandth }}, 0, 0},
		{"held beyond the next", 1, tell{lasting(expr.Unknown), func(n *expr.Note) { n.Slurred, n.FromLast = true, 250*exprtest.Thousandth }}, 0, 0},
	} {
		n := noteOf(exprtest.Having("articulation", c.k), func(n *expr.Note) {
			n.Length, n.ToNext, n.RestAfter, n.NextKey = ioi, ioi, 0, 62
			for _, f := range c.tell {
				f(n)
			}
		})
		g := shaped(t, Articulation{}, n)
		exprtest.Near(t, c.what+", sounding ms", g.Sounding.Seconds()*1000, c.sounding.Seconds()*1000, 0.001)
		exprtest.Near(t, c.what+", overlap ms", g.Overlap.Seconds()*1000, c.overlap.Seconds()*1000, 0.001)
	}
}

// alone has nothing come after a note.
func alone(n *expr.Note) { n.ToNext, n.NextKey, n.RestAfter = expr.Unknown, expr.Unknown, expr.Unknown }

// causal has nothing known of what comes.
func causal(n *expr.Note) {
	alone(n)
	n.Length = expr.Unknown
}
