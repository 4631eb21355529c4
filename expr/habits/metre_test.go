package habits

import (
	"testing"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

func metreDB(t *testing.T, k float64, level int, sure float64, group int, rising bool) float64 {
	n := noteOf(exprtest.Having("metre", k), func(n *expr.Note) {
		n.BeatLevel, n.BeatSure, n.Group, n.GroupRising = level, sure, group, rising
	})
	return shaped(t, Metre{}, n).NuanceDB
}

func TestMetre(t *testing.T) {
	for _, c := range []struct {
		what   string
		k      float64
		level  int
		sure   float64
		group  int
		rising bool
		want   float64
	}{
		{"nothing known", 1, 0, 0, 0, false, 0},
		{"off the beat", 1, 0, 1, 0, false, -0.75},
		{"beat", 1, 1, 1, 0, false, 0},
		{"strong beat", 1, 2, 1, 0, false, 0.75},
		{"first of the bar", 1, 3, 1, 0, false, 1.5},
		{"half sure", 1, 3, 0.5, 0, false, 0.75},
		{"amount 2, held", 2, 3, 1, 0, false, 3},
		{"group on the beat", 1, 1, 1, 3, true, 1},
		{"group on the first of the bar", 1, 3, 1, 3, true, 1.5},
		{"group off the beat: it prevails", 1, 0, 1, 3, true, 1},
		{"falling group", 1, 0, 1, 3, false, -0.75},
		{"group without a metre", 1, 0, 0, 4, true, 1},
	} {
		exprtest.Near(t, c.what, metreDB(t, c.k, c.level, c.sure, c.group, c.rising), c.want, 1e-9)
	}
}

// No amount is published; ours is at most 1 dB a level and 3 dB in all, and over a bar of
// quavers the level stays about as written.
func TestMetreIsCentred(t *testing.T) {
	for _, c := range []struct {
		signature string
		levels    []int
		within    float64
	}{
		{"4/4", []int{3, 0, 1, 0, 2, 0, 1, 0}, 0.15},
		{"3/4", []int{3, 0, 1, 0, 1, 0}, 0.15},
		{"2/4", []int{3, 0, 1, 0}, 0.15},
		{"6/8", []int{3, 1, 1, 2, 1, 1}, 0.4},
	} {
		sum, least, most := 0.0, 0.0, 0.0
		for _, level := range c.levels {
			db := metreDB(t, 1, level, 1, 0, false)
			sum, least, most = sum+db, min(least, db), max(most, db)
		}
		exprtest.Near(t, c.signature, sum/float64(len(c.levels)), 0, c.within)
		if most-least > 3 {
			t.Errorf("%s: from %.2f to %.2f dB", c.signature, least, most)
		}
	}
	for level := 1; level <= 3; level++ {
		step := metreDB(t, 1, level, 1, 0, false) - metreDB(t, 1, level-1, 1, 0, false)
		if step <= 0 || step > 1 {
			t.Errorf("level %d is worth %.2f dB", level, step)
		}
	}
}
