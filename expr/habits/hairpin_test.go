package habits

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

func TestHairpin(t *testing.T) {
	type note struct {
		last, now, next float64
		length          time.Duration
		marks           expr.Marks
	}
	const next = 500 * exprtest.Thousandth
	for _, c := range []struct {
		what string
		note note
		want float64
	}{
		{"crescendo", note{-4, -2, 1, next, 0}, 3},
		{"diminuendo", note{4, 2.5, 1, next, 0}, -1.5},
		{"not quite held", note{-4, -2, 1, 440 * exprtest.Thousandth, 0}, 3},
		{"short", note{-4, -2, 1, 250 * exprtest.Thousandth, 0}, 0},
		{"length not known", note{-4, -2, 1, expr.Unknown, 0}, 0},
		{"turns", note{-4, -2, -3, next, 0}, 0},
		{"begins", note{-2, -2, 1, next, 0}, 0},
		{"ends", note{-4, -2, -2, next, 0}, 0},
		{"subito forte", note{-4, -2, 4.2, next, 0}, 0},
		{"after a subito piano", note{4.2, -4.2, -5, next, 0}, 0},
		{"nothing to speak of", note{0, 0.2, 0.4, next, 0}, 0},
		{"an accent", note{-4, -2, 1, next, expr.Accented}, 0},
		{"written, begins", note{-2, -2, 1, next, expr.Louder}, 3},
		{"written, over two marks", note{-4.2, -4.2, 4.2, next, expr.Louder}, 8.4},
		{"written, and a subito after it", note{-4, -2, -8, next, expr.Louder}, 0},
		{"written softer", note{2, 2, 1, next, expr.Softer}, -1},
	} {
		n := noteOf(exprtest.Having("hairpin", 1), func(n *expr.Note) {
			n.LastKey, n.NextKey, n.LastDB, n.WrittenDB, n.NextDB = 60, 64, c.note.last, c.note.now, c.note.next
			n.Length, n.ToNext, n.Marks = c.note.length, next, c.note.marks
		})
		g := shaped(t, Hairpin{}, n)
		exprtest.Near(t, c.what, g.GlideDB, c.want, 1e-9)
		if c.want != 0 && g.Glide != next {
			t.Errorf("%s: glides for %v", c.what, g.Glide)
		}
		for _, unknown := range []func(*expr.Note){
			func(n *expr.Note) { n.NextKey = expr.Unknown },
			func(n *expr.Note) { n.ToNext = expr.Unknown },
			func(n *expr.Note) { p := *n.Profile; p.Dynamics.Carrier = expr.CarryVelocity; n.Profile = &p },
			func(n *expr.Note) { p := *n.Profile; p.Amounts.Set("marks", 0); n.Profile = &p },
		} {
			less := *n
			unknown(&less)
			if g := shaped(t, Hairpin{}, &less); g != (expr.Gesture{}) {
				t.Errorf("%s: %+v without what it needs", c.what, g)
			}
		}
		first := *n
		first.LastKey = expr.Unknown
		if g := shaped(t, Hairpin{}, &first); (g.GlideDB != 0) != (c.want != 0 && c.note.marks != 0) {
			t.Errorf("%s, on the first note: %+v", c.what, g)
		}
	}
}

// Each note ends at the level at which the next begins, whatever k over 1; at half of it it
// goes half of the way.
func TestHairpinIsALine(t *testing.T) {
	for k, share := range map[float64]float64{0.5: 0.5, 1: 1, 2: 1} {
		n := noteOf(exprtest.Having("hairpin", k), func(n *expr.Note) {
			n.LastKey, n.NextKey, n.LastDB, n.WrittenDB, n.NextDB = 60, 64, -3, -1, 2
			n.Length, n.ToNext = 400*exprtest.Thousandth, 400*exprtest.Thousandth
		})
		g := expr.Gesture{LevelDB: n.WrittenDB}
		ask(Hairpin{}, n, &g)
		exprtest.Near(t, "middle", g.LevelAt(200*exprtest.Thousandth), -1+share*1.5, 1e-9)
		exprtest.Near(t, "end", g.LevelAt(400*exprtest.Thousandth), -1+share*3, 1e-9)
	}
}
