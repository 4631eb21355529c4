package balance

import (
	"testing"
	"time"

	"swellbox/expr"
)

// A hairpin leads to the mark after it, through held notes too; without one, or to one that is the other way, it leads nowhere.
func TestHairpins(t *testing.T) {
	at := func(beat float64) time.Duration { return time.Duration(beat * float64(time.Second)) }
	// Marked p; under a crescendo from 4 to 8, the second note held; f from 8; under another from 10, and p at 12.
	type written struct {
		from, to, db float64
		marks        expr.Marks
	}
	all := []written{{0, 4, -8, 0}, {4, 5, -8, expr.Louder}, {5, 8, -8, expr.Louder}, {8, 10, 4, 0}, {10, 12, 4, expr.Louder}, {12, 13, -8, expr.Softer}, {13, 14, -12, 0}, {14, 15, -12, expr.Softer}}
	read := func(swells ...swell) *part {
		p := part{name: "Horn", swells: swells}
		piece := &expr.Score{Parts: []string{"Horn"}}
		for _, n := range all {
			p.notes = append(p.notes, note{on: at(n.from), off: at(n.to), from: n.from, to: n.to, key: 60, dynamicDB: n.db})
			piece.Notes = append(piece.Notes, expr.Written{Beat: n.from, Length: n.to - n.from, Key: 60, Marks: n.marks})
		}
		s := &score{parts: []part{p}}
		s.hairpins(piece)
		return &s.parts[0]
	}
	for name, c := range map[string]struct {
		swells []swell
		base   float64
	}{"from a score": {nil, 0}, "with a mixer's volume": {[]swell{{0, -2}}, -2}} {
		p := read(c.swells...)
		for _, x := range []struct{ beat, want, within float64 }{
			{2, 0, 0}, {4, 0, 0.5}, {6, 6, 0.5}, {7.9, 12, 0.5}, {8, 0, 0}, {11, 0, 0}, {12.5, -2, 0.3}, {13.5, 0, 0}, {14.5, 0, 0},
		} {
			if got := p.swellAt(at(x.beat)) - c.base; got < x.want-x.within || got > x.want+x.within {
				t.Errorf("%s: at %g the swell is %g dB, want %g", name, x.beat, got, x.want)
			}
		}
	}
	if p := read(swell{0, 0}, swell{at(6), -3}); len(p.swells) != 2 {
		t.Errorf("a part with swells of its own has %d of them", len(p.swells))
	}
}
