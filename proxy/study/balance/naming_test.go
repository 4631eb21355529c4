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
	by := naming{"bar", printed}
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
