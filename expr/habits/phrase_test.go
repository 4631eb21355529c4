package habits

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// Todd 1985 (SEEN-2): D(τ) = A + 4m(τ-½)², A+m at the ends.
func TestBeatLength(t *testing.T) {
	for _, c := range []struct{ tau, m, want float64 }{
		{0, 0.5, 1.5}, {0.25, 0.5, 1.125}, {0.5, 0.5, 1}, {0.75, 0.5, 1.125}, {1, 0.5, 1.5},
		{0, 0.2, 1.2}, {0.3, 0, 1}, {-1, 0.5, 1.5}, {2, 0.5, 1.5},
	} {
		exprtest.Near(t, "D", beatLength(c.tau, c.m), c.want, 1e-12)
	}
}

// Todd 1992: intensity goes with the tempo squared (from memory), so a tempo of 1/1.5 is
// 20·log10(1.5) = 3.52 dB softer.
func TestPhraseArch(t *testing.T) {
	for _, m := range []float64{0.1, 0.25, 0.5} {
		middle := PhraseArch(0.5, m)
		exprtest.Near(t, "middle to start", middle-PhraseArch(0, m), 20*math.Log10(1+m), 1e-9)
		exprtest.Near(t, "start and end", PhraseArch(0, m), PhraseArch(1, m), 1e-9)
		exprtest.Near(t, "symmetry", PhraseArch(0.3, m), PhraseArch(0.7, m), 1e-9)
		const steps = 1000
		mean := 0.0
		for i := range steps {
			mean += PhraseArch((float64(i)+0.5)/steps, m) / steps
		}
		exprtest.Near(t, "mean", mean, 0, 0.1)
	}
	exprtest.Near(t, "m = 0.5", PhraseArch(0.5, 0.5)-PhraseArch(1, 0.5), 3.5218, 1e-4)
	exprtest.Near(t, "m = 0", PhraseArch(0.1, 0), 0, 0)
}

func TestPhrase(t *testing.T) {
	whole := func(since, until time.Duration, end float64, final bool) expr.Span {
		return expr.Span{Since: since, Until: until, End: end, Final: final}
	}
	unknown := expr.NothingKnown.Phrase
	at := func(k float64, phrase, sub expr.Span) float64 {
		n := noteOf(exprtest.Having("phrase", k), func(n *expr.Note) { n.Phrase, n.SubPhrase = phrase, sub })
		return shaped(t, Phrase{}, n).NuanceDB
	}
	const s = time.Second
	for _, c := range []struct {
		what        string
		phrase, sub expr.Span
		want        float64
	}{
		{"nothing known", unknown, unknown, 0},
		{"start", whole(0, 8*s, 1, false), unknown, PhraseArch(0, 0.4)},
		{"middle", whole(4*s, 4*s, 1, false), unknown, PhraseArch(0.5, 0.4)},
		{"late", whole(6*s, 2*s, 1, false), unknown, PhraseArch(0.75, 0.4)},
		{"last note, however long it is", whole(6*s, 2*s, 1, true), unknown, PhraseArch(1, 0.4)},
		{"a weaker boundary", whole(6*s, 2*s, 0.5, true), unknown, PhraseArch(1, 0.28)},
		{"a boundary of unknown strength", whole(6*s, 2*s, 0, true), unknown, PhraseArch(1, 0.16)},
		{"one note alone", whole(0, 2*s, 1, true), unknown, 0},
		{"part of a phrase", whole(4*s, 4*s, 1, false), whole(0, 2*s, 0.5, false), PhraseArch(0.5, 0.4) + PhraseArch(0, 0.105)},
		{"phrase of one part", whole(4*s, 4*s, 1, false), whole(4*s, 4*s, 1, false), PhraseArch(0.5, 0.4)},
		{"causal, start", whole(0, expr.Unknown, 0, false), unknown, PhraseArch(0, 0.16)},
		{"causal, rising", whole(s, expr.Unknown, 0, false), unknown, PhraseArch(1.0/8, 0.16)},
		{"causal, risen", whole(2*s, expr.Unknown, 0, false), unknown, 0},
		{"causal, for long", whole(7900*exprtest.Thousandth, expr.Unknown, 0, false), unknown, 0},
		{"only the end in sight", whole(expr.Unknown, s, 1, false), unknown, PhraseArch(7.0/8, 0.4)},
		{"only a far end in sight", whole(expr.Unknown, 7900*exprtest.Thousandth, 1, false), unknown, 0},
	} {
		exprtest.Near(t, c.what, at(1, c.phrase, c.sub), c.want, 1e-9)
		exprtest.Near(t, c.what+", amount 2", at(2, c.phrase, c.sub), 2*c.want, 1e-9)
	}
	if first, later := at(1, whole(0, expr.Unknown, 0, false), unknown), at(1, whole(s, expr.Unknown, 0, false), unknown); first >= later || later >= 0 {
		t.Errorf("a phrase must rise from its start to its mean, got %.2f and %.2f dB", first, later)
	}
}
