package expr

import (
	"testing"
	"time"
)

// Bresin 2001 (from memory), computed at K = 1: 20, 36, 59, 62 ms for 125, 250, 500, 1000 ms
// between onsets.
func TestKeyOverlap(t *testing.T) {
	for _, c := range []struct {
		ioi  time.Duration
		k    float64
		want float64
	}{
		{0, 1, 0}, {125 * ms, 1, 20}, {250 * ms, 1, 36}, {500 * ms, 1, 59}, {time.Second, 1, 62},
		{5 * time.Second, 1, 62}, // held
		{500 * ms, 2, 64},        // (1e-6-0.11e-3)·250000 + (0.0221+0.16063)·500 = 64.1
	} {
		near(t, c.ioi.String(), keyOverlap(c.ioi, c.k).Seconds()*1000, c.want, 0.6)
	}
}

// Bresin and Battel 2000: staccato sounds for 40 % of the time between onsets, repeated notes
// for 60 %.
func TestTouch(t *testing.T) {
	const ioi = 500 * ms
	legato := keyOverlap(ioi, 1)
	struck := func(n *Note) { p := *n.Profile; p.Dynamics.Carrier = CarryVelocity; n.Profile = &p }
	same := func(n *Note) { n.NextKey = int(n.Key) }
	marked := func(m Marks) func(*Note) { return func(n *Note) { n.Marks = m } }
	lasting := func(d time.Duration) func(*Note) { return func(n *Note) { n.Length = d } }
	scored := func(m Marks, joined bool) func(*Note) {
		return func(n *Note) { n.Grade, n.Marks, n.Slurred = Scored, m, joined }
	}
	type tell = []func(*Note)
	for _, c := range []struct {
		what     string
		k        float64
		tell     tell
		sounding time.Duration
		overlap  time.Duration
	}{
		{"legato", 1, tell{}, 0, legato},
		{"legato, half", 0.5, tell{}, 0, legato / 2},
		{"legato, k = 2", 2, tell{}, 0, keyOverlap(ioi, 2)},
		{"laps over a little already", 1, tell{lasting(520 * ms)}, 0, legato - 20*ms},
		{"laps over enough already", 1, tell{lasting(570 * ms)}, 0, 0},
		{"detached", 1, tell{lasting(450 * ms)}, 0, 0},
		{"slurred, but played short", 1, tell{lasting(450 * ms), marked(SlurGoesOn)}, ioi + legato, 0},
		{"slurred, but played short, half", 0.5, tell{lasting(450 * ms), marked(SlurGoesOn)}, (450*ms + ioi + legato) / 2, 0},
		{"a rest under a slur", 1, tell{lasting(300 * ms), marked(SlurGoesOn)}, 0, 0},
		{"last under its slur", 1, tell{lasting(450 * ms), marked(SlurEnds)}, 0, 0},

		{"scored, slurred", 1, tell{scored(SlurBegins, false)}, 0, legato},
		{"scored, no slur", 1, tell{scored(0, false)}, 0, 0},
		{"scored, no slur, but joined", 1, tell{scored(0, true)}, 0, legato},
		{"scored, last under its slur", 1, tell{scored(SlurEnds, true)}, 0, 0},
		{"scored, between two slurs", 1, tell{scored(SlurEnds|SlurBegins, true)}, 0, legato},

		{"staccato", 1, tell{marked(Staccato)}, 200 * ms, 0},
		{"staccato, half", 0.5, tell{marked(Staccato)}, 350 * ms, 0},
		{"staccato, k = 2", 2, tell{marked(Staccato)}, 200 * ms, 0},
		{"staccato before a rest", 1, tell{marked(Staccato), lasting(250 * ms)}, 100 * ms, 0},
		{"staccato, and nothing after", 1, tell{marked(Staccato), alone}, 200 * ms, 0},
		{"staccato of unknown length", 1, tell{marked(Staccato), lasting(Unknown)}, 0, 0},
		{"staccatissimo", 1, tell{marked(Staccatissimo)}, 125 * ms, 0},
		{"portato", 1, tell{marked(Staccato | SlurGoesOn)}, 0, 0},
		{"tenuto", 1, tell{marked(Tenuto)}, 0, 0},
		{"grace", 1, tell{marked(Grace)}, 0, 0},

		{"repeated, struck", 1, tell{same, struck}, 300 * ms, 0},
		{"repeated, struck, half", 0.5, tell{same, struck}, 400 * ms, 0},
		{"repeated, bow or breath", 1, tell{same}, 440 * ms, 0},
		{"repeated, fast, bow or breath", 1, tell{same, func(n *Note) { n.Length, n.ToNext = 100*ms, 100*ms }}, 60 * ms, 0},
		{"repeated under a slur", 1, tell{same, marked(SlurGoesOn)}, 0, 0},
		{"repeated tenuto", 1, tell{same, struck, marked(Tenuto)}, 0, 0},
		{"repeated, parted already", 1, tell{same, struck, lasting(450 * ms)}, 0, 0},

		{"causal, slurred", 1, tell{causal, func(n *Note) { n.Slurred, n.FromLast = true, 250*ms }}, 0, keyOverlap(250*ms, 1)},
		{"causal, not slurred", 1, tell{causal, func(n *Note) { n.FromLast = 250 * ms }}, 0, 0},
		{"held beyond the next", 1, tell{lasting(Unknown), func(n *Note) { n.Slurred, n.FromLast = true, 250*ms }}, 0, 0},
	} {
		n := noteOf(Habits{Articulation: Articulation{K: c.k}}, func(n *Note) {
			n.Length, n.ToNext, n.RestAfter, n.NextKey = ioi, ioi, 0, 62
			for _, f := range c.tell {
				f(n)
			}
		})
		g := shaped(t, Touch{}, n)
		near(t, c.what+", sounding ms", g.Sounding.Seconds()*1000, c.sounding.Seconds()*1000, 0.001)
		near(t, c.what+", overlap ms", g.Overlap.Seconds()*1000, c.overlap.Seconds()*1000, 0.001)
	}
}

// alone has nothing come after a note.
func alone(n *Note) { n.ToNext, n.NextKey, n.RestAfter = Unknown, Unknown, Unknown }

// causal has nothing known of what comes.
func causal(n *Note) {
	alone(n)
	n.Length = Unknown
}
