package balance

import (
	"context"
	"slices"
	"strings"
	"testing"

	"swellbox/expr"
	"swellbox/proxy/study/demo"
)

// Who is marked solo is to be in front, whatever the notes say, and is told of where it is not; who is not marked is asked no more there.
func TestSolo(t *testing.T) {
	f := demo.Score()
	before := analyse(t, f, castOf(t))
	a := before.heard
	lost := func(name string) int {
		return slices.IndexFunc(a.score.parts, func(p part) bool { return p.name == name })
	}("Violas")
	bars := before.Reports[hall].part(t, "Violas").Bars
	at := slices.IndexFunc(bars, func(b BarReport) bool { return b.LineDB < -3 })
	if at < 0 {
		t.Fatal("the violas are never covered")
	}
	bar := bars[at].Bar
	piece := &expr.Score{}
	for i, p := range a.score.parts {
		piece.Parts = append(piece.Parts, p.name)
		for _, n := range p.notes {
			piece.Notes = append(piece.Notes, expr.Written{Beat: n.from, Length: n.to - n.from, Key: n.key, Part: uint16(i), Solo: i == lost && n.from >= a.score.quarters[bar-1] && n.from < a.score.quarters[bar]})
		}
	}
	opt := DefaultOptions()
	opt.Piece = piece
	r, err := Analyse(context.Background(), f, castOf(t), opt)
	if err != nil {
		t.Fatal(err)
	}
	if was, is := before.Reports[hall].Behind[bar-1], r.Reports[hall].Behind[bar-1]; is <= was || is < followedDB+3 {
		t.Errorf("bar %d: behind by %g dB, %g without the mark", bar, is, was)
	}
	for i := range r.Bars {
		if i != bar-1 && r.Reports[hall].Behind[i] != before.Reports[hall].Behind[i] {
			t.Errorf("bar %d has no mark, and is behind by %g dB, %g before", i+1, r.Reports[hall].Behind[i], before.Reports[hall].Behind[i])
		}
	}
	c := newCase(r.heard, r.heard.ears[0], hall, &stretch{part: lost, first: bar - 1, last: bar - 1})
	if words := c.words(); !strings.Contains(words.what, " and solo: ") {
		t.Error(words.what)
	}
}
