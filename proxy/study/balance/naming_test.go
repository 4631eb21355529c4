package balance

import (
	"slices"
	"testing"

	"swellbox/expr"
)

// Bars are called as they are printed: an upbeat is 0, and a repeated bar says which time it is.
func TestPrinted(t *testing.T) {
	piece := &expr.Score{}
	for i, number := range []int{0, 1, 2, 1, 2, 3} {
		piece.Bars = append(piece.Bars, expr.Bar{Beat: float64(4 * i), Number: number})
	}
	quarters := []float64{0, 4, 8, 12, 16, 20, 24}
	printed := printedIn(piece, quarters)
	if want := []string{"0", "1", "2", "1(2)", "2(2)", "3"}; !slices.Equal(printed, want) {
		t.Fatalf("bars are called %q, want %q", printed, want)
	}
	by := naming{"bar", printed, nil}
	for want, got := range map[string]string{"bar 1(2)": by.span(4, 4), "bars 2–1(2)": by.span(3, 4), "bar 9": by.span(9, 9)} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	counted := naming{unit: "second"}
	if got := counted.span(4, 6); got != "seconds 4–6" {
		t.Error(got)
	}
	if printedIn(nil, quarters) != nil || printedIn(&expr.Score{}, quarters) != nil {
		t.Error("bars of no score are called something")
	}
}

// A bar says where it is by the last rehearsal mark before it on the page; after a jump none is known.
func TestMarks(t *testing.T) {
	piece := &expr.Score{}
	var quarters []float64
	for i, b := range []expr.Bar{{Number: 1}, {Number: 2, Mark: "A"}, {Number: 3}, {Number: 4}, {Number: 5, Mark: "Solo"}, {Number: 3}, {Number: 4}} {
		b.Beat = float64(4 * i)
		piece.Bars = append(piece.Bars, b)
		quarters = append(quarters, b.Beat)
	}
	quarters = append(quarters, float64(4*len(piece.Bars)))
	by := naming{"bar", printedIn(piece, quarters), marksIn(piece, quarters)}
	for i, want := range []string{"bar 1", "bar 2 (at A)", "bar 3 (1 after A)", "bar 4 (2 after A)", "bar 5 (at Solo)", "bar 3(2)", "bar 4(2)"} {
		if got := by.span(i+1, i+1); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := by.span(3, 5); got != "bars 3–5 (1 after A)" {
		t.Error(got)
	}
	if marksIn(nil, quarters) != nil || marksIn(&expr.Score{Bars: []expr.Bar{{Number: 1}}}, quarters) != nil {
		t.Error("a score without marks has some")
	}
}
