package balance

import (
	"slices"
	"strconv"

	"swellbox/expr"
)

// naming is how stretches of music are called: by "bar" or "second", as they are counted or as they are printed.
type naming struct {
	unit    string
	printed []string // by bar; nil: as they are counted, from 1
	marks   []string // by bar: where it is by the last rehearsal mark, such as "3 after C"; empty, or nil, where there is none
}

// printedIn are the numbers that a score has printed over bars that begin at some quarter notes. A bar that
// is repeated says which time it is. Nil if the score has no bars, or not these.
func printedIn(piece *expr.Score, quarters []float64) []string {
	if piece == nil || len(piece.Bars) == 0 || len(quarters) < 2 {
		return nil
	}
	times := map[int]int{} // by number: how often it was played before
	names := make([]string, len(piece.Bars))
	for i, b := range piece.Bars {
		times[b.Number]++
		names[i] = strconv.Itoa(b.Number)
		if n := times[b.Number]; n > 1 {
			names[i] += "(" + strconv.Itoa(n) + ")"
		}
	}
	printed := make([]string, len(quarters)-1)
	for i := range printed {
		at, found := slices.BinarySearchFunc(piece.Bars, quarters[i]+expr.BeforeBar, func(b expr.Bar, q float64) int {
			if b.Beat < q {
				return -1
			}
			return 1
		})
		if found || at == 0 || at > len(names) {
			return nil
		}
		printed[i] = names[at-1]
	}
	return printed
}

// marksIn say where bars that begin at some quarter notes are by the rehearsal marks of a score. After a jump
// none is told until one comes, as a player counts from the last on the page. Nil if the score has none.
func marksIn(piece *expr.Score, quarters []float64) []string {
	if piece == nil || len(quarters) < 2 || !slices.ContainsFunc(piece.Bars, func(b expr.Bar) bool { return b.Mark != "" }) {
		return nil
	}
	marks := make([]string, len(quarters)-1)
	next, mark, from := 0, "", 0
	for i := range marks {
		for ; next < len(piece.Bars) && piece.Bars[next].Beat < quarters[i]+expr.BeforeBar; next++ {
			b := &piece.Bars[next]
			switch {
			case b.Mark != "":
				mark, from = b.Mark, b.Number
			case next == 0 || b.Number != piece.Bars[next-1].Number+1:
				mark = ""
			}
		}
		if mark == "" || next == 0 {
			continue
		}
		marks[i] = "at " + mark
		if after := piece.Bars[next-1].Number - from; after > 0 {
			marks[i] = strconv.Itoa(after) + " after " + mark
		}
	}
	return marks
}

// number is what a bar is called, counted from 1.
func (n *naming) number(bar int) string {
	if bar-1 < len(n.printed) {
		return n.printed[bar-1]
	}
	return strconv.Itoa(bar)
}

// numbers names a stretch without its unit: "4", "4–6".
func (n *naming) numbers(first, last int) string {
	if first == last {
		return n.number(first)
	}
	return n.number(first) + "–" + n.number(last)
}

// span names a stretch: "bar 4", "bars 4–6", "bars 48–50 (3 after C)".
func (n *naming) span(first, last int) string {
	name := n.unit + " " + n.numbers(first, last)
	if first < last {
		name = n.unit + "s " + n.numbers(first, last)
	}
	if first >= 1 && first-1 < len(n.marks) && n.marks[first-1] != "" {
		name += " (" + n.marks[first-1] + ")"
	}
	return name
}
